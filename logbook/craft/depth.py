"""Depth of field and diffraction: what is sharp from where to where, and what stopping down really bought.

Surprising decisions: the far limit is None when it is infinite, because JSON knows no infinity.
`stopping_down` does not judge sharpness in the abstract; it asks whether the range that had to be sharp
already was, because then the smaller aperture bought time and not depth.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from logbook.craft.errors import CraftValueError, checked
from logbook.craft.exposure import aperture_value
from logbook.craft.marks import aperture_text, checked_aperture, counted_stops, number_text, range_text
from logbook.craft.optics import (
    CLOSE_UP,
    FULL_FRAME,
    Sensor,
    checked_distance,
    checked_focal,
    effective_f_number,
    magnification,
)

FIRST_ZERO_OVER_PI = (
    1.2196698912665045  # first zero of the Bessel function J1 / pi; Born and Wolf, sec. 8.5.2
)
WAVELENGTH_NM = 550.0  # nm; green light, where the eye is most sensitive
COC_DIVISOR = 1500.0  # circle of confusion = sensor diagonal / 1500; usual convention, Ray


@dataclass(frozen=True, slots=True)
class Depth:
    """Hyperfocal distance and limits in m, circle of confusion in mm; far None is infinity."""

    hyperfocal_m: float
    near_m: float
    far_m: float | None
    coc_mm: float
    working: str


def sharp_text(near_m: float, far_m: float | None) -> str:
    """Return a sharp range in words: `1.2 m to 3.4 m`, `2 m to infinity`, `0.309 m to 0.312 m`."""
    return f"{number_text(near_m)} m to infinity" if far_m is None else range_text(near_m, far_m, "m")


def circle_of_confusion_mm(sensor: Sensor = FULL_FRAME, divisor: float = COC_DIVISOR) -> float:
    """Return the circle of confusion in mm: sensor diagonal / divisor (1500 or 1730 by convention, Ray)."""
    return sensor.diagonal_mm / checked("Divisor", divisor, 100, 10_000, "")


def hyperfocal_m(focal_mm: float, f_number: float, coc_mm: float, *, plus_focal: bool = True) -> float:
    """Return the hyperfocal distance in m: f²/(N c) + f; the shorter definition leaves + f away (Ray)."""
    focal = checked_focal(focal_mm)
    coc = checked("Circle of confusion", coc_mm, 0.0005, 1, "mm")
    return (focal**2 / (checked_aperture(f_number) * coc) + (focal if plus_focal else 0.0)) / 1000


def covering_focus_m(nearest_m: float, farthest_m: float) -> float:
    """Return where to focus for a range in m, so that both its ends are equally sharp: 2 n f / (n + f) (Ray).

    Raises CraftValueError when the farthest thing is nearer than the nearest.
    """
    near, far = checked_distance(nearest_m), checked_distance(farthest_m)
    if far < near:
        raise CraftValueError(
            f"The farthest thing, at {far:g} m, is nearer than the nearest, at {near:g} m; swap the two."
        )
    return 2 * near * far / (near + far)


def depth_of_field(focal_mm: float, f_number: float, subject_m: float, coc_mm: float | None = None) -> Depth:
    """Return the sharp range around a subject: near s(H−f)/(H+s−2f), far s(H−f)/(H−s) or infinite (Ray).

    Distances in m from the lens; the f-number is taken as it stands. `coc_mm` is 36x24 mm's when not given.
    Raises CraftValueError, also for a subject nearer than the focal length.
    """
    coc = circle_of_confusion_mm() if coc_mm is None else coc_mm
    hyperfocal = hyperfocal_m(focal_mm, f_number, coc)
    focal = focal_mm / 1000
    subject = checked_distance(subject_m)
    magnification(focal_mm, subject)  # refuses what has no image
    near = subject * (hyperfocal - focal) / (hyperfocal + subject - 2 * focal)
    infinite = subject >= hyperfocal * (1 - 1e-9)  # at exactly H, rounding would make it merely huge
    far = None if infinite else subject * (hyperfocal - focal) / (hyperfocal - subject)
    working = (
        f"H = {number_text(focal_mm)}² / ({aperture_text(f_number)[2:]} × {number_text(coc, 4)}) + "
        f"{number_text(focal_mm)} mm = {number_text(hyperfocal)} m; focused at {number_text(subject)} m "
        f"sharp from {sharp_text(near, far)}"
    )
    return Depth(hyperfocal, near, far, coc, working)


class Softness(StrEnum):
    """Where diffraction shows: nowhere, only at one pixel for one, or in the whole picture."""

    NONE = "none"
    PIXEL = "pixel"
    PICTURE = "picture"


class Bought(StrEnum):
    """What a smaller aperture bought."""

    TIME = "time"
    DEPTH = "depth"
    TOO_LITTLE_DEPTH = "too-little-depth"


@dataclass(frozen=True, slots=True)
class Diffraction:
    """The Airy disc's diameter in um, and its ratios to the pixel pitch and the circle of confusion.

    `effective_f_number` is what the aperture counts as, close up more than what is set.
    """

    effective_f_number: float
    airy_um: float
    per_pixel: float | None
    per_coc: float
    softness: Softness
    working: str


@dataclass(frozen=True, slots=True)
class StoppingDown:
    """What a smaller aperture changed: stops of time, depth before and after, softness."""

    time_stops: float
    before: Depth
    after: Depth
    diffraction_before: Diffraction
    diffraction_after: Diffraction
    bought: Bought
    working: str


def airy_um(f_number: float, wavelength_nm: float = WAVELENGTH_NM) -> float:
    """Return the diameter in um of the Airy disc's first dark ring: 2.43934 λ N (Born and Wolf, 8.5.2)."""
    wavelength = checked("Wavelength", wavelength_nm, 200, 2000, "nm")
    return 2 * FIRST_ZERO_OVER_PI * wavelength / 1000 * checked_aperture(f_number)


def diffraction(
    f_number: float,
    pixel_um: float | None = None,
    coc_mm: float | None = None,
    *,
    magnified: float = 0.0,
) -> Diffraction:
    """Return the Airy disc against the pixel pitch in um and the circle of confusion in mm.

    Close up the aperture counts as N (1 + m), m being the magnification (Ray).

    Softness shows pixel for pixel when the disc exceeds two pixels, and in the whole picture when it exceeds
    the circle of confusion (common practice, no source). `coc_mm` is 36x24 mm's when not given.
    """
    effective = effective_f_number(f_number, magnified) if magnified >= CLOSE_UP else f_number
    disc = airy_um(effective)
    coc_um = 1000 * (circle_of_confusion_mm() if coc_mm is None else coc_mm)
    checked("Circle of confusion", coc_um, 0.5, 1000, "um")
    per_pixel = None if pixel_um is None else disc / checked("Pixel pitch", pixel_um, 0.3, 100, "um")
    softness = Softness.NONE
    if disc > coc_um:
        softness = Softness.PICTURE
    elif per_pixel is not None and per_pixel > 2:
        softness = Softness.PIXEL
    number = aperture_text(f_number)[2:] if magnified < CLOSE_UP else number_text(effective, 1)
    working = f"Airy disc 2.44 × 0.55 µm × {number} = {number_text(disc, 1)} µm"
    if per_pixel is not None:
        working += f" = {number_text(per_pixel, 1)} pixels"
    working += f"; circle of confusion {number_text(coc_um, 1)} µm"
    return Diffraction(effective, disc, per_pixel, disc / coc_um, softness, working)


def stopping_down(
    focal_mm: float,
    subject_m: float,
    from_f_number: float,
    to_f_number: float,
    nearest_m: float,
    farthest_m: float | None = None,
    *,
    pixel_um: float | None = None,
    coc_mm: float | None = None,
) -> StoppingDown:
    """Return what stopping down bought when everything from `nearest_m` to `farthest_m` had to be sharp.

    Distances in m, farthest None is infinity. When the first aperture already held the range, the second
    bought time, not depth. Raises CraftValueError, also for a second aperture that is the wider one.
    """
    if to_f_number < from_f_number:
        wider = f"{aperture_text(to_f_number)} is wider than {aperture_text(from_f_number)}"
        raise CraftValueError(f"{wider}; to see what stopping down gains, name a smaller aperture.")
    before, after = (depth_of_field(focal_mm, n, subject_m, coc_mm) for n in (from_f_number, to_f_number))
    magnified = magnification(focal_mm, subject_m)
    soft_before, soft_after = (
        diffraction(n, pixel_um, coc_mm, magnified=magnified) for n in (from_f_number, to_f_number)
    )
    stops = aperture_value(to_f_number) - aperture_value(from_f_number)
    if _holds(before, nearest_m, farthest_m):
        bought = Bought.TIME
        verdict = "already covers the range: stopping down gives a slower shutter speed, but no more depth"
    elif _holds(after, nearest_m, farthest_m):
        bought = Bought.DEPTH
        verdict = "does not cover the range: stopping down gives more depth, at a slower shutter speed"
    else:
        bought = Bought.TOO_LITTLE_DEPTH
        verdict = "does not cover the range, and neither does the smaller aperture"
    working = (
        f"{aperture_text(from_f_number)} to {aperture_text(to_f_number)} is {counted_stops(stops)}; "
        f"{aperture_text(from_f_number)} {verdict}; Airy disc {number_text(soft_before.airy_um, 1)} to "
        f"{number_text(soft_after.airy_um, 1)} µm"
    )
    return StoppingDown(stops, before, after, soft_before, soft_after, bought, working)


def _holds(depth: Depth, nearest_m: float, farthest_m: float | None) -> bool:
    """Whether the depth of field covers a range in m; infinity needs an infinite far limit."""
    far = math.inf if depth.far_m is None else depth.far_m
    return depth.near_m <= nearest_m and far >= (math.inf if farthest_m is None else farthest_m)
