"""Where the observer stands.

One surprising decision: the height counts only for parallax. The horizon stays level, as the almanacs define
rise and set, because nobody knows the hills around a viewpoint.
"""

from dataclasses import dataclass
from math import isfinite

from logbook.sky.errors import SkyValueError


@dataclass(frozen=True, slots=True)
class Observer:
    """A place in WGS84 degrees (north and east positive) and metres; SkyValueError if not on Earth."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0

    def __post_init__(self) -> None:
        if not (isfinite(self.latitude_deg) and abs(self.latitude_deg) <= 90.0):
            raise SkyValueError(
                f"Latitude {self.latitude_deg} is not between -90 and 90 degrees; correct it."
            )
        if not (isfinite(self.longitude_deg) and abs(self.longitude_deg) <= 180.0):
            raise SkyValueError(
                f"Longitude {self.longitude_deg} is not between -180 and 180 degrees; correct it."
            )
        if not (isfinite(self.elevation_m) and abs(self.elevation_m) <= 20_000.0):
            raise SkyValueError(f"Elevation {self.elevation_m} m is not near the ground; give it in metres.")
