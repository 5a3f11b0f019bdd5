from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.stay_cuts import cut_proposed, join_proposed
from logbook.craft.stays import ProposedVisit, VisitSource

START = datetime(2031, 10, 14, 8, 30, tzinfo=UTC)


def after(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def visit(*minutes: int, until: int = 60) -> ProposedVisit:
    return ProposedVisit(
        spot="ledge",
        arrived=START,
        departed=after(until),
        source=VisitSource.FRAMES,
        frames=tuple(str(minute) for minute in minutes),
        distance_m=None,
        reason="as stated",
    )


MOMENTS = {str(minute): after(minute) for minute in range(61)}


def test_frames_go_to_the_part_of_their_time() -> None:
    first, second = cut_proposed(visit(0, 10, 30, 60), after(30), MOMENTS)
    assert (first.frames, second.frames) == (("0", "10"), ("30", "60"))
    assert (first.departed, second.arrived) == (after(30), after(30))


def test_a_time_outside_the_stay_is_refused() -> None:
    for minute in (-5, 0, 60, 90):
        with pytest.raises(CraftValueError, match="between arrival and departure"):
            cut_proposed(visit(10), after(minute), MOMENTS)


def test_stays_at_two_places_are_not_joined() -> None:
    with pytest.raises(CraftValueError, match="different places"):
        join_proposed(visit(1), replace(visit(2), spot="rail"))


def test_a_place_that_one_of_them_knows_holds_for_both() -> None:
    assert join_proposed(replace(visit(1), spot=None), replace(visit(2), arrived=after(2))).spot == "ledge"


@given(st.sets(st.integers(0, 60), min_size=1).map(sorted), st.integers(1, 59))
def test_joining_what_was_cut_gives_it_back(minutes: list[int], at: int) -> None:
    whole = visit(*minutes)
    first, second = cut_proposed(whole, after(at), MOMENTS)
    joined = join_proposed(second, first)
    assert replace(joined, reason="", source=whole.source) == replace(whole, reason="")
