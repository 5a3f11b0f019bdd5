"""How a clear sky's light is spread over it: how much brighter it is towards the sun than away from it.

One surprising decision: below the horizon the sun keeps its bearing and counts as standing on the horizon,
since the standard ends there; how far the light may be off is widened by whoever uses it.
"""

from math import cos, exp, pi, radians

from logbook.craft.bearings import off_axis_deg, separation_deg
from logbook.craft.interpolation import along

# ISO 15469:2004 (CIE S 011), type 12, clear sky of low turbidity; after Darula and Kittler, CIE general sky
# standard defining luminance distributions, eSim 2002, table 1: gradation a, b and indicatrix c, d, e
_A, _B, _C, _D, _E = -1.0, -0.32, 10.0, -3.0, 0.45
# Summed over the sky by that formula, and again by tests/craft/test_clear_sky.py: by the sun's height in
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
