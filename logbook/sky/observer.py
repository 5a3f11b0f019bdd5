"""Where the observer stands, and over which horizon bodies rise.

One surprising decision: the height alone counts for parallax only. The horizon stays level, as the almanacs
define rise and set, until somebody names another: nobody else knows the hills or the sea around a viewpoint.
"""

from dataclasses import dataclass
from math import isfinite, radians, sqrt, tan

from logbook.sky.errors import SkyValueError

HORIZON_REFRACTION_DEG = 34.0 / 60.0  # USNO, Rise, Set, and Twilight Definitions
SUN_RADIUS_DEG = 16.0 / 60.0  # USNO, Rise, Set, and Twilight Definitions
DIP_ARCMIN = 1.76  # arcmin per root of a metre; The Nautical Almanac, dip
# What the air between a height and the horizon below it lifts more, over that dip: 0.37' on 1.76' per root
# of a metre (Explanatory Supplement to the Astronomical Almanac, 1992, p. 488, as cited by R. H. van Gent)
_LIFTED_AGAIN = 0.37 / DIP_ARCMIN
_HIGHEST_M = 20_000.0  # m; above it nobody stands with a camera
# Degrees: from a gorge's wall, over which a tropical sun still climbs, to far below any summit's sea
HORIZON_MIN_DEG, HORIZON_MAX_DEG = -45.0, 80.0


@dataclass(frozen=True, slots=True)
class Observer:
    """A place in WGS84 degrees (north and east positive) and metres; SkyValueError if not on Earth.

    `horizon_deg` is how high the skyline stands as it is seen, refraction included; below 0 from a height
    above the sea. None is the level horizon of the almanacs.
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0
    horizon_deg: float | None = None

    def __post_init__(self) -> None:
        if not (isfinite(self.latitude_deg) and abs(self.latitude_deg) <= 90.0):
            raise SkyValueError(
                f"Latitude {self.latitude_deg} is not between -90 and 90 degrees; correct it."
            )
        if not (isfinite(self.longitude_deg) and abs(self.longitude_deg) <= 180.0):
            raise SkyValueError(
                f"Longitude {self.longitude_deg} is not between -180 and 180 degrees; correct it."
            )
        if not (isfinite(self.elevation_m) and abs(self.elevation_m) <= _HIGHEST_M):
            raise SkyValueError(f"Elevation {self.elevation_m} m cannot be right; give it in metres.")
        if self.horizon_deg is not None and not HORIZON_MIN_DEG <= self.horizon_deg <= HORIZON_MAX_DEG:
            raise SkyValueError(
                f"A skyline cannot be at {self.horizon_deg:g} degrees; give degrees between "
                f"{HORIZON_MIN_DEG:g} and {HORIZON_MAX_DEG:g}, or sea."
            )

    @property
    def lifted_deg(self) -> float:
        """How much the air lifts a body that touches the horizon: 34' at a level one, less above, more below.

        Bennett, Journal of Navigation 35 (1982), in Meeus, Astronomical Algorithms, ch. 16; scaled to the
        almanacs' 34' at 0. From a height the light passes the air above the horizon twice.
        """
        above_deg = self.horizon_deg or 0.0
        if above_deg < 0.0:
            return HORIZON_REFRACTION_DEG + _LIFTED_AGAIN * min(-above_deg, -sea_horizon_deg(_HIGHEST_M))
        return HORIZON_REFRACTION_DEG * _bennett_deg(above_deg) / _bennett_deg(0.0)

    @property
    def sun_rises_deg(self) -> float:
        """Geometric altitude of the sun's centre as its upper limb meets the horizon; -50' at a level one."""
        return (self.horizon_deg or 0.0) - self.lifted_deg - SUN_RADIUS_DEG

    def hides(self, altitude_deg: float) -> bool:
        """Whether the skyline stands before a sun at a geometric altitude that a level horizon would show.

        The moon's disc is as large, to a hundredth of a degree.
        """
        return -HORIZON_REFRACTION_DEG - SUN_RADIUS_DEG <= altitude_deg < self.sun_rises_deg


def sea_horizon_deg(elevation_m: float) -> float:
    """Return how high the sea's horizon is seen from so many metres above it: below 0, refraction included.

    Dip 1.76' times the root of the height in metres (The Nautical Almanac, altitude correction tables: 0.97'
    times the root of the height in feet). SkyValueError below the sea.
    """
    if not 0.0 <= elevation_m <= _HIGHEST_M:
        raise SkyValueError(
            f"From {elevation_m:g} m no sea can be seen; give the elevation above the sea in metres."
        )
    return -DIP_ARCMIN * sqrt(elevation_m) / 60.0


def _bennett_deg(apparent_deg: float) -> float:
    return 1.0 / (60.0 * tan(radians(apparent_deg + 7.31 / (apparent_deg + 4.4))))
