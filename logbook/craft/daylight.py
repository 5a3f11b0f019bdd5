"""How bright a scene is likely to be, from where sun and moon stand.

One surprising decision: this is a line drawn through published scenes under a clear sky, not a model of the
air, and it claims no more than two stops either way. Clouds, snow, shade and lamps are for the person to add.
"""

from itertools import pairwise
from math import log2, radians, sin

GUIDANCE_STOPS = 2.0  # stops; how far clear-sky guidance may be off either way (common practice, no source)

# The sun's geometric altitude in degrees, and EV at ISO 100 of a landscape with some sky in it.
_CLEAR_SKY = (
    (20.0, 15.0),  # typical scene in full sun, from about two hours after sunrise; ANSI PH2.7-1973 (R1986)
    (3.0, 13.0),  # a skyline just before sunset, EV 12 to 14; ANSI PH2.7-1973 (R1986)
    (-50.0 / 60.0, 12.0),  # a skyline at sunset; ANSI PH2.7-1973 (R1986)
    (-2.0, 10.0),  # a skyline just after sunset, EV 9 to 11; ANSI PH2.7-1973 (R1986)
    (-6.0, 4.0),  # the end of civil twilight; common practice, no source
    (-12.0, -4.0),  # the end of nautical twilight; common practice, no source
    (-18.0, -7.0),  # starlight alone; common practice, no source
)
# The moon's lit share, and EV at ISO 100 of a landscape under it; ANSI PH2.7-1973 (R1986), moonlit landscapes
_MOONLIGHT = ((0.5, -6.0), (0.8, -4.0), (1.0, -2.5))
_MOON_FULL_STRENGTH_DEG = 40.0  # altitude above which the moonlit rows hold; ANSI PH2.7-1973 (R1986)
_LOWEST_MOON_DEG = 2.0  # below it the air takes nearly all; own convention


def expected_ev100(
    sun_altitude_deg: float, moon_altitude_deg: float | None = None, moon_lit: float | None = None
) -> float:
    """EV at ISO 100 to expect under a clear sky with the sun (and moon) at geometric altitudes in degrees.

    Straight lines between the scenes of the ANSI PH2.7 exposure guide; `moon_lit` is the lit share of the
    moon's disc, 0 to 1, and a moon that is less than half lit is not counted.
    """
    sky = _along(_CLEAR_SKY, sun_altitude_deg)
    if moon_altitude_deg is None or moon_lit is None or moon_altitude_deg < _LOWEST_MOON_DEG:
        return sky
    if moon_lit < _MOONLIGHT[0][0]:
        return sky
    height = min(moon_altitude_deg, _MOON_FULL_STRENGTH_DEG)
    slant = log2(sin(radians(height)) / sin(radians(_MOON_FULL_STRENGTH_DEG)))
    return log2(2.0**sky + 2.0 ** (_along(_MOONLIGHT, moon_lit) + slant))


def _along(points: tuple[tuple[float, float], ...], x: float) -> float:
    """The value at x on straight lines through points; beyond the ends, the nearest end's value."""
    ordered = sorted(points)
    if x <= ordered[0][0]:
        return ordered[0][1]
    for (x0, y0), (x1, y1) in pairwise(ordered):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return ordered[-1][1]
