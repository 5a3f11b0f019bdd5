"""Whose clock counts at a place on a day: what was said of the site, else of the day, else where it lies.

One surprising decision: a trip's zone gives way to the place's own where clocks differ there. A trip may
cross a border at noon, and a window planned beyond it is meant by the clock that hangs there; whoever keeps
another time says so of the day or the site. At sea the trip's zone counts, as a ship keeps its port's time.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from functools import lru_cache

from logbook.domain.day import day_of
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import Position
from logbook.domain.zones import wall_at, zone_of

_AT_SEA = ("Etc/", "UTC")  # how zones begin that are reckoned from the longitude alone
_LOOKS = (timedelta(0), timedelta(hours=12), timedelta(hours=24), timedelta(hours=36))  # from midnight on
_learned: dict[Position, tuple[str, ...]] = {}  # reading the boundaries takes 0.1 s


class ZoneFrom(StrEnum):
    """What a place's time zone was taken from."""

    STATED = "stated"
    SITE = "site"
    DAY = "day"
    TRIP = "trip"
    COORDINATE = "coordinate"


@dataclass(frozen=True, slots=True)
class PlaceClock:
    """A zone as the book stores it, and what it was taken from."""

    zone: str
    zone_from: ZoneFrom


def clock_at(
    position: Position | None,
    on_date: date | None,
    *,
    site_zone: str | None = None,
    day_zone: str | None = None,
    trip_zone: str | None = None,
) -> PlaceClock | None:
    """Return the clock at a place on a day (None: on no particular one); None where nothing tells a zone."""
    if site_zone is not None:
        return PlaceClock(site_zone, ZoneFrom.SITE)
    if day_zone is not None:
        return PlaceClock(day_zone, ZoneFrom.DAY)
    there = zones_there(position) if position is not None else ()
    on_land = tuple(one for one in there if not one.startswith(_AT_SEA))
    if trip_zone is not None and not (on_land and _differs(trip_zone, on_land, on_date)):
        return PlaceClock(trip_zone, ZoneFrom.TRIP)
    return PlaceClock(there[0], ZoneFrom.COORDINATE) if there else None


def zone_by_columns(
    latitude_deg: float | None,
    longitude_deg: float | None,
    on_date: str,
    site_zone: str | None,
    day_zone: str | None,
    trip_zone: str | None,
) -> str | None:
    """Return the zone that `clock_at` tells, from a date and places as they lie in a book.

    A place off the globe, which no program of ours wrote, tells nothing.
    """
    here = None
    if latitude_deg is not None and longitude_deg is not None and is_on_globe(latitude_deg, longitude_deg):
        here = Position(latitude_deg, longitude_deg)
    day = date.fromisoformat(on_date)
    clock = clock_at(here, day, site_zone=site_zone, day_zone=day_zone, trip_zone=trip_zone)
    return clock.zone if clock else None


def is_on_globe(latitude_deg: float, longitude_deg: float) -> bool:
    """Tell whether degrees are those of a position."""
    return -90.0 <= latitude_deg <= 90.0 and -180.0 <= longitude_deg <= 180.0


def shown_at(
    instant: datetime, zone_on: Callable[[date | None], tzinfo], day_ends_at: time
) -> tuple[date, datetime]:
    """Return the photographer's day and what the clock shows at an instant, by the zone that counts that day.

    Which day it is depends on the clock, which may be stated for the day: the clock of no day speaks first.
    """
    local = wall_at(instant, zone_on(None))
    local = wall_at(instant, zone_on(day_of(local, day_ends_at)))
    return day_of(local, day_ends_at), local


def zones_there(position: Position) -> tuple[str, ...]:
    """Return what `zones_in_boundaries` says of a coordinate, without reading them where that was learned."""
    return _learned[position] if position in _learned else zones_in_boundaries(position)


def learn_zones(found: Mapping[Position, tuple[str, ...]]) -> None:
    """Remember the zones at some coordinates that `zones_in_boundaries` returned before, in any process."""
    _learned.update(found)


def boundaries_version() -> str:
    """Return which boundaries are packaged."""
    from tzfpy import data_version

    return data_version()


def zones_in_boundaries(position: Position) -> tuple[str, ...]:
    """Return the zones at a coordinate, from the packaged boundaries; several where they are disputed.

    A zone that the zone database does not know is left out: boundaries may be newer.
    """
    from tzfpy import get_tzs

    return tuple(name for name in get_tzs(position.longitude_deg, position.latitude_deg) if _is_known(name))


@lru_cache(maxsize=4096)  # all records of a place and a day ask alike
def _differs(trip_zone: str, there: tuple[str, ...], on_date: date | None) -> bool:
    """Tell whether clocks of a zone show another time than all clocks of a place, at any hour of a day."""
    midnight = datetime.combine(on_date or date(2000, 1, 1), time(), UTC)
    if trip_zone in there or midnight.year in (date.min.year, date.max.year):
        return False
    own = zone_of(trip_zone)
    return all(_shown(own, midnight) != _shown(zone_of(name), midnight) for name in there)


def _shown(zone: tzinfo, midnight: datetime) -> list[timedelta | None]:
    return [(midnight + look).astimezone(zone).utcoffset() for look in _LOOKS]


def _is_known(name: str) -> bool:
    try:
        zone_of(name)
    except InvalidValueError:
        return False
    return True
