"""Where one stands when light is asked about: place, direction, and whose clock is read.

One surprising decision: the store is touched only when a viewpoint is named, so that a bare coordinate is
answered without opening, or even importing, the book.
"""

from dataclasses import dataclass, replace
from datetime import UTC, date, tzinfo
from typing import TYPE_CHECKING

from logbook.domain.checks import check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.horizon import SEA, Horizon, horizon_text, seen_deg
from logbook.domain.place_clock import PlaceClock, ZoneFrom, clock_at
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.zones import zone_of
from logbook.services.light.stands import elevation_of, observer_at, zone_at
from logbook.sky.observer import Observer

if TYPE_CHECKING:
    from logbook.craft.met_light import MetLight
    from logbook.domain.account import TripAccount
    from logbook.domain.trip import Trip
    from logbook.store.book import Book
    from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class Standpoint:
    """A place to look from; `facing_deg` None is unknown, `name` is the viewpoint's slug where it has one.

    `elevation_m` is None where nobody knows it, and the observer then stands at sea level; `horizon` is the
    stated one, None where sun and moon are told for a level horizon.
    """

    observer: Observer
    zone: tzinfo
    zone_from: ZoneFrom
    facing_deg: float | None = None
    name: str | None = None
    title: str | None = None
    zone_trip: str | None = None  # the slug of the trip whose zone it is, where it is a trip's
    met_light: "tuple[MetLight, ...]" = ()  # what pictures of the viewpoint met
    elevation_m: float | None = None
    horizon: Horizon | None = None

    @property
    def position(self) -> Position:
        """The place on WGS84."""
        return Position(self.observer.latitude_deg, self.observer.longitude_deg)

    @property
    def horizon_text(self) -> str:
        """Which horizon counts here, in words."""
        return horizon_text(self.horizon, self.elevation_m)


def with_horizon(standpoint: Standpoint, horizon: Horizon) -> Standpoint:
    """Return the standpoint over another horizon; InvalidValueError for the sea from an unknown height."""
    deg = seen_deg(horizon, standpoint.elevation_m)
    if deg is None:
        how = (
            "give it with --elevation M"
            if standpoint.name is None
            else f'add it with "logbook viewpoint edit {standpoint.name} --elevation M"'
        )
        raise InvalidValueError(f"A sea horizon needs the elevation above the sea; {how}.")
    return replace(standpoint, horizon=horizon, observer=replace(standpoint.observer, horizon_deg=deg))


def unmet_sea(book: "Book", viewpoint: Viewpoint) -> str | None:
    """Return what to do about a sea horizon that is not worked out yet; None where nothing is missing."""
    with book.reading() as desk:
        site = desk.sites.get(viewpoint.site_id)
    if viewpoint.horizon != SEA or seen_deg(viewpoint.horizon, elevation_of(viewpoint, site)) is not None:
        return None
    return (
        "A sea horizon needs the elevation above the sea; until then it counts as level. Add it with "
        f'"logbook viewpoint edit {viewpoint.slug} --elevation M".'
    )


def at_coordinate(
    position: Position,
    *,
    facing_deg: float | None = None,
    elevation_m: float | None = None,
    zone: str | None = None,
) -> Standpoint:
    """A standpoint at a coordinate; without a stated zone, the zone there. Raises InvalidValueError."""
    observer = Observer(position.latitude_deg, position.longitude_deg, elevation_m or 0.0)
    if zone is not None:
        check_zone(zone)
        return Standpoint(observer, zone_of(zone), ZoneFrom.STATED, facing_deg, elevation_m=elevation_m)
    return Standpoint(observer, zone_at(position), ZoneFrom.COORDINATE, facing_deg, elevation_m=elevation_m)


def at_viewpoint(
    viewpoint: Viewpoint,
    site: Site | None,
    *,
    facing_deg: float | None = None,
    clock: PlaceClock | None = None,
) -> Standpoint | None:
    """A standpoint at a viewpoint, or at its site where it has no position itself; None where neither has.

    Without a clock it is read by the site's, else by that of the coordinate, else by UTC.
    """
    observer = observer_at(viewpoint, site)
    if observer is None:
        return None
    here = Position(observer.latitude_deg, observer.longitude_deg)
    counts = clock or clock_at(here, None, site_zone=site.zone if site else None)
    return Standpoint(
        observer,
        zone_of(counts.zone) if counts else UTC,
        counts.zone_from if counts else ZoneFrom.COORDINATE,
        viewpoint.facing_deg if facing_deg is None else facing_deg,
        viewpoint.slug,
        viewpoint.title,
        elevation_m=elevation_of(viewpoint, site),
        horizon=viewpoint.horizon,
    )


def standpoint_of(
    account: "TripAccount", viewpoint_id: str | None, on_date: date | None
) -> Standpoint | None:
    """Return where a viewpoint stands, and whose clock counts there on a day; None where it has no place."""
    viewpoint = account.viewpoints.get(viewpoint_id or "")
    if viewpoint is None:
        return None
    site = account.sites.get(viewpoint.site_id)
    return at_viewpoint(viewpoint, site, clock=account.clock_on(on_date, viewpoint.id))


def clock_there(
    desk: "Desk", viewpoint: Viewpoint, site: Site | None, on_date: date
) -> "tuple[Trip | None, PlaceClock | None]":
    """Return whose clock counts at a viewpoint on a day, and the trip that was or will be there then.

    Of a site that has a zone of its own no trip is looked for.
    """
    from logbook.services.places.whereabouts import trip_at

    if site is not None and site.zone is not None:
        return None, PlaceClock(site.zone, ZoneFrom.SITE)
    trip = trip_at(desk, viewpoint, on_date)
    day = desk.days.first(trip_id=trip.id, on_date=on_date) if trip else None
    here = viewpoint.position or (site.position if site else None)
    desk.tallies.learn_zones((here,))
    counts = clock_at(
        here,
        on_date,
        day_zone=day.zone if day else None,
        trip_zone=trip.zone if trip else None,
    )
    return trip, counts


def find_standpoint(
    book: "Book", wanted: str, on_date: date, *, facing_deg: float | None, zone: str | None
) -> Standpoint:
    """The standpoint of a viewpoint in the book; on a day, by the clock that counts there.

    Raises InvalidValueError where nobody said where it lies.
    """
    from logbook.services.kinds import VIEWPOINT
    from logbook.services.light.met_light import met_light_in
    from logbook.services.records import find

    with book.reading() as desk:
        viewpoint = find(desk, VIEWPOINT, wanted)
        site = desk.sites.get(viewpoint.site_id)
        trip, counts = clock_there(desk, viewpoint, site, on_date)
        met = met_light_in(desk, {viewpoint.id: viewpoint}, {site.id: site} if site else {})
    check_zone(zone)
    clock = PlaceClock(zone, ZoneFrom.STATED) if zone is not None else counts
    found = at_viewpoint(viewpoint, site, facing_deg=facing_deg, clock=clock)
    if found is None:
        raise InvalidValueError(
            f"Neither {viewpoint.slug} nor its site has a position; "
            f'add one with "logbook viewpoint edit {viewpoint.slug} --lat DEG --lon DEG".'
        )
    from_trip = trip.slug if trip is not None and found.zone_from in (ZoneFrom.TRIP, ZoneFrom.DAY) else None
    return replace(found, zone_trip=from_trip, met_light=met.get(viewpoint.id, ()))
