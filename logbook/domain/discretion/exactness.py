"""Which positions and which parts of a track others may be shown, and how exactly.

One surprising decision: a day's track is shown whole or not at all. A gap around a hidden place would point
at it from both sides, so a day that comes near one loses its track altogether.
"""

from collections.abc import Iterator
from datetime import UTC, date, timedelta
from typing import TYPE_CHECKING

from logbook.domain.day import day_of, span_of_day
from logbook.domain.keeper import Keeper
from logbook.domain.measures import metres_apart
from logbook.domain.position import Position
from logbook.domain.shot import Shot
from logbook.domain.track import Fix, Segment
from logbook.domain.words import Audience, Disclosure, OutcomeWord
from logbook.domain.zones import wall_at, zone_of

if TYPE_CHECKING:
    from logbook.domain.discretion.audience import Discretion

FAR_M = 5000.0  # nearer than this to a hidden place no picture is placed, and no day's track is shown


def shown_tracks(say: "Discretion") -> tuple[Segment, ...]:
    """Return the parts of the tracks that may be shown, a day at a time, without heights."""
    account = say.account
    hidden = tuple(hidden_positions(say))
    closed = set(_hidden_days(say))
    clock = zone_of(account.trip.zone) if account.trip.zone else UTC
    pieces: list[tuple[date, Segment]] = []
    for segment in account.tracks:
        by_day: dict[date, list[Fix]] = {}
        for point in segment:
            day = day_of(wall_at(point.at, clock), account.trip.day_ends_at)
            by_day.setdefault(day, []).append(Fix(point.at, point.latitude_deg, point.longitude_deg))
            here = Position(point.latitude_deg, point.longitude_deg)
            if day not in closed and any(metres_apart(here, place) < FAR_M for place in hidden):
                closed.add(day)
        pieces += [(day, tuple(points)) for day, points in by_day.items()]
    return tuple(piece for day, piece in pieces if day not in closed and len(piece) > 1)


def _hidden_days(say: "Discretion") -> Iterator[date]:
    """Days on which somebody was at a withheld place, by anything that was written down: a track leads there.

    The days of a track are the trip zone's, else UTC's, which may be a day off those of the place.
    """
    account = say.account
    dated: list[tuple[date | None, str | None, str | None]] = [
        *((one.on_date, one.viewpoint_id, None) for one in account.visits),
        *((one.on_date, one.viewpoint_id, None) for one in account.shots if _was_made(say, one)),
        *((one.on_date, one.viewpoint_id, one.site_id) for one in account.conditions),
        *(
            (day_of(one.place_time, account.trip.day_ends_at), one.viewpoint_id, None)
            for one in account.keepers
            if one.place_time
        ),
    ]
    for day, viewpoint_id, site_id in dated:
        if day and say.hides(viewpoint_id, site_id):
            yield from _track_days(say, day, viewpoint_id, site_id)


def _track_days(
    say: "Discretion", day: date, viewpoint_id: str | None, site_id: str | None
) -> Iterator[date]:
    """The days of a track, by the trip's clock, that a day at a place has a part in."""
    account = say.account
    clock = account.clock_on(day, viewpoint_id, site_id)
    if account.trip.zone is None or clock is None:
        first, last = max(1, day.toordinal() - 1), min(date.max.toordinal(), day.toordinal() + 1)
    elif clock.zone == account.trip.zone:
        first = last = day.toordinal()
    else:
        trip_clock, ends_at = zone_of(account.trip.zone), account.trip.day_ends_at
        begins, ends = span_of_day(day, zone_of(clock.zone), ends_at)
        edges = (begins, max(begins, ends - timedelta(seconds=1)))
        first, last = (day_of(wall_at(edge, trip_clock), ends_at).toordinal() for edge in edges)
    yield from map(date.fromordinal, range(first, last + 1))


def _was_made(say: "Discretion", shot: Shot) -> bool:
    outcome = say.account.outcomes.get(shot.id)
    return outcome is not None and outcome.word in (OutcomeWord.MADE, OutcomeWord.PARTLY)


def _hidden_places(say: "Discretion", *, withheld: bool = False) -> Iterator[Position]:
    """Every place that is not shown exactly, or only those that are withheld."""
    for place in say.account.places:
        shown = say.shown(place)
        if place.position and (shown is Disclosure.WITHHELD if withheld else shown is not Disclosure.EXACT):
            yield place.position


def hidden_positions(say: "Discretion") -> Iterator[Position]:
    """Every place that is not shown exactly, and every picture's position that is not."""
    yield from _hidden_places(say)
    for keeper in say.account.keepers:
        if (place := keeper.position) and not is_exact(say, keeper):
            yield place


def is_exact(say: "Discretion", keeper: Keeper) -> bool:
    """Tell whether an audience may know exactly where a picture was taken: never near a hidden place.

    Where it is of a viewpoint that may be shown exactly, only a withheld place counts as hidden.
    """
    if say.audience is Audience.ARCHIVE:
        return True
    viewpoint = say.account.viewpoints.get(keeper.viewpoint_id or "")
    shown = say.shown(viewpoint) if viewpoint else say.account.trip.location_shown
    here = keeper.position
    if shown is not Disclosure.EXACT or here is None:
        return shown is Disclosure.EXACT
    hidden = _hidden_places(say, withheld=viewpoint is not None)
    return all(metres_apart(here, place) >= FAR_M for place in hidden)
