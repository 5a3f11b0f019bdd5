"""Where one stands when light is asked about: place, direction, and whose clock is read.

One surprising decision: the store is touched only when a viewpoint is named, so that a bare coordinate is
answered without opening, or even importing, the book.
"""

from dataclasses import dataclass, replace
from datetime import UTC, date, tzinfo
from enum import StrEnum
from typing import TYPE_CHECKING

from logbook.domain.checks import check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.zones import zone_of
from logbook.sky.observer import Observer, sea_horizon_deg

if TYPE_CHECKING:
    from logbook.craft.met_light import MetLight
    from logbook.store.book import Book


class ZoneFrom(StrEnum):
    """What a place's time zone was taken from."""

    STATED = "stated"
    SITE = "site"
    TRIP = "trip"
    COORDINATE = "coordinate"


@dataclass(frozen=True, slots=True)
class Standpoint:
    """A place to look from; `facing_deg` None is unknown, `name` is the viewpoint's slug where it has one."""

    observer: Observer
    zone: tzinfo
    zone_from: ZoneFrom
    facing_deg: float | None = None
    name: str | None = None
    title: str | None = None
    zone_trip: str | None = None  # the slug of the trip whose zone it is, where it is a trip's
    met_light: "tuple[MetLight, ...]" = ()  # what pictures of the viewpoint met

    @property
    def position(self) -> Position:
        """The place on WGS84."""
        return Position(self.observer.latitude_deg, self.observer.longitude_deg)


def with_horizon(standpoint: Standpoint, horizon_deg: float | None, *, is_sea: bool = False) -> Standpoint:
    """Return the standpoint with a horizon of its own: so many degrees, or the sea's from its elevation."""
    observer = standpoint.observer
    deg = sea_horizon_deg(observer.elevation_m) if is_sea else horizon_deg
    return replace(standpoint, observer=replace(observer, horizon_deg=deg))


def at_coordinate(
    position: Position, *, facing_deg: float | None = None, elevation_m: float = 0.0, zone: str | None = None
) -> Standpoint:
    """A standpoint at a coordinate; without a stated zone, the zone there. Raises InvalidValueError."""
    observer = Observer(position.latitude_deg, position.longitude_deg, elevation_m)
    if zone is not None:
        check_zone(zone)
        return Standpoint(observer, zone_of(zone), ZoneFrom.STATED, facing_deg)
    return Standpoint(observer, zone_at(position), ZoneFrom.COORDINATE, facing_deg)


def at_viewpoint(
    viewpoint: Viewpoint,
    site: Site | None,
    *,
    facing_deg: float | None = None,
    zone: str | None = None,
    trip_zone: str | None = None,
) -> Standpoint | None:
    """A standpoint at a viewpoint, or at its site where it has no position itself; None where neither has.

    The zone is the stated one, else the site's, else the trip's, else the one at the coordinate.
    """
    position = viewpoint.position or (site.position if site else None)
    if position is None:
        return None
    elevation_m = viewpoint.elevation_m
    if elevation_m is None:
        elevation_m = site.elevation_m if site else None
    known = (
        (zone, ZoneFrom.STATED),
        (site.zone if site else None, ZoneFrom.SITE),
        (trip_zone, ZoneFrom.TRIP),
    )
    name, zone_from = next(((n, w) for n, w in known if n is not None), (None, ZoneFrom.COORDINATE))
    check_zone(name)
    return Standpoint(
        Observer(position.latitude_deg, position.longitude_deg, elevation_m or 0.0),
        zone_at(position) if name is None else zone_of(name),
        zone_from,
        viewpoint.facing_deg if facing_deg is None else facing_deg,
        viewpoint.slug,
        viewpoint.title,
    )


def find_standpoint(
    book: "Book", wanted: str, on_date: date, *, facing_deg: float | None, zone: str | None
) -> Standpoint:
    """The standpoint of a viewpoint in the book; where its site has no zone, with that of the trip in it.

    Raises InvalidValueError where nobody said where it lies.
    """
    from logbook.services.kinds import VIEWPOINT
    from logbook.services.met_light import met_light_in
    from logbook.services.records import find
    from logbook.services.whereabouts import trip_at

    with book.reading() as desk:
        viewpoint = find(desk, VIEWPOINT, wanted)
        site = desk.sites.get(viewpoint.site_id)
        trip = trip_at(desk, viewpoint, on_date)
        met = met_light_in(desk, {viewpoint.id: viewpoint}, {site.id: site} if site else {})
    trip_zone = trip.zone if trip else None
    found = at_viewpoint(viewpoint, site, facing_deg=facing_deg, zone=zone, trip_zone=trip_zone)
    if found is None:
        raise InvalidValueError(
            f"Neither {viewpoint.slug} nor its site has a position; "
            f'add one with "logbook viewpoint edit {viewpoint.slug} --lat DEG --lon DEG".'
        )
    from_trip = trip.slug if trip is not None and found.zone_from is ZoneFrom.TRIP else None
    return replace(found, zone_trip=from_trip, met_light=met.get(viewpoint.id, ()))


def zone_at(position: Position) -> tzinfo:
    """The time zone at a coordinate, from the packaged boundaries; UTC where none is known there."""
    from tzfpy import get_tz

    try:
        return zone_of(get_tz(position.longitude_deg, position.latitude_deg) or "UTC")
    except InvalidValueError:  # boundaries newer than the zone database
        return UTC
