"""The light that frames were made in: where each stood, how high the sun was, how bright the scene.

One surprising decision: the rough sun is enough. A clock is doubted, and a filter seen, by whole stops, and
the ephemeris takes longer to load than a whole trip to look at.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from fractions import Fraction
from functools import lru_cache

from logbook.craft.clock_light import LightFlag, LitFrame, SunAltitudes, impossible_light, is_always_possible
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import ev100
from logbook.craft.filters import parse_filter, stack_stops
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position, distance_m
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.services.light.standpoints import observer_at
from logbook.sky.observer import Observer
from logbook.sky.rough import rough_sun

SAME_SUN_M = 50_000.0  # m; the sun's height differs by no more than the arc between two places, here 0.45 deg
Stands = Mapping[str, Observer]  # who stood there, over which horizon, by keeper id


def settings_ev100(keeper: Keeper) -> float | None:
    """Return the exposure value of the settings at ISO 100; None where they are unknown or flash lit it."""
    if keeper.f_number is None or keeper.exposure_s is None or keeper.iso is None or keeper.flash_fired:
        return None
    return _ev100(keeper.f_number, keeper.exposure_s, keeper.iso)


@lru_cache(maxsize=4096)  # of ten thousand keepers few settings differ
def _ev100(f_number: float, exposure_s: Fraction, iso: int) -> float | None:
    try:
        return ev100(f_number, exposure_s, iso)
    except CraftValueError:
        return None


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


def light_flags(stands: Stands, keepers: Iterable[Keeper]) -> dict[str, LightFlag]:
    """Return what is wrong with the light of each keeper whose settings, instant and place are known."""
    flags = {}
    for keeper in keepers:
        light = scene_ev100(keeper) if keeper.taken_utc is not None and keeper.id in stands else None
        if light is None or keeper.taken_utc is None or is_always_possible(light):
            continue
        stand = stands[keeper.id]
        if flag := impossible_light(light, _height(stand, keeper.taken_utc), stand.sun_rises_deg):
            flags[keeper.id] = flag
    return flags


def sun_heights(stands: Stands, keepers: Sequence[Keeper]) -> dict[str, float]:
    """Return the sun's height in degrees at each keeper's instant, where instant and place are known."""
    return {
        keeper.id: _height(stands[keeper.id], keeper.taken_utc)
        for keeper in keepers
        if keeper.taken_utc is not None and keeper.id in stands
    }


def lit_frames(stands: Stands, keepers: Sequence[Keeper]) -> tuple[tuple[LitFrame, ...], SunAltitudes]:
    """Return the frames whose scene light and place are known, and how high the sun is where they stood."""
    lit = [
        (keeper, light)
        for keeper in keepers
        if keeper.id in stands and keeper.taken_utc and (light := scene_ev100(keeper)) is not None
    ]

    def altitudes(instants: Sequence[datetime]) -> list[float]:
        return [_height(stands[one.id], at) for (one, _), at in zip(lit, instants, strict=True)]

    frames = tuple(
        LitFrame(one.taken_utc, light, stands[one.id].sun_rises_deg) for one, light in lit if one.taken_utc
    )
    return frames, altitudes


def scene_ev100(keeper: Keeper) -> float | None:
    """Return the light of the scene at ISO 100: that of the settings, and what the known filters took."""
    light = settings_ev100(keeper)
    return None if light is None else light + _stops(keeper.filters or ())


def _height(stand: Observer, at: datetime) -> float:
    return rough_sun(stand.latitude_deg, stand.longitude_deg, at.timestamp()).altitude_deg


def shared_position(sites: Iterable[Site]) -> Position | None:
    """Return where the sun stands as it does at every site of a trip; None where they lie too far apart.

    The place of one of several might have the sun of another continent.
    """
    positions = [site.position for site in sites if site.position]
    near = all(distance_m(positions[0], other) <= SAME_SUN_M for other in positions[1:])
    return positions[0] if positions and near else None


@lru_cache(maxsize=1024)
def _stops(filters: tuple[str, ...]) -> float:
    """Return what known filters take, in stops; nothing for a stack in which one is not known."""
    try:
        return stack_stops(tuple(parse_filter(name) for name in filters)).typical_stops or 0.0
    except CraftValueError:
        return 0.0
