"""What a lens sees: angle of view, what it covers at a distance, and whether a subject fits.

One surprising decision: everything assumes a rectilinear lens focused far away; no fisheye, no close-up.
"""

import math
from dataclasses import dataclass

from logbook.craft.errors import checked
from logbook.craft.marks import number_text


@dataclass(frozen=True, slots=True)
class Sensor:
    """The size of a picture format in mm. Raises CraftValueError for sizes outside 1..300 mm."""

    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        checked("Sensor width", self.width_mm, 1, 300, "mm")
        checked("Sensor height", self.height_mm, 1, 300, "mm")

    @property
    def diagonal_mm(self) -> float:
        """Length of the diagonal in mm."""
        return math.hypot(self.width_mm, self.height_mm)

    @property
    def crop(self) -> float:
        """The diagonal of 36x24 mm divided by this one (Ray, Applied Photographic Optics)."""
        return math.hypot(36, 24) / self.diagonal_mm

    def pixel_um(self, width_px: int) -> float:
        """Pixel pitch in um for a picture so many pixels along the width."""
        return self.width_mm * 1000 / checked("Picture width", width_px, 1, 1_000_000, "pixels")


FULL_FRAME = Sensor(36.0, 24.0)  # mm


@dataclass(frozen=True, slots=True)
class AngleOfView:
    """Angles of view in degrees."""

    horizontal_deg: float
    vertical_deg: float
    diagonal_deg: float
    working: str


@dataclass(frozen=True, slots=True)
class Cover:
    """What the frame covers at a distance, in m."""

    width_m: float
    height_m: float
    working: str


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether a subject fits the frame, and the longest focal length in mm at which it does each way up."""

    fits: bool
    landscape_mm: float
    portrait_mm: float
    working: str


def checked_focal(focal_mm: float) -> float:
    """Return the focal length in mm; raise CraftValueError unless it lies in 1..5000 mm."""
    return checked("Focal length", focal_mm, 1, 5000, "mm")


def checked_distance(distance_m: float) -> float:
    """Return the distance in m; raise CraftValueError unless it lies in 0.01 m..1000 km."""
    return checked("Distance", distance_m, 0.01, 1_000_000, "m")


def angle_deg(length_mm: float, focal_mm: float) -> float:
    """Return the angle of view in degrees of a length on the sensor: 2 atan(d / 2f) (Ray)."""
    return math.degrees(2 * math.atan(length_mm / (2 * checked_focal(focal_mm))))


def angle_of_view(focal_mm: float, sensor: Sensor = FULL_FRAME) -> AngleOfView:
    """Return the angles of view in degrees, focused at infinity; raise CraftValueError."""
    across, up, corner = (
        angle_deg(length, focal_mm) for length in (sensor.width_mm, sensor.height_mm, sensor.diagonal_mm)
    )
    working = (
        f"2 atan({number_text(sensor.width_mm)} / (2 × {number_text(focal_mm)})) = "
        f"{number_text(across, 1)}° across, {number_text(up, 1)}° up"
    )
    return AngleOfView(across, up, corner, working)


def equivalent_focal_mm(focal_mm: float, sensor: Sensor) -> float:
    """Return the 35 mm-equivalent focal length by the diagonal, in mm (Ray)."""
    return checked_focal(focal_mm) * sensor.crop


def cover(focal_mm: float, distance_m: float, sensor: Sensor = FULL_FRAME) -> Cover:
    """Return what the frame covers in m at a distance in m: d w / f (similar triangles)."""
    scale = checked_distance(distance_m) / checked_focal(focal_mm)
    width, height = scale * sensor.width_mm, scale * sensor.height_mm
    working = (
        f"{number_text(distance_m)} m × {number_text(sensor.width_mm)} mm / {number_text(focal_mm)} mm "
        f"= {number_text(width)} m across, {number_text(height)} m up"
    )
    return Cover(width, height, working)


def fit(
    subject_width_m: float,
    subject_height_m: float,
    distance_m: float,
    focal_mm: float,
    sensor: Sensor = FULL_FRAME,
) -> Fit:
    """Return whether a flat subject facing the camera fits the frame, and up to which focal length."""
    wide = checked("Subject width", subject_width_m, 0.001, 100_000, "m")
    tall = checked("Subject height", subject_height_m, 0.001, 100_000, "m")
    distance, focal = checked_distance(distance_m), checked_focal(focal_mm)
    landscape = distance * min(sensor.width_mm / wide, sensor.height_mm / tall)
    portrait = distance * min(sensor.height_mm / wide, sensor.width_mm / tall)
    longest = max(landscape, portrait)
    working = (
        f"{number_text(wide)} m × {number_text(tall)} m at {number_text(distance)} m fits up to "
        f"{number_text(landscape, 0)} mm with the frame level, {number_text(portrait, 0)} mm upright"
    )
    return Fit(focal <= longest, landscape, portrait, working)


def image_mm(angular_diameter_deg: float, focal_mm: float) -> float:
    """Return the size in mm on the sensor of something so many degrees wide on the axis: 2 f tan(a / 2)."""
    angle = checked("Angular diameter", angular_diameter_deg, 0, 170, "degrees")
    return 2 * checked_focal(focal_mm) * math.tan(math.radians(angle) / 2)
