"""Optics against published angle-of-view tables, depth-of-field examples and the Airy pattern.

Facts and their sources are in optics.json; tolerances are the entries' own.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.depth import (
    FIRST_ZERO_OVER_PI,
    airy_um,
    circle_of_confusion_mm,
    depth_of_field,
    diffraction,
    hyperfocal_m,
)
from logbook.craft.optics import (
    FULL_FRAME,
    Sensor,
    angle_of_view,
    cover,
    effective_f_number,
    equivalent_focal_mm,
)

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("optics.json").read_text(encoding="utf-8"))[
    "entries"
]
M_PER_INCH, M_PER_FOOT = 0.0254, 0.3048


def test_angles_of_view_on_36x24() -> None:
    """Claff, Angle of View Values for Common Focal Lengths, and Ray; 0.001 deg."""
    fact = FACTS["aov-36x24"]
    for focal_mm, *angles in zip(fact["inputs"]["f_mm"], *fact["expected"].values(), strict=True):
        seen = angle_of_view(focal_mm, Sensor(*map(float, fact["inputs"]["sensor_mm"])))
        got = [seen.horizontal_deg, seen.vertical_deg, seen.diagonal_deg]
        assert got == pytest.approx(angles, abs=fact["tolerance"])


def test_crop_factors_go_by_the_diagonal() -> None:
    """Ray, equivalent focal length; 0.001."""
    fact = FACTS["crop-factor"]
    for w, h, crop, equal_mm in zip(
        fact["inputs"]["w_mm"], fact["inputs"]["h_mm"], *fact["expected"].values(), strict=True
    ):
        assert Sensor(w, h).crop == pytest.approx(crop, abs=fact["tolerance"])
        assert equivalent_focal_mm(24, Sensor(w, h)) == pytest.approx(equal_mm, abs=fact["tolerance"])


def test_hyperfocal_distance_in_both_definitions() -> None:
    """Ray, hyperfocal distance; 0.001 m."""
    fact = FACTS["hyperfocal-example"]
    coc = fact["inputs"]["c_mm"]
    for f, n, longer, shorter in zip(
        fact["inputs"]["f_mm"], fact["inputs"]["N"], *fact["expected"].values(), strict=True
    ):
        assert hyperfocal_m(f, n, coc) == pytest.approx(longer, abs=fact["tolerance"])
        assert hyperfocal_m(f, n, coc, plus_focal=False) == pytest.approx(shorter, abs=fact["tolerance"])


def test_the_army_course_example_in_feet() -> None:
    """US Army correspondence subcourse SS0507, Learning Event 10; 0.05 ft."""
    fact = FACTS["hyperfocal-army"]
    focal_mm, coc_mm = (fact["inputs"][key] * M_PER_INCH * 1000 for key in ("f_in", "c_in"))
    shorter_m = hyperfocal_m(focal_mm, fact["inputs"]["N"], coc_mm, plus_focal=False)
    assert shorter_m / M_PER_FOOT == pytest.approx(fact["expected"]["H_ft"], abs=fact["tolerance"])
    assert shorter_m / 2 / M_PER_FOOT == pytest.approx(fact["expected"]["near_ft"], abs=fact["tolerance"])
    # 0.1 ft: the course's definition leaves the focal length (0.17 ft) away
    depth = depth_of_field(focal_mm, fact["inputs"]["N"], shorter_m, coc_mm)
    assert depth.near_m / M_PER_FOOT == pytest.approx(fact["expected"]["near_ft"], abs=0.1)


def test_depth_of_field_examples() -> None:
    """Ray, depth of field equations; 0.002 m, null means an infinite far limit."""
    fact = FACTS["dof-examples"]
    rows = zip(*fact["inputs"].values(), *fact["expected"].values(), strict=True)
    for focal_mm, n, coc_mm, subject_m, hyper, near, far in rows:
        depth = depth_of_field(focal_mm, n, subject_m, coc_mm)
        assert [depth.hyperfocal_m, depth.near_m] == pytest.approx([hyper, near], abs=fact["tolerance"])
        assert depth.far_m == (None if far is None else pytest.approx(far, abs=fact["tolerance"]))


@pytest.mark.parametrize(
    ("focal_mm", "distance_m", "magnified", "width_m"),
    [
        (100, 0.31, 0.4762, 0.0756),
        (50, 0.1, 1.0, 0.036),
        (600, 5.0, 0.1364, 0.264),
        (24, 100, 0.00024, 149.96),
    ],
)
def test_near_by_a_thin_lens_racked_out_decides_what_the_frame_covers(
    focal_mm: float, distance_m: float, magnified: float, width_m: float
) -> None:
    """Hecht, Optics, sec. 5.2.3, thin-lens equation 1/u + 1/v = 1/f and m = v/u, by hand; half a percent."""
    found = cover(focal_mm, distance_m)
    assert found.magnification == pytest.approx(magnified, rel=5e-3)
    assert found.width_m == pytest.approx(width_m, rel=5e-3)
    image_m = found.magnification * distance_m
    assert 1 / distance_m + 1 / image_m == pytest.approx(1000 / focal_mm, rel=1e-9)


def test_at_life_size_the_aperture_counts_double_in_number_and_two_stops_in_light() -> None:
    """Ray, effective f-number N (1 + m): f/8 at m = 1 is f/16; the Airy disc of f/16 (Born and Wolf)."""
    assert effective_f_number(8, 1.0) == 16
    assert diffraction(8, magnified=1.0).airy_um == pytest.approx(airy_um(16))


def test_circles_of_confusion_by_convention() -> None:
    """Ray, circle of confusion; 0.0001 mm."""
    fact = FACTS["coc"]
    assert pytest.approx(fact["inputs"]["diagonal_mm"], abs=1e-4) == FULL_FRAME.diagonal_mm
    for divisor in (1500, 1730):
        wanted = fact["expected"][f"d_over_{divisor}_mm"]
        assert circle_of_confusion_mm(FULL_FRAME, divisor) == pytest.approx(wanted, abs=fact["tolerance"])


def test_airy_discs_at_550_nm() -> None:
    """Born and Wolf, sec. 8.5.2; 0.002 um, the Bessel zero within 1e-5."""
    fact = FACTS["airy-550"]
    assert pytest.approx(fact["expected"]["first_zero_over_pi"], abs=1e-5) == FIRST_ZERO_OVER_PI
    for n, um in zip(fact["inputs"]["N"], fact["expected"]["diameter_um"], strict=True):
        assert airy_um(n, fact["inputs"]["wavelength_nm"]) == pytest.approx(um, abs=0.002)
