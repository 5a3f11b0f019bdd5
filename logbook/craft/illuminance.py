"""How much light falls on level ground from sun, sky and moon, and how a clear sky's light is spread over it.

Surprising decisions: the sun's own light and the sky's are given apart, because a wall, a shadow and the
ground each take a different share of the two. Below the horizon the sun keeps its bearing and counts as
standing on the horizon, since the standard for the sky ends there; how far the light may be off is widened by
whoever uses it.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import acos, asin, cos, degrees, exp, log2, pi, radians, sin, tan

from logbook.craft.bearings import off_axis_deg, separation_deg
from logbook.craft.exposure import METER_C
from logbook.craft.interpolation import along

# Janiczek and DeYoung, Computer programs for sun and moon illuminance, USNO Circular 171 (1987), pp. 21-22
_SUN_LX = 133_775.0  # lx; on a surface square to the sun above the air
_SCALE = 753.66156  # the earth's radius over the height of a uniform air, dimensionless
# The circular lifts the sun by refraction down to -5/6 degrees and not below, a step of 0.6 stops; here the
# lift fades from the first height to the second, which keeps sunset inside the glossary's 410 to 585 lx
_LIFTED_DEG, _UNLIFTED_DEG = 0.0, -2.0
_TRUSTED_DEG = -9.0  # degrees; below it the twilight is the glossary's (see _DUSK)
# The sun's height in degrees and the scattered sunlight on level ground in lx: the ends of nautical and of
# astronomical twilight; American Meteorological Society, Glossary of Meteorology, "astronomical twilight"
_DUSK = ((-12.0, 8e-3), (-18.0, 6e-4))
METERED_LX = METER_C / 100.0  # lx; what EV 0 at ISO 100 stands for


@dataclass(frozen=True, slots=True)
class Illuminance:
    """Light in lx: of the sun alone on a surface square to it, and of the sky alone on level ground.

    `altitude_deg` is the sun's, lifted by the air where that counts.
    """

    altitude_deg: float
    square_lx: float
    sky_lx: float

    @property
    def ground_lx(self) -> float:
        """Light of sun and sky on level ground."""
        return self.square_lx * max(0.0, sin(radians(self.altitude_deg))) + self.sky_lx


@lru_cache(maxsize=4096)
def sun_illuminance(altitude_deg: float) -> Illuminance:
    """Return the light with the sun's centre at a geometric altitude in degrees, clear sky, at sea level.

    USNO Circular 171 down to -9 degrees; from there straight in logarithms to the illuminance at the ends of
    nautical and astronomical twilight (AMS glossary), and on in the same line.
    """
    if altitude_deg < _TRUSTED_DEG:
        return Illuminance(altitude_deg, 0.0, _dusk_lx(altitude_deg))
    lifted_deg = _lifted_deg(altitude_deg)
    height = radians(lifted_deg)
    up = sin(height)
    lean = asin(_SCALE * cos(height) / (_SCALE + 1.0))
    air = _SCALE * (cos(lean) - up) + cos(lean)  # air masses
    square_lx = _SUN_LX * exp(-0.21 * air) if up > 0.0 else 0.0
    sky_lx = _SUN_LX * 0.0289 * exp(-0.042 * air) * (1.0 + (lifted_deg + 90.0) * up / degrees(1.0))
    return Illuminance(lifted_deg, square_lx, sky_lx)


def moon_strength(altitude_deg: float) -> float:
    """Return the share of its light that the moon sends to level ground from an altitude in degrees.

    1 at 40 degrees and above; the air takes the moon's light as it takes the sun's (USNO Circular 171).
    """
    low, full = (sun_illuminance(one) for one in (min(altitude_deg, 40.0), 40.0))
    return low.ground_lx / full.ground_lx


def moon_phase_stops(lit: float) -> float:
    """Return how many stops darker than full moon a moon lights, by the lit share of its disc (0 to 1).

    USNO Circular 171; never above 0, and without a step anywhere.
    """
    return log2(_phase(lit) / _phase(1.0))


def metered_ev100(illuminance_lx: float) -> float:
    """Return the EV at ISO 100 of a grey surface under so many lx (ISO 2720, C = 250 lx s)."""
    return log2(illuminance_lx / METERED_LX)


def _lifted_deg(altitude_deg: float) -> float:
    """The altitude with mean refraction (Saemundsson, Sky and Telescope 72, 1986; in Meeus, ch. 16)."""
    share = (altitude_deg - _UNLIFTED_DEG) / (_LIFTED_DEG - _UNLIFTED_DEG)
    if share <= 0.0:
        return altitude_deg
    lift_deg = 1.02 / (60.0 * tan(radians(altitude_deg + 10.3 / (altitude_deg + 5.11))))
    return altitude_deg + min(1.0, share) * lift_deg


def _dusk_lx(altitude_deg: float) -> float:
    points = ((_TRUSTED_DEG, sun_illuminance(_TRUSTED_DEG).ground_lx), *_DUSK)
    upper, lower = (points[0], points[1]) if altitude_deg >= points[1][0] else (points[1], points[2])
    share = (altitude_deg - upper[0]) / (lower[0] - upper[0])
    return float(upper[1] * (lower[1] / upper[1]) ** share)


def _phase(lit: float) -> float:
    """The circular's P: the moon's light by its elongation from the sun, 1 at full moon."""
    elongation = acos(1.0 - 2.0 * min(1.0, max(0.0, lit)))
    crescent = 0.0344 * (sin(elongation) - elongation * cos(elongation))
    if elongation <= 0.0:
        return 1e-9  # a new moon lights nothing that could be seen
    half = tan(min(elongation, pi - 1e-9) / 2.0)
    return max(1e-9, 0.892 * exp(-3.343 / half**0.632) + crescent)


# ISO 15469:2004 (CIE S 011), type 12, clear sky of low turbidity; after Darula and Kittler, CIE general sky
# standard defining luminance distributions, eSim 2002, table 1: gradation a, b and indicatrix c, d, e
_A, _B, _C, _D, _E = -1.0, -0.32, 10.0, -3.0, 0.45
# Summed over the sky by that formula, and again by tests/craft/test_illuminance.py: by the sun's height in
# degrees, the luminance that, alike all over the sky, would light level ground as much; and the light on an
# upright surface over that on level ground, by the turn in degrees between the sun and where it faces
_SUN_DEG = (0.0, 10.0, 20.0, 40.0, 60.0, 90.0)
_EVEN = (0.608, 0.679, 0.750, 0.861, 0.926, 0.961)
_TURN_DEG = (0.0, 45.0, 90.0, 135.0, 180.0)
_UPRIGHT = (
    (1.507, 1.222, 0.697, 0.566, 0.580),
    (1.539, 1.231, 0.654, 0.500, 0.505),
    (1.413, 1.132, 0.604, 0.446, 0.442),
    (1.052, 0.868, 0.521, 0.382, 0.366),
    (0.741, 0.648, 0.468, 0.368, 0.346),
    (0.440, 0.440, 0.440, 0.440, 0.440),
)


def sky_over_even(sun_altitude_deg: float, turn_deg: float, altitude_deg: float) -> float:
    """Return a point's luminance over that of an even sky that lights the ground as much.

    ISO 15469, type 12. The point lies `turn_deg` from the sun's bearing at `altitude_deg`; all in degrees.
    """
    sun_deg = _above(sun_altitude_deg)
    away = radians(separation_deg(0.0, sun_deg, turn_deg, altitude_deg))
    return sky_luminance(radians(90.0 - altitude_deg), away) / along(
        tuple(zip(_SUN_DEG, _EVEN, strict=True)), sun_deg
    )


def upright_over_level(sun_altitude_deg: float, turn_deg: float) -> float:
    """Return the sky's light on an upright surface over that on level ground, without the sun's own.

    `turn_deg` is how far the surface faces from the sun's bearing, in degrees (ISO 15469, type 12).
    """
    turn = off_axis_deg(0.0, turn_deg)
    by_sun = (along(tuple(zip(_TURN_DEG, row, strict=True)), turn) for row in _UPRIGHT)
    return along(tuple(zip(_SUN_DEG, by_sun, strict=True)), _above(sun_altitude_deg))


def sky_luminance(zenith_distance: float, from_sun: float) -> float:
    """Return a point's luminance in the standard's own scale; angles in radians (ISO 15469, eq. 1 to 4)."""
    gradation = 1.0 + _A * exp(_B / max(cos(zenith_distance), 1e-6))
    indicatrix = 1.0 + _C * (exp(_D * from_sun) - exp(_D * pi / 2.0)) + _E * cos(from_sun) ** 2
    return gradation * indicatrix


def _above(sun_altitude_deg: float) -> float:
    return min(90.0, max(0.0, sun_altitude_deg))
