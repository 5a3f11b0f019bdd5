"""Which stays of a day are which visits of the book, where the times of those visits are nobody's word."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time

import pytest

from logbook.craft.stays import ProposedVisit, VisitSource
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.services.night.grouping import id_of_stay, stays_of

AT = datetime(2026, 5, 1, tzinfo=UTC)
DAY = date(2026, 5, 12)
TRIP = Trip(id="t", created=AT, updated=AT, slug="moors", title="Moors", zone="UTC")
INFERRED = {"arrived_at": Provenance.INFERRED, "departed_at": Provenance.INFERRED}


def stay(begin: str, end: str, *frames: str) -> ProposedVisit:
    """A stay of some frames at the rail."""
    arrived, departed = (datetime.combine(DAY, time.fromisoformat(at), tzinfo=UTC) for at in (begin, end))
    return ProposedVisit(
        spot="rail",
        arrived=arrived,
        departed=departed,
        source=VisitSource.FRAMES,
        frames=frames,
        distance_m=None,
        reason="",
    )


EARLY = stay("17:10", "17:20", "a", "b")


LATE = stay("20:30", "20:38", "c", "d")


def visit(named_from: ProposedVisit | None = None, times: str = "", *, is_stated: bool = False) -> Visit:
    """A visit to the rail, added by hand or named from a stay, with times or without."""
    made = id_of_stay(named_from, TRIP, DAY, ()) if named_from else f"by-hand {times}"
    begin, _, end = times.partition("-")
    return Visit(
        id=made,
        created=AT,
        updated=AT,
        slug="rail",
        trip_id="t",
        viewpoint_id="v",
        on_date=DAY,
        arrived_at=time.fromisoformat(begin) if begin else None,
        departed_at=time.fromisoformat(end) if end else None,
        provenance={} if is_stated or not times else INFERRED,
    )


def shared(visits: Sequence[Visit], stays: Sequence[ProposedVisit]) -> list[list[ProposedVisit]]:
    """The stays of each visit."""
    return [stays_of(one, visits, stays, TRIP, UTC) for one in visits]


@pytest.mark.parametrize("times", ["", "20:30-20:38", "17:10-17:20"])
def test_naming_a_stay_takes_no_other_stay_hours_before(times: str) -> None:
    assert shared([visit(LATE, times)], [EARLY, LATE]) == [[LATE]]


def test_a_named_stay_is_found_again_after_its_clock_was_put_right() -> None:
    named = visit(LATE, "20:30-20:38")
    moved = stay("18:30", "18:38", "z", "c", "d")
    assert shared([named], [stay("20:25", "20:40", "y"), moved]) == [[moved]]


def test_stays_near_the_named_one_go_on_with_it() -> None:
    soon = stay("21:00", "21:10", "e")
    assert shared([visit(LATE)], [EARLY, LATE, soon]) == [[LATE, soon]]


def test_each_of_two_named_stays_keeps_its_own_and_a_third_stays_free() -> None:
    third = stay("23:30", "23:40", "e")
    assert shared([visit(LATE), visit(EARLY)], [EARLY, LATE, third]) == [[LATE], [EARLY]]


def test_a_visit_added_without_times_is_one_stay_and_not_the_whole_day() -> None:
    assert shared([visit()], [EARLY, LATE]) == [[EARLY]]


def test_a_visit_of_inferred_times_is_the_stay_that_they_meet() -> None:
    assert shared([visit(None, "20:35-20:50")], [EARLY, LATE]) == [[LATE]]


def test_stated_times_outweigh_the_stay_that_a_visit_was_named_from() -> None:
    assert shared([visit(LATE, "17:00-17:30", is_stated=True)], [EARLY, LATE]) == [[EARLY]]
