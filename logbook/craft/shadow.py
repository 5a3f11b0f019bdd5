"""The shadows the sun casts on level ground.

One surprising decision: a sun that touches the horizon casts no shadow here, rather than an endless one.
"""

from dataclasses import dataclass
from math import radians, tan

from logbook.craft.bearings import wrap_bearing_deg


@dataclass(frozen=True, slots=True)
class Shadow:
    """Length in metres per metre of height, and the bearing from true north in which it falls."""

    length_per_metre: float
    bearing_deg: float


def cast_shadow(sun_azimuth_deg: float, sun_altitude_deg: float) -> Shadow | None:
    """The shadow of an upright thing on level ground (plane trigonometry); None when the sun is not up."""
    if sun_altitude_deg <= 0.0:
        return None
    length = 0.0 if sun_altitude_deg >= 90.0 else 1.0 / tan(radians(sun_altitude_deg))
    return Shadow(length, wrap_bearing_deg(sun_azimuth_deg + 180.0))
