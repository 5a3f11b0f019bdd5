"""The light that frames were made in: how high the sun was, how bright the scene, and whether that can be.

One surprising decision: the rough sun is enough. A clock is doubted, and a filter seen, by whole stops, and
the ephemeris takes longer to load than a whole trip to look at. Nothing is claimed where no place is known,
however bright a picture of three at night is; somewhere the sun shines then.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from fractions import Fraction
from functools import cache, lru_cache

from logbook.craft.clock_light import LightFlag, LitFrame, SunAltitudes, impossible_light, is_always_possible
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import ev100
from logbook.craft.filters import parse_filter, stack_stops
from logbook.domain.dates import counts, last_day
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.services.light.stands import Stands, shared_position, stands_among
from logbook.services.places.whereabouts import sites_met
from logbook.sky.observer import Observer
from logbook.sky.rough import may_be_eclipsed, rough_altitude_deg
from logbook.store.desk import Desk


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
    """Return the frames whose light only some sun can be, and how high the sun is where they stood.

    Their place must be known. Light that can be under any sun says nothing about a clock.
    """
    lit = [
        (keeper, light)
        for keeper in keepers
        if keeper.id in stands
        and keeper.taken_utc
        and (light := scene_ev100(keeper)) is not None
        and not is_always_possible(light)
    ]

    def altitudes(instants: Iterable[datetime]) -> Iterator[float]:
        return (_height(stands[one.id], at) for (one, _), at in zip(lit, instants, strict=True))

    frames = tuple(
        LitFrame(one.taken_utc, light, stands[one.id].sun_rises_deg) for one, light in lit if one.taken_utc
    )
    return frames, altitudes


def scene_ev100(keeper: Keeper) -> float | None:
    """Return the light of the scene at ISO 100: that of the settings, and what the known filters took."""
    light = settings_ev100(keeper)
    return None if light is None else light + _stops(keeper.filters or ())


def sun_covered(stand: Observer, at: datetime) -> float:
    """Return the share of the sun's disc that an eclipse covered at an instant; 0 where no sky is known.

    Only on the few days of a year on which there may be one the ephemeris is asked.
    """
    if not may_be_eclipsed(at.timestamp()):
        return 0.0
    from logbook.sky.eclipses import discs_covered
    from logbook.sky.errors import SkyValueError

    try:
        (covered,) = discs_covered(stand, (at,), 0.0)
    except SkyValueError:
        return 0.0
    return covered.sun


def _height(stand: Observer, at: datetime) -> float:
    return rough_altitude_deg(stand.latitude_deg, stand.longitude_deg, at.timestamp())


@lru_cache(maxsize=1024)
def _stops(filters: tuple[str, ...]) -> float:
    """Return what known filters take, in stops; nothing for a stack in which one is not known."""
    try:
        return stack_stops(tuple(parse_filter(name) for name in filters)).typical_stops or 0.0
    except CraftValueError:
        return 0.0


def light_doubts(desk: Desk, keepers: Sequence[Keeper]) -> dict[str, LightFlag]:
    """Return what is wrong with the light of keepers of any trips, by keeper id, as the book has them."""
    last = last_day(desk.now().date())
    keepers = [one for one in keepers if one.place_time and counts(one.place_time.date(), last)]
    if not keepers:
        return {}
    sites = {site.id: site for site in desk.sites.all()}
    viewpoints = {viewpoint.id: viewpoint for viewpoint in desk.viewpoints.all()}

    @cache
    def position_of_trip(trip_id: str) -> Position | None:
        trip = desk.trips.get(trip_id)
        return shared_position(sites[one] for one in sites_met(desk, trip)) if trip else None

    return light_flags(stands_among(keepers, viewpoints, sites, position_of_trip), keepers)
