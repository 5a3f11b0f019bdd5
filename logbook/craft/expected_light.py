"""How bright a view is likely to be: by where sun and moon stand, and by what the view sees.

One surprising decision: towards a low sun people expose for the sky, away from it for what the sky lights, so
one moment of dusk has views that lie four stops apart. Clouds, snow and lamps are for the person to add.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import cos, log2, pi, radians, sin

from logbook.craft.bearings import off_axis_deg
from logbook.craft.eclipsed import Dimming, eclipsed_range, eclipsed_sun
from logbook.craft.exposure import METER_K
from logbook.craft.illuminance import (
    METERED_LX,
    metered_ev100,
    moon_phase_stops,
    moon_strength,
    sky_over_even,
    sun_illuminance,
    upright_over_level,
)
from logbook.craft.interpolation import along

GROUND_REFLECTS = 0.18  # share of light; a grey card's, for ground before a wall (common practice)
SEEN_SKY_DEG = 17.5  # degrees above the horizon; where the sky of a level view is looked at (own convention)
SKY_SHARE = 0.5  # share of a frame that a skyline leaves to the sky (own convention)
GLOW_FROM_DEG, GLOW_BELOW_DEG = 1.0, 15.0  # sun's height; all glow below the first, none above the second
FRONTS = 2.0 / 3.0  # share of what stands upright in what a view sees of the land (own convention)
STARLIT_EV100 = -7.0  # EV at ISO 100; what starlit views are exposed for (common practice, no source)
# Sun's height in degrees, and stops either way that haze, dust and what things reflect may make (common
# practice, no source; the guide's own rows, ANSI PH2.7, span one stop each way by day)
_WIDTH = ((-9.0, 2.0), (0.0, 1.5), (10.0, 1.0))
# The moon's lit share, and EV at ISO 100 of a landscape under it; ANSI PH2.7-1973 (R1986), moonlit landscapes
_MOONLIGHT = ((0.5, -6.0), (0.8, -4.0), (1.0, -2.5))


@dataclass(frozen=True, slots=True)
class SeenLight:
    """EV at ISO 100 of what a view may be exposed for, clear sky; None where there is no such light.

    `front` is the side of things that the view sees, `towards` and `away` are the sky low over the sun's
    bearing and opposite to it.
    """

    front: float | None
    shade: float
    ground: float
    towards: float
    away: float


@dataclass(frozen=True, slots=True)
class ExpectedLight:
    """The EV at ISO 100 to expect of a view, the range it may lie in, and the single lights behind it.

    `dimming` is what an eclipse takes of it, which all these count; None where it takes nothing.
    """

    scene_ev100: float
    low_ev100: float
    high_ev100: float
    ground_lx: float
    seen: SeenLight
    dimming: Dimming | None = None


@lru_cache(maxsize=8192)
def expected_light(
    sun_altitude_deg: float,
    sun_off_axis_deg: float | None = None,
    moon_altitude_deg: float | None = None,
    moon_lit: float | None = None,
    *,
    is_hidden: bool = False,
    is_moon_hidden: bool = False,
    sun_covered: float = 0.0,
    moonlight_lost: float = 0.0,
) -> ExpectedLight:
    """Return the light to expect under a clear sky, with sun and moon at geometric altitudes in degrees.

    `sun_off_axis_deg` is the turn between the view and the sun's bearing, None where nobody knows which way
    the view faces; `moon_lit` is the lit share of the moon's disc, 0 to 1. Light on the ground after USNO
    Circular 171, the sky's spread after ISO 15469 type 12, moonlit landscapes after ANSI PH2.7, exposure
    after ISO 2720. A sun that a skyline hides (`is_hidden`) leaves the sky's light alone, and such a moon the
    sky that it lights; what lies beyond that shadow may still be lit, so the range reaches as high as without
    the skyline.
    `sun_covered` is the share of the sun's disc that an eclipse covers, `moonlight_lost` that of the moon's
    light which the earth's shadow takes; as much again of what is left may be missing, since that comes from
    the sun's limb, which is darker than its middle.
    """
    moon = _Moon(moon_altitude_deg, moon_lit, 1.0 - moonlight_lost)
    above = replace(moon, is_direct=False) if is_moon_hidden else moon
    sun = sun_altitude_deg, sun_off_axis_deg, sun_covered
    direct = 0.0 if is_hidden else 1.0
    found = open_light = _expected(*sun, moon, direct=1.0)
    if is_hidden or is_moon_hidden:
        shade = _expected(*sun, above, direct=direct)
        found = replace(shade, high_ev100=max(shade.high_ev100, open_light.high_ev100))
    if moonlight_lost:
        darker = _expected(*sun, replace(above, left=above.left**2), direct=direct)
        found = replace(found, low_ev100=min(found.low_ev100, darker.low_ev100))
    return found


@dataclass(frozen=True, slots=True)
class _Moon:
    """A moon's altitude in degrees, the lit share of its disc, and the share of its light that is left.

    `is_direct`: it shines on the land itself, not only on the sky.
    """

    altitude_deg: float | None
    lit: float | None
    left: float
    is_direct: bool = True

    def light_lx(self) -> tuple[float, float]:
        """All its light on level ground, and the sky's of it: the air parts both as the sun's (USNO)."""
        if self.altitude_deg is None or self.lit is None:
            return 0.0, 0.0
        both_lx = self.left * _moon_lx(self.altitude_deg, self.lit)
        like = sun_illuminance(self.altitude_deg)
        sky_lx = both_lx * like.sky_lx / like.ground_lx
        return both_lx if self.is_direct else sky_lx, sky_lx


def _expected(
    sun_altitude_deg: float,
    sun_off_axis_deg: float | None,
    sun_covered: float,
    moon: _Moon,
    *,
    direct: float,
) -> ExpectedLight:
    """The light to expect with so much of the sun's own light, 0 or 1."""
    moon_lx, moon_sky_lx = moon.light_lx()
    light = eclipsed_sun(sun_illuminance(sun_altitude_deg), sun_covered)
    starlit = float(2.0**STARLIT_EV100)
    stars_lx = METERED_LX * starlit
    more_lx = moon_lx + stars_lx
    sunlit_lx = light.sky_lx + direct * (light.ground_lx - light.sky_lx)
    ground_lx, sky_lx = sunlit_lx + more_lx, light.sky_lx + moon_sky_lx + stars_lx

    def front_lx(off_deg: float) -> float:
        """What lights the side of things that a view so far from the sun's bearing sees."""
        faces_deg = 180.0 - abs(off_deg)
        sun_lx = direct * light.square_lx * cos(radians(light.altitude_deg)) * _rounded(radians(faces_deg))
        sky = light.sky_lx * upright_over_level(sun_altitude_deg, faces_deg)
        return sun_lx + sky + more_lx + ground_lx * GROUND_REFLECTS / 2.0

    def sky_scale(off_deg: float) -> float:
        """2^EV of the sky low in a view; an even sky's luminance is the light it gives over pi."""
        sunlit, moonlit = (lx / pi / (METER_K / 100.0) for lx in (light.sky_lx, moon_sky_lx))
        # moonlight as if evenly, whichever way the moon stands
        return sunlit * sky_over_even(sun_altitude_deg, off_deg, SEEN_SKY_DEG) + moonlit + starlit

    def view_ev100(off_deg: float) -> float:
        """A meter's average over the land of a view, and over the sky where that is what glows."""
        land_lx = FRONTS * front_lx(off_deg) + (1.0 - FRONTS) * ground_lx
        share = SKY_SHARE * _glow(sun_altitude_deg) * max(0.0, cos(radians(off_deg)))
        return log2((1.0 - share) * land_lx / METERED_LX + share * sky_scale(off_deg))

    darker, brighter = eclipsed_range(sun_covered, along(_WIDTH, sun_altitude_deg))
    seen = SeenLight(
        None if sun_off_axis_deg is None else metered_ev100(front_lx(off_axis_deg(0.0, sun_off_axis_deg))),
        metered_ev100(sky_lx),
        metered_ev100(ground_lx),
        log2(sky_scale(0.0)),
        log2(sky_scale(180.0)),
    )
    if sun_off_axis_deg is None:
        either = [view_ev100(off) for off in (0.0, 90.0, 180.0)]
        low, high = min(either), max(either)
        middle = (low + high) / 2.0
    else:
        low = high = middle = view_ev100(off_axis_deg(0.0, sun_off_axis_deg))
    low, high = low - darker, high + brighter
    # a low sun is easily hidden, and then the sky alone lights the land
    low -= _glow(sun_altitude_deg) * max(0.0, low - metered_ev100(light.sky_lx + more_lx))
    return ExpectedLight(middle, low, high, sunlit_lx, seen)


def _rounded(turn: float) -> float:
    """The share of direct light that an upright round thing shows, 1 when lit from behind the eye.

    Lambert's law over the half of a cylinder that is seen; the turn in radians.
    """
    return ((pi - turn) * cos(turn) + sin(turn)) / pi


def _glow(sun_altitude_deg: float) -> float:
    """How much the sky over a sun of this height is what a view towards it is made for, 0 to 1."""
    return min(1.0, max(0.0, (GLOW_BELOW_DEG - sun_altitude_deg) / (GLOW_BELOW_DEG - GLOW_FROM_DEG)))


def _moon_lx(altitude_deg: float, lit: float) -> float:
    """The moon's light in lx, so that the guide's landscapes come out; less than half a moon by its phase."""
    half = _MOONLIGHT[0]
    thinner = 0.0 if lit >= half[0] else moon_phase_stops(lit) - moon_phase_stops(half[0])
    return METERED_LX * float(2.0 ** (along(_MOONLIGHT, lit) + thinner)) * moon_strength(altitude_deg)
