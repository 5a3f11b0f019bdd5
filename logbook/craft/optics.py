"""What a lens sees: angle of view, what it covers at a distance, and whether a subject fits.

One surprising decision: distances are taken from a thin lens that is racked out to focus, which real close-up
lenses only come near to; a lens that does not draw straight lines straight has to be named.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logbook.craft.errors import CraftValueError, checked
from logbook.craft.marks import digits_text, number_text


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
CLOSE_UP = 0.1  # magnification from which focusing takes light that is worth saying: a quarter of a stop


class Projection(StrEnum):
    """How a lens draws angles on the sensor (Ray, Applied Photographic Optics, fisheye projections)."""

    RECTILINEAR = "rectilinear"
    EQUIDISTANT = "equidistant"
    EQUISOLID = "equisolid"
    STEREOGRAPHIC = "stereographic"
    ORTHOGRAPHIC = "orthographic"


@dataclass(frozen=True, slots=True)
class AngleOfView:
    """Angles of view in degrees."""

    horizontal_deg: float
    vertical_deg: float
    diagonal_deg: float
    projection: Projection
    working: str


@dataclass(frozen=True, slots=True)
class Cover:
    """What the frame covers at a distance, in m, and the magnification of the image there."""

    width_m: float
    height_m: float
    magnification: float
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


def angle_deg(length_mm: float, focal_mm: float, projection: Projection = Projection.RECTILINEAR) -> float:
    """Return the angle of view in degrees of a length on the sensor, focused at infinity.

    With r half the length: rectilinear 2 atan(r/f), equidistant 2 r/f, equisolid 4 asin(r/2f), stereographic
    4 atan(r/2f), orthographic 2 asin(r/f) (Ray). Raises CraftValueError where the lens draws nothing there.
    """
    across = length_mm / 2 / checked_focal(focal_mm)
    try:
        half = _HALF_ANGLE[projection](across)
    except ValueError:
        half = math.inf
    if half > math.pi:
        raise CraftValueError(
            f"At {focal_mm:g} mm the image of this {projection} lens is narrower than {length_mm:g} mm; "
            "give a longer focal length or a smaller sensor."
        )
    return math.degrees(2 * half)


_HALF_ANGLE: dict[Projection, Callable[[float], float]] = {  # radians off the axis, of r/f
    Projection.RECTILINEAR: math.atan,
    Projection.EQUIDISTANT: lambda across: across,
    Projection.EQUISOLID: lambda across: 2 * math.asin(across / 2),
    Projection.STEREOGRAPHIC: lambda across: 2 * math.atan(across / 2),
    Projection.ORTHOGRAPHIC: math.asin,
}


def angle_of_view(
    focal_mm: float, sensor: Sensor = FULL_FRAME, projection: Projection = Projection.RECTILINEAR
) -> AngleOfView:
    """Return the angles of view in degrees, focused at infinity; raise CraftValueError."""
    across, up, corner = (
        angle_deg(length, focal_mm, projection)
        for length in (sensor.width_mm, sensor.height_mm, sensor.diagonal_mm)
    )
    working = f"{number_text(across, 1)}° across, {number_text(up, 1)}° up"
    if projection is Projection.RECTILINEAR:
        working = f"2 atan({number_text(sensor.width_mm)} / (2 × {number_text(focal_mm)})) = {working}"
    return AngleOfView(across, up, corner, projection, working)


def equivalent_focal_mm(focal_mm: float, sensor: Sensor) -> float:
    """Return the 35 mm-equivalent focal length by the diagonal, in mm (Ray)."""
    return checked_focal(focal_mm) * sensor.crop


def magnification(focal_mm: float, distance_m: float) -> float:
    """Return how large the image is against the subject: f/(d - f), thin lens, d from the lens (Ray).

    Raises CraftValueError for a subject no farther than the focal length, of which there is no image.
    """
    focal_m, distance = checked_focal(focal_mm) / 1000, checked_distance(distance_m)
    if distance <= focal_m:
        raise CraftValueError(
            f"A subject at {distance:g} m is nearer than the focal length, {focal_mm:g} mm; write metres."
        )
    return focal_m / (distance - focal_m)


def effective_f_number(f_number: float, magnified: float) -> float:
    """Return the f-number that light and diffraction know when the lens is racked out: N (1 + m) (Ray)."""
    return f_number * (1 + magnified)


def cover(focal_mm: float, distance_m: float, sensor: Sensor = FULL_FRAME) -> Cover:
    """Return what the frame covers in m at a distance in m: sensor over magnification (Ray)."""
    magnified = magnification(focal_mm, distance_m)
    width, height = (side / 1000 / magnified for side in (sensor.width_mm, sensor.height_mm))
    working = (
        f"{number_text(sensor.width_mm)} mm / {digits_text(magnified)} "
        f"= {digits_text(width)} m across, {digits_text(height)} m high"
    )
    return Cover(width, height, magnified, working)


def fit(
    subject_width_m: float,
    subject_height_m: float,
    distance_m: float,
    focal_mm: float,
    sensor: Sensor = FULL_FRAME,
) -> Fit:
    """Return whether a flat subject facing the camera fits the frame, and up to which focal length.

    A side S fits a sensor's side s up to f = d s / (S + s): thin lens, d from the lens.
    """
    wide = checked("Subject width", subject_width_m, 0.001, 100_000, "m")
    tall = checked("Subject height", subject_height_m, 0.001, 100_000, "m")
    distance, focal = checked_distance(distance_m), checked_focal(focal_mm)

    def longest_mm(across_mm: float, up_mm: float) -> float:
        return distance * min(across_mm / (wide + across_mm / 1000), up_mm / (tall + up_mm / 1000))

    landscape = longest_mm(sensor.width_mm, sensor.height_mm)
    portrait = longest_mm(sensor.height_mm, sensor.width_mm)
    longest = max(landscape, portrait)
    working = (
        f"{number_text(wide)} m × {number_text(tall)} m at {number_text(distance)} m fits up to "
        f"{number_text(landscape, 0)} mm with the frame level, {number_text(portrait, 0)} mm upright"
    )
    return Fit(focal <= longest, landscape, portrait, working)
