"""The light that frames were made in: where each stood, how high the sun was, how bright the scene.

One surprising decision: the rough sun is enough. A clock is doubted, and a filter seen, by whole stops, and
the ephemeris takes longer to load than a whole trip to look at.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime

from logbook.craft.clock_light import LitFrame, SunAltitudes
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import ev100
from logbook.craft.filters import Filter, parse_filter, stack_stops
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position, distance_m
from logbook.sky.rough import rough_sun

SAME_SUN_M = 50_000.0  # m; the sun's height differs by no more than the arc between two places, here 0.45 deg
Stands = Mapping[str, tuple[float, float]]  # latitude and longitude in degrees, by keeper id


def settings_ev100(keeper: Keeper) -> float | None:
    """Return the exposure value of the settings at ISO 100; None where they are unknown or flash lit it."""
    if keeper.f_number is None or keeper.exposure_s is None or keeper.iso is None or keeper.flash_fired:
        return None
    try:
        return ev100(keeper.f_number, keeper.exposure_s, keeper.iso)
    except CraftValueError:
        return None


def stands_of(account: TripAccount, keepers: Sequence[Keeper]) -> dict[str, tuple[float, float]]:
    """Return where each keeper was made, as far as it is known.

    A keeper without a place is taken for one at its viewpoint's site, or at any of the trip's where all lie
    under the same sun; that of one of several might be the sun of another continent.
    """
    shared = _shared_position(account)
    stands: dict[str, tuple[float, float]] = {}
    for keeper in keepers:
        viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
        position = viewpoint.position if viewpoint else None
        if position is None and keeper.latitude_deg is None:
            site = account.sites.get(viewpoint.site_id) if viewpoint else None
            position = site.position if site else shared
        latitude_deg = position.latitude_deg if position else keeper.latitude_deg
        longitude_deg = position.longitude_deg if position else keeper.longitude_deg
        if latitude_deg is not None and longitude_deg is not None:
            stands[keeper.id] = latitude_deg, longitude_deg
    return stands


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

    return tuple(LitFrame(one.taken_utc, light) for one, light in lit if one.taken_utc), altitudes


def scene_ev100(keeper: Keeper) -> float | None:
    """Return the light of the scene at ISO 100: that of the settings, and what the known filters took."""
    light = settings_ev100(keeper)
    return None if light is None else light + (stack_stops(_known(keeper)).typical_stops or 0.0)


def _height(stand: tuple[float, float], at: datetime) -> float:
    return rough_sun(*stand, at.timestamp()).altitude_deg


def _shared_position(account: TripAccount) -> Position | None:
    """Return where the sun stands as it does at every site of the trip; None where they lie too far apart."""
    positions = [site.position for site in account.sites.values() if site.position]
    near = all(distance_m(positions[0], other) <= SAME_SUN_M for other in positions[1:])
    return positions[0] if positions and near else None


def _known(keeper: Keeper) -> tuple[Filter, ...]:
    try:
        return tuple(parse_filter(name) for name in keeper.filters or ())
    except CraftValueError:
        return ()
