"""Which places and which parts of a track a drawing may use, and how exactly.

One surprising decision: a day's track is drawn whole or not at all. A gap around a hidden place would point
at it from both sides, so a day that comes near one loses its track altogether.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from logbook.domain.account import Track
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure
from logbook.faces.report.order import Order, day_of
from logbook.faces.report.privacy import Discretion

CELL_DEG = 0.1  # to which an area is rounded, in latitude and longitude
FAR_M = 5000.0  # no track is drawn of a day that comes nearer than this to a hidden place
_EQUATOR_M, _FLATTENING = 6378137.0, 1 / 298.257223563  # WGS84 (NIMA TR8350.2, table 3.1)


@dataclass(frozen=True, slots=True)
class ShownPlace:
    """A place as it may be drawn: `position` is already rounded where `is_area`."""

    place: Site | Viewpoint
    name: str
    site: str
    position: Position
    is_area: bool


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


def shown_position(say: Discretion, viewpoint_id: str | None) -> tuple[Position, bool] | None:
    """Return where a viewpoint, else its site, may be said to lie, and whether that is rounded to an area."""
    viewpoint = say.viewpoint(viewpoint_id)
    if viewpoint is None:
        return None
    place: Site | Viewpoint | None = viewpoint if viewpoint.position else say.site(viewpoint.site_id)
    if place is None or place.position is None:
        return None
    return _as_shown(place.position, Disclosure.AREA in (say.shown(place), say.shown(viewpoint)))


def shown_places(order: Order, say: Discretion) -> tuple[ShownPlace, ...]:
    """Return the viewpoints that the trip used, and the sites of which no viewpoint has a position."""
    account = order.account
    used = [one.viewpoint_id for one in account.visits]
    used += [one.viewpoint_id for one in order.shots if one.viewpoint_id]
    used += [one.viewpoint_id for one in order.keepers if one.viewpoint_id]
    viewpoints = [found for key in dict.fromkeys(used) if (found := say.viewpoint(key))]
    placed = {one.site_id for one in viewpoints if one.position}
    sites = [one for key, one in account.sites.items() if key not in placed and say.site(key)]
    shown = []
    candidates: tuple[Site | Viewpoint, ...] = (*viewpoints, *sites)
    for place in candidates:
        if place.position:
            position, is_area = _as_shown(place.position, say.shown(place) is Disclosure.AREA)
            shown.append(ShownPlace(place, say.line(place.title), _site_name(say, place), position, is_area))
    return tuple(sorted(shown, key=lambda one: (one.name, one.place.slug)))


def shown_tracks(order: Order, say: Discretion) -> tuple[Track, ...]:
    """Return the parts of the tracks that may be drawn, a day at a time."""
    account = order.account
    hidden = tuple(_hidden_positions(order, say))
    closed = {one.on_date for one in account.visits if _is_hidden(say, one.viewpoint_id)}
    clock = ZoneInfo(account.trip.zone) if account.trip.zone else UTC
    pieces: list[tuple[date, Track]] = []
    for segment in account.tracks:
        by_day: dict[date, list[tuple[datetime, float, float]]] = {}
        for point in segment:
            day = day_of(point[0].astimezone(clock).replace(tzinfo=None), account.trip.day_ends_at)
            by_day.setdefault(day, []).append(point)
            if day not in closed and any(
                metres_apart(Position(point[1], point[2]), place) < FAR_M for place in hidden
            ):
                closed.add(day)
        pieces += [(day, tuple(points)) for day, points in by_day.items()]
    return tuple(piece for day, piece in pieces if day not in closed and len(piece) > 1)


def _site_name(say: Discretion, place: Site | Viewpoint) -> str:
    site = say.site(place.site_id) if isinstance(place, Viewpoint) else place
    return say.line((site or place).title)


def _as_shown(position: Position, is_area: bool) -> tuple[Position, bool]:
    if not is_area:
        return position, False
    return Position(round(position.latitude_deg, 1), round(position.longitude_deg, 1)), True


def _is_hidden(say: Discretion, viewpoint_id: str | None) -> bool:
    viewpoint = say.account.viewpoints.get(viewpoint_id or "")
    return viewpoint is not None and say.shown(viewpoint) is Disclosure.WITHHELD


def _hidden_positions(order: Order, say: Discretion) -> Iterator[Position]:
    """Every place that is not shown exactly, and every picture's position that belongs to none that is."""
    account = order.account
    places: tuple[Site | Viewpoint, ...] = (*account.sites.values(), *account.viewpoints.values())
    for place in places:
        if place.position and say.shown(place) is not Disclosure.EXACT:
            yield place.position
    for keeper in order.keepers:
        if keeper.latitude_deg is not None and keeper.longitude_deg is not None and not is_exact(say, keeper):
            yield Position(keeper.latitude_deg, keeper.longitude_deg)


def is_exact(say: Discretion, keeper: Keeper) -> bool:
    """Tell whether an audience may know exactly where a picture was taken."""
    viewpoint = say.account.viewpoints.get(keeper.viewpoint_id or "")
    if viewpoint is None:
        return say.audience is Audience.ARCHIVE or say.account.trip.location_shown is Disclosure.EXACT
    return say.shown(viewpoint) is Disclosure.EXACT
