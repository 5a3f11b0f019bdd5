"""What a camera sees: a rectangle of directions round the axis it faces.

One surprising decision: the frame is the true rectilinear one, not a box of azimuths and altitudes; with the
camera tilted or near the zenith the two differ by a lot.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, radians, sin, tan

from logbook.craft.bearings import wrap_bearing_deg
from logbook.craft.errors import CraftValueError


@dataclass(frozen=True, slots=True)
class View:
    """A camera's axis (degrees from true north, tilt upwards positive) and its fields of view in degrees.

    Raises CraftValueError for fields of view outside 0 to 180 and for a tilt beyond straight up or down.
    """

    facing_deg: float
    horizontal_fov_deg: float
    vertical_fov_deg: float
    tilt_deg: float = 0.0

    def __post_init__(self) -> None:
        for name, fov_deg in (("horizontal", self.horizontal_fov_deg), ("vertical", self.vertical_fov_deg)):
            if not 0.0 < fov_deg < 180.0:
                raise CraftValueError(
                    f"A {name} field of view of {fov_deg:g} degrees is not between 0 and 180; "
                    "give the angle the lens covers."
                )
        if not -90.0 <= self.tilt_deg <= 90.0:
            raise CraftValueError(f"A tilt of {self.tilt_deg:g} degrees is not possible; give -90 to 90.")
        if not -360.0 <= self.facing_deg <= 360.0:
            raise CraftValueError(f"A facing of {self.facing_deg:g} degrees is not a bearing; give 0 to 360.")

    def margin_deg(self, azimuth_deg: float, altitude_deg: float) -> float:
        """How far inside the nearest edge a direction lies, in degrees; negative outside the frame."""
        forward, right, up = self._along_axes(azimuth_deg, altitude_deg)
        return min(
            self.horizontal_fov_deg / 2.0 - abs(degrees(atan2(right, forward))),
            self.vertical_fov_deg / 2.0 - abs(degrees(atan2(up, forward))),
        )

    def direction(self, across: float, upwards: float) -> tuple[float, float]:
        """Direction of a point of the frame; -1 is its left or lower edge, 1 its right or upper one."""
        right = across * tan(radians(self.horizontal_fov_deg / 2.0))
        up = upwards * tan(radians(self.vertical_fov_deg / 2.0))
        tilt = radians(self.tilt_deg)
        ahead, height = cos(tilt) - up * sin(tilt), sin(tilt) + up * cos(tilt)
        azimuth_deg = self.facing_deg + degrees(atan2(right, ahead))
        altitude_deg = degrees(atan2(height, hypot(ahead, right)))
        return wrap_bearing_deg(azimuth_deg), altitude_deg

    def directions(self, across: int, upwards: int) -> Iterator[tuple[float, float]]:
        """Azimuth and altitude on an even grid over the frame, edges included, row by row from below."""
        for row in range(upwards):
            for column in range(across):
                yield self.direction(2.0 * column / (across - 1) - 1.0, 2.0 * row / (upwards - 1) - 1.0)

    def _along_axes(self, azimuth_deg: float, altitude_deg: float) -> tuple[float, float, float]:
        """A direction's parts along the camera's axis, to its right and upwards."""
        turn, altitude = radians(azimuth_deg - self.facing_deg), radians(altitude_deg)
        tilt = radians(self.tilt_deg)
        ahead, height = cos(altitude) * cos(turn), sin(altitude)
        return (
            ahead * cos(tilt) + height * sin(tilt),
            cos(altitude) * sin(turn),
            height * cos(tilt) - ahead * sin(tilt),
        )
