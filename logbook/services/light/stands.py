"""Where pictures and viewpoints stand under the sky: place, height, horizon, and whose zone that is."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import tzinfo

from logbook.domain.account import TripAccount
from logbook.domain.horizon import seen_deg
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import zones_there
from logbook.domain.position import Position, distance_m
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.zones import UTC_NAME, zone_of
from logbook.sky.observer import Observer

SAME_SUN_M = 50_000.0  # m; the sun's height differs by no more than the arc between two places, here 0.45 deg
Stands = Mapping[str, Observer]  # who stood there, over which horizon, by keeper id


def observer_at(viewpoint: Viewpoint | None, site: Site | None) -> Observer | None:
    """Return who stands at a viewpoint, over its own horizon, or at its site; None where none has a place."""
    position = (viewpoint.position if viewpoint else None) or (site.position if site else None)
    if position is None:
        return None
    elevation_m = elevation_of(viewpoint, site)
    horizon_deg = seen_deg(viewpoint.horizon, elevation_m) if viewpoint else None
    return Observer(position.latitude_deg, position.longitude_deg, elevation_m or 0.0, horizon_deg)


def elevation_of(viewpoint: Viewpoint | None, site: Site | None) -> float | None:
    if viewpoint is not None and viewpoint.elevation_m is not None:
        return viewpoint.elevation_m
    return site.elevation_m if site else None


def zone_at(position: Position) -> tzinfo:
    """The time zone at a coordinate, from the packaged boundaries; UTC where none is known there."""
    return zone_of(next(iter(zones_there(position)), UTC_NAME))


def stands_of(account: TripAccount, keepers: Sequence[Keeper]) -> dict[str, Observer]:
    """Return where each keeper of a trip was made, as far as it is known and its date can be.

    Those whose date cannot be have no sun.
    """
    shared = shared_position(account.sites.values())
    dated = [one for one in keepers if one.place_time is None or account.counts(one.place_time.date())]
    return stands_among(dated, account.viewpoints, account.sites, lambda _trip_id: shared)


def stands_among(
    keepers: Iterable[Keeper],
    viewpoints: Mapping[str, Viewpoint],
    sites: Mapping[str, Site],
    position_of_trip: Callable[[str], Position | None],
) -> dict[str, Observer]:
    """Return where each keeper was made: its own position, else the viewpoint's, the site's, the trip's.

    The horizon is the viewpoint's, whatever the position was taken from.
    """
    stands: dict[str, Observer] = {}
    at_viewpoints: dict[str, Observer | None] = {}
    for keeper in keepers:
        viewpoint = viewpoints.get(keeper.viewpoint_id or "")
        if viewpoint is not None and viewpoint.id not in at_viewpoints:
            at_viewpoints[viewpoint.id] = observer_at(viewpoint, sites.get(viewpoint.site_id))
        stand = at_viewpoints.get(viewpoint.id) if viewpoint else None
        if keeper.latitude_deg is not None and keeper.longitude_deg is not None:
            horizon_deg = stand.horizon_deg if stand else None
            stands[keeper.id] = Observer(keeper.latitude_deg, keeper.longitude_deg, 0.0, horizon_deg)
        elif stand is not None:
            stands[keeper.id] = stand
        elif position := position_of_trip(keeper.trip_id):
            stands[keeper.id] = Observer(position.latitude_deg, position.longitude_deg)
    return stands


def shared_position(sites: Iterable[Site]) -> Position | None:
    """Return where the sun stands as it does at every site of a trip; None where they lie too far apart.

    The place of one of several might have the sun of another continent.
    """
    positions = [site.position for site in sites if site.position]
    near = all(distance_m(positions[0], other) <= SAME_SUN_M for other in positions[1:])
    return positions[0] if positions and near else None
