"""Will it be sharp: the handheld guide, what supports give, moving subjects and moving stars.

One surprising decision: a tripod takes the handheld guide away instead of adding stops; what then moves the
camera (wind, boards, water) has no number, so the verdict says steady and the sentence names the rest.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from logbook.craft.errors import checked
from logbook.craft.marks import (
    checked_exposure,
    counted_stops,
    exact_exposure_s,
    exposure_text,
    number_text,
)
from logbook.craft.optics import FULL_FRAME, Sensor, checked_focal, magnification

SIDEREAL_DAY_S = 86164.0905  # s; mean sidereal day, Capitaine et al. 2003
SIDEREAL_ARCSEC_PER_S = 1_296_000 / SIDEREAL_DAY_S  # arcsec/s; how fast stars move at the celestial equator

# stops a support usually adds to the handheld guide, from and to (common practice, no source)
_GAINS: dict[str, tuple[float, float]] = {"handheld": (0.0, 0.0), "braced": (1.0, 3.0), "monopod": (2.0, 3.0)}


class SteadyVerdict(StrEnum):
    """How likely one frame is sharp, as far as the camera's own movement goes."""

    STEADY = "steady"
    LIKELY = "likely"
    DOUBTFUL = "doubtful"
    UNLIKELY = "unlikely"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Steady:
    """The longest time in s by the guide, and how far inside (+) or beyond (−) it the time is, in stops.

    `support_low_stops` and `support_high_stops` are what the support usually adds; None has no number.
    """

    guide_s: float
    margin_stops: float
    support_low_stops: float | None
    support_high_stops: float | None
    verdict: SteadyVerdict
    working: str


@dataclass(frozen=True, slots=True)
class Smear:
    """How far a subject moves on the sensor in mm and pixels, and the time in s for one pixel."""

    shift_mm: float
    pixels: float | None
    one_pixel_s: float | None
    working: str


@dataclass(frozen=True, slots=True)
class StarDrift:
    """How far a star moves on the sensor in the time and per minute, and the time in s for two pixels.

    All on the lens's axis; `corner_um` and `corner_pixels` are the longest trail in a corner, where the same
    angle covers more and stars of other declinations stand.
    """

    trail_um: float
    corner_um: float
    per_minute_um: float
    pixels: float | None
    corner_pixels: float | None
    two_pixels_s: float | None
    working: str


def guide_s(focal_35mm: float, stabilisation_stops: float = 0.0, factor: float = 1.0) -> float:
    """Return the longest handheld shutter speed in s: 2^stabilisation / (factor × 35 mm-equivalent focal).

    A rule of thumb (Ray; stabilisation is stated in steps, CIPA DC-X011); a larger factor is stricter.
    """
    stops = checked("Stabilisation", stabilisation_stops, 0, 12, "stops")
    return float(2**stops / (checked("Factor", factor, 0.25, 8, "") * checked_focal(focal_35mm)))


def steadiness(
    exposure_s: Fraction | float,
    focal_35mm: float,
    support: str = "handheld",
    *,
    stabilisation_stops: float = 0.0,
    factor: float = 1.0,
) -> Steady:
    """Return the time in s against the handheld guide and what the support usually adds.

    `support` is tripod, monopod, braced, handheld, other or unknown; `margin_stops` leaves it out, the
    verdict counts it in. Raises CraftValueError.
    """
    guide = guide_s(focal_35mm, stabilisation_stops, factor)
    margin = math.log2(guide / exact_exposure_s(exposure_s))
    low, high = _GAINS.get(support, (None, None))
    if support == "tripod" or margin >= -1e-9:
        verdict = SteadyVerdict.STEADY
    elif low is None or high is None:
        verdict = SteadyVerdict.UNKNOWN
    elif margin + low >= -1e-9:
        verdict = SteadyVerdict.STEADY
    elif margin + high >= -1e-9:
        verdict = SteadyVerdict.LIKELY
    else:
        verdict = SteadyVerdict.DOUBTFUL if margin + high >= -1 else SteadyVerdict.UNLIKELY
    side = "faster" if margin >= 0 else "slower"
    power = (
        f" × 2^{number_text(stabilisation_stops)} = {number_text(guide, 3)} s" if stabilisation_stops else ""
    )
    working = (
        f"handheld guide 1/{number_text(factor * focal_35mm)} s{power}; "
        f"{exposure_text(exposure_s)} is {counted_stops(round(abs(margin), 1))} {side}"
    )
    if support == "tripod":
        working = "on a tripod: wind, moving water and a shaky walkway matter, not the handheld guide"
    elif low is not None and high:
        helped = {"braced": "bracing", "monopod": "a monopod"}.get(support, support)
        working += f"; {helped} usually adds {number_text(low)} to {number_text(high)} stops"
    return Steady(guide, margin, low, high, verdict, working)


def smear(
    speed_m_s: float,
    distance_m: float,
    exposure_s: Fraction | float,
    focal_mm: float,
    *,
    angle_deg: float = 90.0,
    pixel_um: float | None = None,
) -> Smear:
    """Return how far a subject moves on the sensor: v t sin(angle) f / (d − f) (Ray, magnification).

    Speed in m/s, distance in m from a thin lens; the angle is between its path and the line of sight, 90 for
    straight across. Raises CraftValueError, also for a subject nearer than the focal length.
    """
    speed = checked("Speed", speed_m_s, 0, 1000, "m/s")
    path = math.radians(checked("Angle", angle_deg, 0, 180, "degrees"))
    per_second_mm = speed * math.sin(path) * magnification(focal_mm, distance_m) * 1000
    time_s = float(checked_exposure(exposure_s))
    shift = per_second_mm * time_s
    pitch_mm = None if pixel_um is None else checked("Pixel pitch", pixel_um, 0.3, 100, "um") / 1000
    pixels = None if pitch_mm is None else shift / pitch_mm
    one_pixel = None if pitch_mm is None or per_second_mm < 1e-9 else pitch_mm / per_second_mm
    across = "" if angle_deg == 90 else f" × sin {number_text(angle_deg)}°"
    working = (
        f"{number_text(speed)} m/s × {exposure_text(exposure_s)}{across} × {number_text(focal_mm)} mm / "
        f"({number_text(distance_m)} m − {number_text(focal_mm)} mm) = {number_text(shift, 3)} mm"
    )
    if pixels is not None:
        working += f" = {number_text(pixels, 1)} pixels"
    return Smear(shift, pixels, one_pixel, working)


def star_drift(
    focal_mm: float,
    exposure_s: Fraction | float,
    declination_deg: float = 0.0,
    *,
    pixel_um: float | None = None,
    sensor: Sensor = FULL_FRAME,
) -> StarDrift:
    """Return the trail of a star on the axis: f ω t cos(declination), ω the sidereal rate (small angles).

    Trails in um; declination 0 is the fastest star. The corner is a rectilinear picture's, with the camera
    turned about its axis so that the trail there is longest. Raises CraftValueError.
    """
    axis = math.radians(checked("Declination", declination_deg, -90, 90, "degrees"))
    turn = checked_focal(focal_mm) * 1000 * math.radians(SIDEREAL_ARCSEC_PER_S / 3600)  # um/s
    rate = turn * math.cos(axis)
    time_s = float(checked_exposure(exposure_s))
    pitch = None if pixel_um is None else checked("Pixel pitch", pixel_um, 0.3, 100, "um")
    trail = rate * time_s
    pixels = None if pitch is None else trail / pitch
    two_pixels = None if pitch is None or rate < 1e-9 else 2 * pitch / rate
    corner = turn * time_s * _corner_speed(axis, sensor.diagonal_mm / 2 / focal_mm)
    corner_pixels = None if pitch is None else corner / pitch
    working = (
        f"{number_text(focal_mm)} mm × 15.04″/s × {exposure_text(exposure_s)} "
        f"× cos {number_text(declination_deg)}° = {number_text(trail, 1)} µm"
    )
    if pixels is not None:
        working += f" = {number_text(pixels, 1)} pixels"
    working += f" on the axis, up to {number_text(corner, 1)} µm in a corner"
    return StarDrift(trail, corner, rate * 60, pixels, corner_pixels, two_pixels, working)


def _corner_speed(axis_rad: float, out: float) -> float:
    """The fastest a star moves at tan θ = `out` off an axis of this declination; focal lengths per radian.

    A star at (x, y), y towards the pole, moves by (C (1 + x²) − S y, x (S + C y)), C and S the cosine and the
    sine of the declination (the turning sphere in gnomonic projection; own derivation): most on the circle
    x² + y² = `out`² away from the pole, on a wide lens to the side of it.
    """
    cosine, sine = math.cos(axis_rad), abs(math.sin(axis_rad))
    square = out**2
    if sine > out * cosine * (2 + square):
        return cosine + sine * out
    return math.sqrt((cosine * (1 + square)) ** 2 + sine**2 * (square + 1 / (2 + square)))
