"""One picture over several trips: its tries in order, and whether it is still to get."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.attempts import earlier_and_later, still_to_get
from logbook.domain.record import new_record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.words import OutcomeWord, Provenance

NOW = datetime(2031, 10, 14, tzinfo=UTC)


def shot(name: str, year: int = 2031, continues: str | None = None, **fields: Any) -> Shot:
    """A plan of a year."""
    said: dict[str, Any] = {"title": name, "trip_id": "trip"} | fields
    own: dict[str, Any] = new_record(NOW) | {"id": name}
    return Shot(**own, slug=name, on_date=date(year, 5, 1), continues_id=continues, **said)


def became(shot: Shot, word: OutcomeWord) -> Outcome:
    """What became of a plan."""
    return Outcome(**new_record(NOW), shot_id=shot.id, word=word)


def names(shots: Sequence[Shot]) -> list[str]:
    """Their names."""
    return [one.id for one in shots]


def test_the_tries_of_a_picture_are_those_before_and_after_it_and_no_others() -> None:
    first, second = shot("first", 2027), shot("second", 2029, "first")
    third, beside = shot("third", 2031, "second"), shot("beside", 2030, "first")
    every = (third, beside, first, second, shot("other"))
    assert names(earlier_and_later(third, every)) == ["first", "second", "third"]
    assert names(earlier_and_later(second, every)) == ["first", "second", "third"]
    assert names(earlier_and_later(first, every)) == ["first", "second", "beside", "third"]


@pytest.mark.parametrize("word", list(OutcomeWord))
def test_a_picture_is_to_get_until_it_is_made(word: OutcomeWord) -> None:
    one = shot("one")
    assert ("one" in still_to_get((one,), {"one": became(one, word)})) == (word is not OutcomeWord.MADE)
    assert still_to_get((one,), {}) == {"one"}


def test_what_was_made_later_is_got_on_every_trip_before() -> None:
    first, second, third = shot("first", 2027), shot("second", 2029, "first"), shot("third", 2031, "second")
    made = {"third": became(third, OutcomeWord.MADE)}
    assert still_to_get((first, second, third), made) == frozenset()
    made = {"first": became(first, OutcomeWord.MADE)}
    assert still_to_get((first, second, third), made) == {"second", "third"}


def test_the_same_title_made_later_at_the_same_viewpoint_is_got() -> None:
    first = shot("first", 2027, title="Mill at dusk", viewpoint_id="mill")
    again = shot("again", 2029, title="Mill at Dusk", viewpoint_id="mill")
    elsewhere = shot("elsewhere", 2027, title="Mill at dusk", viewpoint_id="ford")
    made = {"again": became(again, OutcomeWord.MADE)}
    assert still_to_get((first, again, elsewhere), made) == {"elsewhere"}


def test_an_outcome_that_nobody_stated_leaves_a_picture_to_get() -> None:
    one = shot("one")
    guessed = replace(became(one, OutcomeWord.MADE), provenance={"word": Provenance.INFERRED})
    assert still_to_get((one,), {"one": guessed}) == {"one"}


@given(st.lists(st.tuples(st.integers(0, 7), st.booleans()), min_size=1, max_size=8))
def test_links_in_any_shape_also_in_a_ring_come_to_an_end(links: list[tuple[int, bool]]) -> None:
    count = len(links)
    before = {at: str(to) if to != at and to < count else None for at, (to, _) in enumerate(links)}
    shots = [shot(str(at), 2020 + at, before[at]) for at in before]
    outcomes = {str(at): became(shots[at], OutcomeWord.MADE) for at, (_, made) in enumerate(links) if made}
    for one in shots:
        chain = names(earlier_and_later(one, shots))
        assert one.id in chain
        assert len(set(chain)) == len(chain)
    assert still_to_get(shots, outcomes).isdisjoint(outcomes)
