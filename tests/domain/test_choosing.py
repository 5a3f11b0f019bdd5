"""Which pictures are shown large: the photographer's choice first, else the best that differ."""

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.inference.sets import FoundKind, FrameSet
from logbook.domain.account import TripAccount
from logbook.domain.choosing import MOST_LARGE, Chosen, choose
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Outcome, Shot
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import OutcomeWord, Priority, Provenance, Sharpness, VisitPurpose

NOW = datetime(2031, 10, 20, tzinfo=UTC)
DAY = date(2031, 10, 14)


def record(name: str, **more: Any) -> dict[str, Any]:
    return {"id": name, "created": NOW, "updated": NOW, **more}


def picture(name: str, **more: Any) -> Keeper:
    file = {"file": name, "path": name, "hash": name, "size_bytes": 1, "format": "JPEG"}
    return Keeper(**record(name, slug=name, trip_id="trip", **file), **{"caption": name, **more})


def chosen(*pictures: Keeper, shapes: dict[str, float] | None = None, **more: Any) -> Chosen:
    choice = {name: more.pop(name) for name in ("opening_id", "arranged", "sets") if name in more}
    trip = Trip(**record("trip", slug="trip", title="Trip"))
    account = TripAccount(trip=trip, sites={}, viewpoints={}, keepers=pictures, **more)
    return choose(account, pictures, shapes or {one.id: 1.5 for one in pictures}, **choice)


def large(found: Chosen) -> list[str]:
    return [plate.keeper.id for plate in found.large]


def opening(found: Chosen) -> str | None:
    return found.opening.keeper.id if found.opening else None


def test_a_trip_without_pictures_has_no_opening() -> None:
    assert chosen() == Chosen(None, (), ())


def test_the_opening_that_the_photographer_chose_opens_whatever_speaks_for_others() -> None:
    found = chosen(picture("a"), picture("b", rating=5), opening_id="a")
    assert (opening(found), large(found)) == ("a", ["b"])


def test_pictures_that_were_put_in_order_come_first_in_that_order_and_are_large() -> None:
    found = chosen(*(picture(name) for name in "abcde"), arranged=("d", "b"), opening_id="c")
    assert (opening(found), large(found)) == ("c", ["d", "b"])
    assert [plate.keeper.id for plate in found.rest] == ["a", "e"]


def test_without_a_choice_the_best_rated_picture_that_lies_opens() -> None:
    found = chosen(picture("tall", rating=5), picture("wide", rating=4), shapes={"tall": 0.7, "wide": 1.5})
    assert opening(found) == "wide"


def test_a_picture_for_an_essential_shot_that_was_made_goes_before_one_for_none() -> None:
    plan = Shot(**record("plan", slug="plan", title="Plan", trip_id="trip"), priority=Priority.ESSENTIAL)
    made = Outcome(**record("made", shot_id="plan"), word=OutcomeWord.MADE)
    served, other = picture("served", shot_id="plan"), picture("other")
    assert opening(chosen(other, served, shots=(plan,), outcomes={"plan": made})) == "served"


def test_an_outcome_that_nobody_stated_speaks_for_nothing() -> None:
    plan = Shot(**record("plan", slug="plan", title="Plan", trip_id="trip"))
    guessed = Outcome(**record("made", shot_id="plan"), word=OutcomeWord.MADE)
    guessed = replace(guessed, provenance={"word": Provenance.INFERRED})
    better = picture("better", rating=1)
    found = chosen(picture("served", shot_id="plan"), better, shots=(plan,), outcomes={"plan": guessed})
    assert opening(found) == "better"


@pytest.mark.parametrize(
    ("kind", "stands"), [(FoundKind.BRACKET, "b"), (FoundKind.PANORAMA, "b"), (FoundKind.BURST, "a")]
)
def test_a_set_is_one_picture_that_says_how_many_it_stands_for(kind: FoundKind, stands: str) -> None:
    frames = [picture(name, caption=None, shot_id="x") for name in "abc"]
    group = FrameSet(kind, ("a", "b", "c"), "said", stated=True)
    found = chosen(*frames, sets=(group,))
    assert (opening(found), found.opening and found.opening.of, large(found)) == (stands, 3, [])
    assert found.rest == ()


def test_a_frame_of_a_set_that_was_asked_for_stands_for_it() -> None:
    frames = [picture(name) for name in "abc"]
    group = FrameSet(FoundKind.BRACKET, ("a", "b", "c"), "said", stated=True)
    found = chosen(*frames, sets=(group,), opening_id="c")
    assert (opening(found), found.opening and found.opening.of) == ("c", 3)


def test_of_a_trip_without_a_word_some_are_large_and_those_are_spread_over_it() -> None:
    few = chosen(*(picture(name, caption=None) for name in "abcdefghi"))
    assert (opening(few), len(large(few)), few.rest) == ("a", 8, ())
    many = chosen(*(picture(f"{number:03}", caption=None) for number in range(300)))
    numbers = [int(one) for one in large(many)]
    assert len(numbers) == MOST_LARGE
    assert max(later - one for one, later in pairwise(numbers)) < 300 / 4


@pytest.mark.parametrize(
    "lacking",
    [
        {"caption": None},
        {"sharpness": Sharpness.SOFT},
        {"rating": -1},
        {"viewpoint_id": "scouted", "rating": 5},
    ],
    ids=["a stray without a word", "soft", "rejected", "of a scouting"],
)
def test_some_pictures_are_never_large(lacking: dict[str, Any]) -> None:
    scouting = Visit(
        **record("visit", trip_id="trip", viewpoint_id="scouted", slug="v"),
        on_date=DAY,
        purpose=VisitPurpose.SCOUTING,
    )
    found = chosen(picture("good"), picture("also"), picture("bad", **lacking), visits=(scouting,))
    assert "bad" not in (opening(found), *large(found))
    assert [plate.keeper.id for plate in found.rest] == ["bad"]


def test_one_of_each_view_goes_before_three_of_one() -> None:
    many = [picture(f"same{n}", rating=4, viewpoint_id="ledge") for n in range(12)]
    others = [picture(f"other{n}", rating=3, viewpoint_id=f"view{n}") for n in range(4)]
    shown = large(chosen(*many, *others))
    assert {f"other{n}" for n in range(4)} <= set(shown)
    assert len(shown) == MOST_LARGE


@given(st.lists(st.tuples(st.integers(-1, 5), st.booleans(), st.floats(0.1, 8)), max_size=30), st.data())
def test_every_picture_is_shown_once(kinds: list[tuple[int, bool, float]], data: st.DataObject) -> None:
    pictures = [
        picture(str(n), rating=rating, caption="A word" if word else None)
        for n, (rating, word, _) in enumerate(kinds)
    ]
    shapes = {str(n): shape for n, (_, _, shape) in enumerate(kinds)}
    arranged = data.draw(st.lists(st.sampled_from(sorted(shapes)), unique=True) if shapes else st.just([]))
    found = chosen(*pictures, shapes=shapes, arranged=tuple(arranged))
    shown = [plate.keeper.id for plate in found.plates]
    assert sorted(shown) == sorted(shapes)
    assert len(found.large) <= max(MOST_LARGE, len(arranged))
