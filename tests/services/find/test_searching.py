"""Answers: all parts first, most of them below, and something let go only when nothing has it all."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import NotFoundError
from logbook.domain.words import ConditionKind, Crowd, LessonVerb, OutcomeWord, Reason, Support
from logbook.services import kinds, records
from logbook.services.find.choices import Has, In
from logbook.services.find.limits import Limits
from logbook.services.find.searching import Answer, Parts, find
from logbook.services.find.synonyms import synonyms_with
from logbook.services.plans import outcomes
from logbook.store.book import Book
from tests.benchmarks.generated_book import make_book
from tests.services.adding import add_to_trip

OURS = synonyms_with()
Ask = Callable[..., Answer]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """A book with two places, and shots, lessons and conditions at them."""
    path = tmp_path_factory.mktemp("find") / "book.sqlite"
    made = Book(path, lambda: datetime(2031, 10, 14, 18, tzinfo=UTC), create=True)
    day = date(2031, 10, 14)
    records.add(made, kinds.TRIP, {"title": "High valley", "zone": "Asia/Dushanbe"}, "valley")
    for site, spot in (("Quarry", "Quarry ledge"), ("Long dune", "Dune crest")):
        records.add(made, kinds.SITE, {"title": site, "latitude_deg": 38.2, "longitude_deg": 73.4})
        records.add(made, kinds.VIEWPOINT, {"title": spot, "site": site})
    shots: list[dict[str, Any]] = [
        {
            "title": "Bridge drawn smooth",
            "viewpoint": "quarry-ledge",
            "technique": "silky water",
            "exposure_s": Fraction(2),
        },
        {
            "title": "Bridge hard",
            "viewpoint": "quarry-ledge",
            "technique": "silky water",
            "exposure_s": Fraction(1, 8),
        },
        {"title": "Crest line", "viewpoint": "dune-crest", "f_number": 16.0, "support": Support.TRIPOD},
        {"title": "Crest wind", "viewpoint": "dune-crest", "f_number": 8.0, "support": Support.HANDHELD},
    ]
    for shot in shots:
        outcomes.plan_shot(made, None, shot | {"on_date": day}, None)
    outcomes.edit_shot(made, "crest-wind", {}, outcomes.OutcomeSaid(OutcomeWord.MISSED, (Reason.WEATHER,)))
    for text in ("Mist and mist again at the rail", "Mist needs a lens cloth", "The rail shakes"):
        records.add(
            made, kinds.LESSON, {"verb": LessonVerb.KEEP, "text": text, "on_date": day, "site": "quarry"}
        )
    crowd = {"kind": ConditionKind.CROWD, "level": "hundreds", "viewpoint": "quarry-ledge", "on_date": day}
    add_to_trip(made, kinds.CONDITION, None, crowd, None)
    return made


@pytest.fixture
def ask(book: Book) -> Ask:
    def asked(question: str, limit: int = 20, **limits: Any) -> Answer:
        return find(book, question, Limits(**limits), OURS, limit=limit)

    return asked


def slugs(answer: Answer) -> list[str | None]:
    return [one.slug for one in answer.results]


def below(answer: Answer) -> list[str | None]:
    return [one.slug for one in answer.nearest]


@pytest.mark.slow
def test_what_has_all_words_comes_first_and_what_has_most_below(ask: Ask) -> None:
    found = ask("mist rail")
    assert slugs(found)[0] == "mist-and-mist-again-at-the"
    assert set(slugs(found)[1:]) == {"mist-needs-a-lens-cloth", "the-rail-shakes"}
    scores = [one.score for one in found.results]
    assert scores == sorted(scores, reverse=True)


def test_long_exposure_finds_silky_water_when_the_time_says_so(ask: Ask) -> None:
    assert slugs(ask("long exposure")) == ["bridge-drawn-smooth"]
    assert slugs(ask("silky water 2s")) == ["bridge-drawn-smooth"]


def test_facts_narrow_and_words_rank(ask: Ask) -> None:
    assert slugs(ask("crest f/16")) == ["crest-line"]
    assert slugs(ask("missed crest")) == ["crest-wind"]


def test_a_fact_that_nothing_has_is_let_go_and_said(ask: Ask) -> None:
    found = ask("line f/16 handheld")
    assert (found.results, below(found), found.let_go) == ((), ["crest-line"], ("support handheld",))
    nothing = ask("f/2 iso 6400")
    assert (nothing.results, nothing.nearest, nothing.let_go) == ((), (), ())
    single = ask("f/16 monopod nd1000 force 12")
    (crest_line,) = single.nearest
    assert single.parts[crest_line.record_id] == Parts(("f/16",), ("monopod",))
    assert single.let_go == (
        "support monopod",
        "a neutral density filter of 9.97 stops",
        "wind force 12",
    )


def test_what_lacks_a_fact_stands_below_where_few_have_all(ask: Ask) -> None:
    found = ask("crest handheld")
    assert (slugs(found), found.let_go) == (["crest-wind"], ("support handheld",))
    assert set(below(found)) == {"crest-line", "dune-crest"}
    assert not ask("crest").nearest


def test_words_as_typed_go_before_words_that_mean_the_same(book: Book, ask: Ask) -> None:
    for text in ("Polarizers cost light", "A cpl, a cpl and no other"):
        records.add(book, kinds.LESSON, {"verb": LessonVerb.KEEP, "text": text})
    assert slugs(ask('"polarizers" cpl'))[0] == "polarizers-cost-light"
    records.add(book, kinds.LESSON, {"verb": LessonVerb.KEEP, "text": "Haze eats haze and haze"})
    assert slugs(ask("mist"))[-1] == "haze-eats-haze-and-haze"


def test_what_somebody_said_goes_before_what_was_worked_out(book: Book, ask: Ask) -> None:
    records.add(
        book, kinds.LESSON, {"verb": LessonVerb.KEEP, "text": "Missed again", "on_date": date(2011, 1, 1)}
    )
    assert slugs(ask("missed")) == ["crest-wind", "missed-again"]


def test_a_word_that_nobody_wrote_is_read_as_the_beginning_of_one(ask: Ask) -> None:
    found = ask("shak")
    assert (slugs(found), found.reading.terms[0].says) == (["the-rail-shakes"], "shak with any ending")


def test_limits_decide(ask: Ask) -> None:
    assert slugs(ask("crest", outcome=OutcomeWord.MISSED)) == ["crest-wind"]
    assert set(slugs(ask("bridge", levels={ConditionKind.CROWD: Crowd.HUNDREDS}))) == {
        "bridge-drawn-smooth",
        "bridge-hard",
    }
    assert set(slugs(ask("quarry", within=(In.LESSONS,), limit=2))) <= {
        "mist-and-mist-again-at-the",
        "mist-needs-a-lens-cloth",
        "the-rail-shakes",
    }
    assert slugs(ask("", site="long", within=(In.VIEWPOINTS,))) == ["dune-crest"]
    assert slugs(ask("crest", since=date(2031, 10, 15))) == []
    assert slugs(ask("crest", has=(Has.TRACK,))) == []
    with pytest.raises(NotFoundError, match="No site is called"):
        ask("crest", site="nowhere")


def test_more_is_said_when_the_limit_cut(ask: Ask) -> None:
    assert ask("quarry", limit=2).more
    assert not ask("shakes").more


def test_a_removed_record_is_not_found(book: Book, ask: Ask) -> None:
    records.add(book, kinds.LESSON, {"verb": LessonVerb.AVOID, "text": "Quicksand everywhere"})
    assert slugs(ask("quicksand")) == ["quicksand-everywhere"]
    records.remove(book, kinds.LESSON, "quicksand-everywhere", with_dependents=False)
    assert slugs(ask("quicksand")) == []


ODDITIES = (
    "f/16 \"mist NEAR( AND OR NOT * ) ( ^ : {title} facts:qsutripod -rail col:x 🎉 \" '' tripod dusk nd8 2s "
)
ODDITIES += "1/0 f/0 \x00 \ud800 mist* +a a+b long exposure é"
TYPED = st.one_of(
    st.text(st.characters()),
    st.lists(st.sampled_from(ODDITIES.split())).map(" ".join),
)


@pytest.mark.slow
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(question=TYPED)
def test_no_text_whatsoever_makes_find_fail(book: Book, question: str) -> None:
    answer = find(book, question, Limits(), OURS, limit=5)
    assert len(answer.results) <= 5


def test_a_very_long_question_is_answered(ask: Ask) -> None:
    ask("mist " * 5000 + '"' + "rail " * 5000)
    ask("x" * 100_000)


@pytest.mark.slow
def test_the_same_question_gives_the_same_answer_after_a_rebuild(tmp_path: Path) -> None:
    make_book(tmp_path / "book.sqlite", 300, seed=5)
    book = Book(tmp_path / "book.sqlite", lambda: datetime(2031, 1, 1, tzinfo=UTC), create=False)

    def answers() -> list[list[str | None]]:
        questions = ("warden path", "f/16 tripod", "silky water missed", "battery", "dusk")
        return [slugs(find(book, question, Limits(), OURS, limit=50)) for question in questions]

    before = answers()
    with book.writing() as desk:
        desk.index.rebuild()
    assert answers() == before


def test_a_day_in_a_question_is_all_that_was_written_of_that_day(ask: Ask) -> None:
    found = ask("2031-10-14")
    assert found.reading.says_days == "day 2031-10-14"
    assert found.results
    assert {one.on_date for one in found.results} == {"2031-10-14"}
    assert ask("2031-10-15").results == ()
    assert slugs(ask("2031-10-14 shakes"))[0] == "the-rail-shakes"
    assert ask("2031-10-15 shakes").results == ()
    assert ask("2031-10-01 2031-10-31 shakes").reading.says_days == "days 2031-10-01 to 2031-10-31"
    assert slugs(ask("2031-10-01 2031-10-31 shakes")) == ["the-rail-shakes"]


def test_a_limit_of_days_alone_is_a_question(ask: Ask) -> None:
    assert ask("", since=date(2031, 10, 14)).results
    assert ask("", since=date(2031, 10, 15)).results == ()


def test_a_slip_is_answered_with_near_words_of_the_book(ask: Ask) -> None:
    assert "quarry" in ask("quary").near_words
    assert "crest" in ask("crset").near_words
    assert ask("xylophone").near_words == ()
    assert ask("quarry").near_words == ()
