"""The shadows the sun casts on level ground.

One surprising decision: of a sun that the horizon cuts, the middle of the part that shows casts the shadow;
one that only touches the horizon casts none, rather than an endless one.
"""

from dataclasses import dataclass
from math import radians, tan

from logbook.craft.bearings import wrap_bearing_deg
from logbook.craft.light import SUN_RADIUS_DEG


@dataclass(frozen=True, slots=True)
class Shadow:
    """Length in metres per metre of height, and the bearing from true north in which it falls."""

    length_per_metre: float
    bearing_deg: float


def shining_deg(apparent_deg: float) -> float:
    """Return the altitude that light comes from, where a level horizon cuts the sun's disc.

    `apparent_deg` is the disc's centre with refraction; below 0 nothing shows.
    """
    return apparent_deg if apparent_deg >= SUN_RADIUS_DEG else (apparent_deg + SUN_RADIUS_DEG) / 2.0


def cast_shadow(sun_azimuth_deg: float, sun_altitude_deg: float) -> Shadow | None:
    """The shadow of an upright thing on level ground (plane trigonometry); None when the sun is not up."""
    if sun_altitude_deg <= 0.0:
        return None
    length = 0.0 if sun_altitude_deg >= 90.0 else 1.0 / tan(radians(sun_altitude_deg))
    return Shadow(length, wrap_bearing_deg(sun_azimuth_deg + 180.0))
