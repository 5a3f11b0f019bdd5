"""How the moon is lit, and when its principal phases fall.

One surprising decision: the name of a principal phase holds only for about the day around its instant; all
the rest is crescent or gibbous, as people speak of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import lru_cache
from math import cos, degrees

from logbook.sky.ephemeris import Body, from_earths_centre, to_seconds_array

PRINCIPAL_HALF_WIDTH_DEG = (
    6.1  # half a day at the mean 12.19 deg a day from the sun (360 / 29.53 d); own convention
)


class PhaseName(StrEnum):
    """The eight names of the moon's phases, from new moon on."""

    NEW = "new moon"
    WAXING_CRESCENT = "waxing crescent"
    FIRST_QUARTER = "first quarter"
    WAXING_GIBBOUS = "waxing gibbous"
    FULL = "full moon"
    WANING_GIBBOUS = "waning gibbous"
    LAST_QUARTER = "last quarter"
    WANING_CRESCENT = "waning crescent"


_NAMES = tuple(PhaseName)
_PRINCIPAL = _NAMES[::2]


@dataclass(frozen=True, slots=True)
class MoonPhase:
    """The moon's phase seen from the earth's centre.

    `phase_longitude_deg` is the moon's ecliptic longitude less the sun's (0 new, 180 full); `phase_angle_deg`
    is the angle sun-moon-earth; `illuminated_fraction` is the lit share of the disc, 0 to 1.
    """

    at: datetime
    name: PhaseName
    phase_longitude_deg: float
    phase_angle_deg: float
    illuminated_fraction: float


def phase_name(phase_longitude_deg: float) -> PhaseName:
    """The name of the phase at a difference of ecliptic longitude, moon less sun, in degrees."""
    quarter = round(phase_longitude_deg / 90.0)
    # Rounded, because a whole turn more must not move a longitude across the edge by its last binary digit.
    if round(abs(phase_longitude_deg - 90.0 * quarter), 9) <= PRINCIPAL_HALF_WIDTH_DEG:
        return _PRINCIPAL[quarter % 4]
    return _NAMES[1 + 2 * (int(phase_longitude_deg % 360.0 // 90.0) % 4)]


def moon_phase(at: datetime) -> MoonPhase:
    """Phase at an aware instant; SkyValueError outside the ephemeris."""
    return _phase_at(at if at.utcoffset() is None else at.astimezone(UTC))


@lru_cache(maxsize=512)
def _phase_at(at: datetime) -> MoonPhase:
    """The same; a day's light, its eclipses and each view at a site ask for one instant."""
    return moon_phases((at,))[0]


def moon_phases(instants: Sequence[datetime]) -> tuple[MoonPhase, ...]:
    """Phases at aware instants, in their order; SkyValueError outside the ephemeris.

    Phase angle as in Meeus, Astronomical Algorithms, ch. 48, from vectors.
    """
    import numpy as np

    seconds = to_seconds_array(instants)
    moon, moon_longitude_deg = from_earths_centre(Body.MOON, seconds)
    sun, sun_longitude_deg = from_earths_centre(Body.SUN, seconds)
    across = np.linalg.norm(np.cross(moon - sun, moon, axis=0), axis=0)
    phase_angles = np.arctan2(across, ((moon - sun) * moon).sum(axis=0))
    return tuple(
        MoonPhase(
            at=at.astimezone(UTC),
            name=phase_name(longitude_deg),
            phase_longitude_deg=longitude_deg,
            phase_angle_deg=degrees(phase_angle),
            illuminated_fraction=(1.0 + cos(phase_angle)) / 2.0,
        )
        for at, longitude_deg, phase_angle in zip(
            instants,
            ((moon_longitude_deg - sun_longitude_deg) % 360.0).tolist(),
            phase_angles.tolist(),
            strict=True,
        )
    )
