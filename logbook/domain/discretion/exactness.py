"""Which positions, tracks and directions others may be shown, and how exactly.

Surprising decisions: a day's track is shown whole or not at all. A gap around a hidden place would point at
it from both sides, so a day that comes near one loses its track altogether. Lines of sight towards a withheld
place (bearings, what viewpoints look at, directions of pictures) are taken out of the account before anything
is made of it, so that no drawing, advice, table or export can forget. The photographer's archive keeps them.
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
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from logbook.domain.account import TripAccount
from logbook.domain.position import bearing_deg, distance_m
from logbook.domain.record import Record
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance

FAR_M = 5000.0  # nearer than this to a hidden place no picture is placed, and no day's track is shown
SEEN_M = 120_000.0  # metres; from a height of 1,100 m the sea's horizon is as far (3.57 km times its root)
UNKNOWN_FIELD_DEG = 35.0  # to either side, where no focal length is known: a wide lens, and the margin
MARGIN_DEG = 12.0  # beyond the edge of the picture; a bearing given as one of 16 winds is 11.25 degrees off
COMPASS_DEG = 25.0  # more where a direction was read from a compass: magnetic declination where people live
_HALF_FRAME_MM = 18.0  # of 36 mm; a smaller sensor sees less, so this errs to the wide side
_OF_VIEWPOINTS = ("facing_deg", "looks_at")
_OF_KEEPERS = ("direction_deg", "direction_is_magnetic")


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


def without_sight_lines(say: "Discretion") -> TripAccount:
    """Return the account without bearings, views and directions that lead towards a withheld place."""
    account = say.account
    if say.audience is Audience.ARCHIVE:
        return account
    telling, secrets = viewpoints_towards_secrets(say), say.withheld_positions()
    return replace(
        account,
        viewpoints={
            key: replace(one, facing_deg=None, looks_at=None, provenance=_without(one, _OF_VIEWPOINTS))
            if key in telling
            else one
            for key, one in account.viewpoints.items()
        },
        keepers=tuple(
            replace(
                one, direction_deg=None, direction_is_magnetic=None, provenance=_without(one, _OF_KEEPERS)
            )
            if one.viewpoint_id in telling or _points(say, one, secrets)
            else one
            for one in account.keepers
        ),
    )


def viewpoints_towards_secrets(say: "Discretion") -> frozenset[str]:
    """Return the ids of the viewpoints whose bearing, or what they look at, gives a withheld place away."""
    if say.audience is Audience.ARCHIVE:
        return frozenset()
    secrets = say.withheld_positions()
    return frozenset(one.id for one in say.account.viewpoints.values() if _tells(say, one, secrets))


def _tells(say: "Discretion", viewpoint: Viewpoint, secrets: Sequence[Position]) -> bool:
    if viewpoint.looks_at and say.names_a_place(viewpoint.looks_at):
        return True
    if say.shown(viewpoint) is not Disclosure.EXACT:
        return False  # from somewhere in an area a bearing leads nowhere
    site = say.account.sites.get(viewpoint.site_id)
    here = viewpoint.position or (site.position if site else None)
    if here is None or viewpoint.facing_deg is None:
        return False
    return _leads(here, viewpoint.facing_deg, _field_deg(say.account, viewpoint.id), secrets)


def _points(say: "Discretion", keeper: Keeper, secrets: Sequence[Position]) -> bool:
    viewpoint = say.account.viewpoints.get(keeper.viewpoint_id or "")
    here = None
    if viewpoint is not None and say.shown(viewpoint) is Disclosure.EXACT:
        here = viewpoint.position  # it tells where a picture was made whose own position is not shown
    if is_exact(say, keeper):
        here = keeper.position or here
    if here is None or keeper.direction_deg is None:
        return False
    slack_deg = COMPASS_DEG if keeper.direction_is_magnetic else 0.0
    field_deg = _half_deg([keeper.focal_35mm or keeper.focal_mm]) + slack_deg
    return _leads(here, keeper.direction_deg, field_deg, secrets)


def _leads(here: Position, towards_deg: float, field_deg: float, secrets: Sequence[Position]) -> bool:
    return any(
        0.5 < distance_m(here, place) < SEEN_M
        and abs((bearing_deg(here, place) - towards_deg + 180) % 360 - 180) <= field_deg
        for place in secrets
    )


def _field_deg(account: TripAccount, viewpoint_id: str) -> float:
    """How far to either side of its bearing a viewpoint's pictures and plans reach, with the margin."""
    focal: list[float | None] = [
        one.focal_35mm or one.focal_mm for one in account.keepers if one.viewpoint_id == viewpoint_id
    ]
    focal += [one.focal_mm for one in account.shots if one.viewpoint_id == viewpoint_id]
    return _half_deg(focal)


def _half_deg(focal_mm: Iterable[float | None]) -> float:
    widest = min(filter(None, focal_mm), default=None)
    if widest is None:
        return UNKNOWN_FIELD_DEG
    return math.degrees(math.atan(_HALF_FRAME_MM / widest)) + MARGIN_DEG


def _without(record: Record, names: Sequence[str]) -> dict[str, Provenance]:
    """Return where a record's values came from, without those that became unknown."""
    return {name: word for name, word in record.provenance.items() if name not in names}
