"""A clock's line of time: every picture has its mark, and is drawn where it hides no other."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.faces.private.timeline import PICTURE, WIDE, timeline
from logbook.services.night.clocks import ClockLine, ClockMark
from logbook.store.book import Book
from tests.services.night.sittings import now


@pytest.mark.slow
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(minutes=st.lists(st.integers(0, 3 * 24 * 60), min_size=1, max_size=200))
def test_pictures_stand_beside_each_other_and_the_first_is_always_seen(
    sample_book: Path, minutes: list[int]
) -> None:
    with Book(sample_book, now, create=False).reading() as desk:
        keeper = desk.keepers.all()[0]
    marks = tuple(ClockMark(keeper, minute) for minute in minutes)
    drawn = timeline(ClockLine("clock.a", "A", 0, marks, (), ("right",), ""))
    places = [place for _, place, _ in drawn.own]
    shown = [place for _, place, is_shown in drawn.own if is_shown]
    assert len(places) == len(minutes)
    assert places == sorted(places)
    assert shown[0] == places[0]
    assert all(after - before >= PICTURE for before, after in pairwise(shown))
    assert len(shown) <= WIDE / PICTURE + 1
