"""Depth of field: what is sharp from where to where.

One surprising decision: the far limit is None when it is infinite, because JSON knows no infinity.
"""

from dataclasses import dataclass

from logbook.craft.errors import CraftValueError, checked
from logbook.craft.marks import aperture_text, checked_aperture, number_text, range_text
from logbook.craft.optics import FULL_FRAME, Sensor, checked_distance, checked_focal, magnification

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
