"""Parts of a question: what has more stands higher, silence below that, and a contradiction below silence."""

from datetime import UTC, date, datetime
from fractions import Fraction
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.words import ConditionKind, Crowd, Support
from logbook.services import kinds, records
from logbook.services.find.choices import In
from logbook.services.find.limits import Limits
from logbook.services.find.searching import Answer, Parts, find
from logbook.services.find.synonyms import synonyms_with
from logbook.services.plans import outcomes
from logbook.store.book import Book
from tests.services.adding import add_to_trip

DAY = date(2031, 10, 14)
ASKED = "crowded pier no tripod 1s f/16"
SHOTS: dict[str, tuple[Crowd | None, dict[str, Any]]] = {
    "open-aperture": (Crowd.DOZENS, {"support": Support.BRACED, "exposure_s": Fraction(1)}),
    "wide-open": (Crowd.HUNDREDS, {"support": Support.HANDHELD, "exposure_s": Fraction(1), "f_number": 2.8}),
    "little-known": (Crowd.DOZENS, {"exposure_s": Fraction(1), "filters": ("nd8",)}),
    "all-alone": (
        Crowd.NONE,
        {"support": Support.TRIPOD, "exposure_s": Fraction(1), "f_number": 16.0, "filters": ()},
    ),
    "on-legs": (Crowd.FEW, {"support": Support.TRIPOD, "exposure_s": Fraction(1, 500), "filters": ("pol",)}),
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """A pier with five stands, a shot at each, and who was there."""
    made = Book(
        tmp_path_factory.mktemp("near") / "book.sqlite",
        lambda: datetime(2031, 10, 14, 18, tzinfo=UTC),
        create=True,
    )
    records.add(made, kinds.TRIP, {"title": "Far coast", "zone": "+05:00"}, "coast")
    records.add(made, kinds.SITE, {"title": "Old pier"})
    for slug, (crowd, plan) in SHOTS.items():
        spot = f"Stand {slug}"
        records.add(made, kinds.VIEWPOINT, {"title": spot, "site": "old-pier"})
        stand = f"stand-{slug}"
        outcomes.plan_shot(made, None, {"title": slug, "viewpoint": stand, "on_date": DAY, **plan}, slug)
        if crowd is not None:
            seen = {"kind": ConditionKind.CROWD, "level": crowd, "viewpoint": stand, "on_date": DAY}
            add_to_trip(made, kinds.CONDITION, None, seen, None)
    return made


def ask(book: Book, question: str) -> Answer:
    return find(book, question, Limits(within=(In.SHOTS,)), synonyms_with(), limit=20)


ORDERS = list(permutations(("crowded", "pier", "no tripod", "1s", "f/16")))[::17]


@pytest.mark.parametrize("asked", [" ".join(words) for words in ORDERS])
def test_what_has_most_comes_first_however_the_question_is_ordered(book: Book, asked: str) -> None:
    answer = ask(book, asked)
    assert answer.results == ()
    assert [one.slug for one in answer.nearest] == ["open-aperture", "wide-open", "little-known", "all-alone"]


def test_each_says_what_it_has_and_what_speaks_against_it(book: Book) -> None:
    answer = ask(book, ASKED)
    said = {one.slug: answer.parts[one.record_id] for one in answer.nearest}
    assert said["open-aperture"] == Parts(("crowded", "pier", "no tripod", "1s"), ())
    assert said["wide-open"] == Parts(("crowded", "pier", "no tripod", "1s"), ("f/16",))
    assert said["little-known"] == Parts(("crowded", "pier", "1s"), ())
    assert said["all-alone"] == Parts(("pier", "1s", "f/16"), ("crowded", "no tripod"))
    assert answer.let_go == ()  # each part is somewhere


@pytest.mark.parametrize(
    ("question", "slugs"),
    [
        ("not crowded", {"all-alone", "on-legs"}),
        ("uncrowded", {"all-alone", "on-legs"}),
        ("empty", {"all-alone"}),
        ("without a crowd", {"all-alone"}),
        ("no filter", {"all-alone"}),
        ("without nd", {"all-alone", "on-legs"}),
        ("no polariser", {"all-alone", "little-known"}),
        ("without tripod", {"open-aperture", "wide-open"}),
        ("handheld", {"wide-open"}),
        ("not handheld", {"open-aperture", "all-alone", "on-legs"}),
        ("not a tripod", {"open-aperture", "wide-open"}),
        ("not f/16", {"wide-open"}),
    ],
)
def test_a_question_may_say_what_must_not_be(book: Book, question: str, slugs: set[str]) -> None:
    assert {one.slug for one in ask(book, question).results} == slugs


def test_what_nobody_knows_speaks_against_nothing(book: Book) -> None:
    """A tripod rule that is unknown and an outcome that is open are silence."""
    answer = ask(book, "missed tripod forbidden pier")
    assert all(not answer.parts[one.record_id].against for one in answer.nearest)
    assert len(answer.nearest) == len(SHOTS)


def test_more_parts_than_can_be_combined_are_ranked_too(book: Book, tmp_path: Path) -> None:
    asked = f"{ASKED} old dusk nd8 iso100 24mm windy missed sharp"
    answer = ask(book, asked)
    assert answer.nearest
    assert answer.nearest[0].slug in ("open-aperture", "wide-open", "little-known")


@pytest.mark.parametrize("question", ["f/16 f/2.8 missed", "dusk 2s sharp handheld", "1/60 tripod lanterns"])
def test_an_answer_is_the_same_however_many_rows_are_looked_at_at_once(
    demo_book: Path, monkeypatch: pytest.MonkeyPatch, question: str
) -> None:
    demo = Book(demo_book, lambda: datetime(2031, 1, 1, tzinfo=UTC), create=False)
    answers = []
    for times in (1, 2, 1000):
        monkeypatch.setattr("logbook.services.find.nearest.LOOKED_AT", times)
        answers.append(find(demo, question, Limits(), synonyms_with(), limit=2))
    assert answers == [answers[0]] * 3
    assert answers[0].nearest
