"""Where sun and moon stand, seen from a place, and how much the air lifts them.

One surprising decision: altitudes are geometric (no refraction) unless the caller describes the air, because
almanac definitions, twilights and check values are all geometric. Below the point where the sun's upper limb
sets there is no refraction at all, as in the solar position algorithm this follows: nobody sees what is
lifted there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import asin, degrees, radians, tan

from logbook.sky.ephemeris import Body, Sight, sight, sight_from_each, to_seconds_array
from logbook.sky.errors import SkyValueError
from logbook.sky.observer import Observer

# Reda and Andreas, NREL/TP-560-34302: 0.26667 deg semidiameter + 0.5667 deg refraction at the horizon.
LOWEST_REFRACTED_DEG = -0.8333667


@dataclass(frozen=True, slots=True)
class Air:
    """Pressure (hPa) and temperature (degrees Celsius) at the observer."""

    pressure_hpa: float = 1013.25  # ICAO standard atmosphere, sea level
    temperature_c: float = 12.0  # annual mean used by the solar position algorithm's check values


def refraction_deg(true_altitude_deg: float, air: Air) -> float:
    """Degrees added to a true altitude by refraction (Reda and Andreas, NREL/TP-560-34302, equation 42)."""
    if true_altitude_deg < LOWEST_REFRACTED_DEG:
        return 0.0
    density = (air.pressure_hpa / 1010.0) * (283.0 / (273.0 + air.temperature_c))
    argument_deg = true_altitude_deg + 10.3 / (true_altitude_deg + 5.11)
    return density * 1.02 / (60.0 * tan(radians(argument_deg)))


SUN_RADIUS_KM = 695_700.0  # IAU 2015 Resolution B3, nominal solar radius
MOON_RADIUS_KM = 1_737.4  # IAU Working Group on Cartographic Coordinates, mean radius
_RADIUS_KM = {Body.SUN: SUN_RADIUS_KM, Body.MOON: MOON_RADIUS_KM}


@dataclass(frozen=True, slots=True)
class SkyPosition:
    """A body's centre at an instant (UTC), azimuth from true north, and its apparent diameter.

    `distance_km` runs to where the light left; for the moon that is up to 38 km off the geometric distance.
    """

    at: datetime
    azimuth_deg: float
    altitude_deg: float
    distance_km: float
    diameter_deg: float


def positions(
    body: Body, observer: Observer, instants: Sequence[datetime], air: Air | None = None
) -> tuple[SkyPosition, ...]:
    """Positions at aware instants, in their order; with `air`, altitudes include refraction.

    Raises SkyValueError for an instant without a zone or outside the ephemeris.
    """
    if not instants:
        return ()
    return _told(body, instants, sight(body, observer, to_seconds_array(instants)), air)


def positions_from(body: Body, places: Sequence[tuple[Observer, datetime]]) -> tuple[SkyPosition, ...]:
    """Positions at aware instants, each as its own observer sees it, in their order; no air.

    Raises SkyValueError as `positions` does.
    """
    if not places:
        return ()
    observers, instants = zip(*places, strict=True)
    return _told(body, instants, sight_from_each(body, observers, to_seconds_array(instants)), None)


def _told(body: Body, instants: Sequence[datetime], seen: Sight, air: Air | None) -> tuple[SkyPosition, ...]:
    return tuple(
        SkyPosition(
            at=at.astimezone(UTC),
            azimuth_deg=azimuth % 360.0,
            altitude_deg=altitude + (refraction_deg(altitude, air) if air else 0.0),
            distance_km=distance,
            diameter_deg=2.0 * degrees(asin(_RADIUS_KM[body] / distance)),
        )
        for at, azimuth, altitude, distance in zip(
            instants,
            seen.azimuth_deg.tolist(),
            seen.altitude_deg.tolist(),
            seen.distance_km.tolist(),
            strict=True,
        )
    )


def sun_positions(
    observer: Observer, instants: Sequence[datetime], air: Air | None = None
) -> tuple[SkyPosition, ...]:
    """The sun at several aware instants."""
    return positions(Body.SUN, observer, instants, air)


def sun_position(observer: Observer, at: datetime, air: Air | None = None) -> SkyPosition:
    """The sun at one aware instant."""
    return positions(Body.SUN, observer, (at,), air)[0]


def moon_position(observer: Observer, at: datetime, air: Air | None = None) -> SkyPosition:
    """The moon at one aware instant, parallax included."""
    return positions(Body.MOON, observer, (at,), air)[0]


def path(
    body: Body, observer: Observer, start: datetime, end: datetime, step: timedelta = timedelta(minutes=5)
) -> tuple[SkyPosition, ...]:
    """Evenly spaced positions from start on, and one at end; SkyValueError for no span or no step."""
    if step <= timedelta(0) or end <= start:
        raise SkyValueError("A path must end after it starts, in steps longer than zero.")
    start, end = start.astimezone(UTC), end.astimezone(UTC)
    steps = -((start - end) // step)
    return positions(body, observer, [*(start + i * step for i in range(steps)), end])
