"""Which positions and which parts of a track others may be shown, and how exactly.

One surprising decision: a day's track is shown whole or not at all. A gap around a hidden place would point
at it from both sides, so a day that comes near one loses its track altogether.
"""

import math
from collections.abc import Iterator
from datetime import UTC, date
from zoneinfo import ZoneInfo

from logbook.domain.day import day_of
from logbook.domain.discretion import Discretion
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.track import Fix, Track
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure

CELL_DEG = 0.1  # to which an area is rounded, in latitude and longitude
FAR_M = 5000.0  # no track is shown of a day that comes nearer than this to a hidden place
_EQUATOR_M, _FLATTENING = 6378137.0, 1 / 298.257223563  # WGS84 (NIMA TR8350.2, table 3.1)


def metres_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Return metres per degree of latitude and of longitude on the WGS84 ellipsoid.

    From its radii of curvature (Snyder, Map Projections: A Working Manual, USGS PP 1395, eq. 4-18, 4-20).
    """
    latitude = math.radians(latitude_deg)
    e2 = _FLATTENING * (2 - _FLATTENING)
    bend = 1 - e2 * math.sin(latitude) ** 2
    degree = math.pi / 180 * _EQUATOR_M
    return degree * (1 - e2) / bend**1.5, degree * math.cos(latitude) / math.sqrt(bend)


def metres_apart(first: Position, second: Position) -> float:
    """Return about how far two places are apart; right within a percent up to some tens of kilometres."""
    north_m, east_m = metres_per_degree((first.latitude_deg + second.latitude_deg) / 2)
    turn = (second.longitude_deg - first.longitude_deg + 180) % 360 - 180
    return math.hypot((second.latitude_deg - first.latitude_deg) * north_m, turn * east_m)


def as_shown(position: Position, is_area: bool) -> tuple[Position, bool]:
    """Return a position as it may be shown, and whether it is rounded to an area."""
    if not is_area:
        return position, False
    return Position(round(position.latitude_deg, 1), round(position.longitude_deg, 1)), True


def shown_tracks(say: Discretion) -> tuple[Track, ...]:
    """Return the parts of the tracks that may be shown, a day at a time, without heights."""
    account = say.account
    hidden = tuple(_hidden_positions(say))
    closed = {one.on_date for one in account.visits if _is_hidden(say, one.viewpoint_id)}
    clock = ZoneInfo(account.trip.zone) if account.trip.zone else UTC
    pieces: list[tuple[date, Track]] = []
    for segment in account.tracks:
        by_day: dict[date, list[Fix]] = {}
        for point in segment:
            day = day_of(point.at.astimezone(clock).replace(tzinfo=None), account.trip.day_ends_at)
            by_day.setdefault(day, []).append(Fix(point.at, point.latitude_deg, point.longitude_deg))
            here = Position(point.latitude_deg, point.longitude_deg)
            if day not in closed and any(metres_apart(here, place) < FAR_M for place in hidden):
                closed.add(day)
        pieces += [(day, tuple(points)) for day, points in by_day.items()]
    return tuple(piece for day, piece in pieces if day not in closed and len(piece) > 1)


def _is_hidden(say: Discretion, viewpoint_id: str | None) -> bool:
    viewpoint = say.account.viewpoints.get(viewpoint_id or "")
    return viewpoint is not None and say.shown(viewpoint) is Disclosure.WITHHELD


def _hidden_positions(say: Discretion) -> Iterator[Position]:
    """Every place that is not shown exactly, and every picture's position that belongs to none that is."""
    account = say.account
    places: tuple[Site | Viewpoint, ...] = (*account.sites.values(), *account.viewpoints.values())
    for place in places:
        if place.position and say.shown(place) is not Disclosure.EXACT:
            yield place.position
    for keeper in account.keepers:
        if keeper.latitude_deg is not None and keeper.longitude_deg is not None and not is_exact(say, keeper):
            yield Position(keeper.latitude_deg, keeper.longitude_deg)


def is_exact(say: Discretion, keeper: Keeper) -> bool:
    """Tell whether an audience may know exactly where a picture was taken."""
    viewpoint = say.account.viewpoints.get(keeper.viewpoint_id or "")
    if viewpoint is None:
        return say.audience is Audience.ARCHIVE or say.account.trip.location_shown is Disclosure.EXACT
    return say.shown(viewpoint) is Disclosure.EXACT
