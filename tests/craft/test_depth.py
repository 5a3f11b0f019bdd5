"""Depth of field."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.depth import (
    Bought,
    Softness,
    circle_of_confusion_mm,
    covering_focus_m,
    depth_of_field,
    diffraction,
    hyperfocal_m,
    sharp_text,
    stopping_down,
)
from logbook.craft.errors import CraftValueError
from logbook.craft.optics import Sensor

FOCALS = st.floats(min_value=8, max_value=400)
APERTURES = st.floats(min_value=1, max_value=32)


@given(FOCALS, APERTURES, st.floats(min_value=1, max_value=1000))
def test_the_subject_lies_within_its_own_depth(focal_mm: float, f_number: float, subject_m: float) -> None:
    depth = depth_of_field(focal_mm, f_number, subject_m)
    assert 0 < depth.near_m <= subject_m
    assert depth.far_m is None or depth.far_m >= subject_m
    assert (depth.far_m is None) == (subject_m >= depth.hyperfocal_m * (1 - 1e-9))


@given(FOCALS, APERTURES)
def test_focused_at_the_hyperfocal_distance_half_of_it_to_infinity_is_sharp(
    focal_mm: float, f_number: float
) -> None:
    hyperfocal = hyperfocal_m(focal_mm, f_number, circle_of_confusion_mm())
    depth = depth_of_field(focal_mm, f_number, hyperfocal)
    assert depth.far_m is None
    assert depth.near_m == pytest.approx(hyperfocal / 2, rel=1e-9)


def test_a_smaller_sensor_has_a_smaller_circle_of_confusion() -> None:
    assert circle_of_confusion_mm(Sensor(18, 12)) == pytest.approx(circle_of_confusion_mm() / 2)


def test_the_working_can_be_followed() -> None:
    assert depth_of_field(50, 8, 5, 0.03).working == (
        "H = 50² / (8 × 0.03) + 50 mm = 10.47 m; focused at 5 m sharp from 3.39 m to 9.53 m"
    )


@pytest.mark.parametrize(
    ("focal_mm", "f_number", "subject_m", "coc_mm"),
    [(50, 8, 0.04, 0.03), (50, 0, 5, 0.03), (50, 8, -1, 0.03), (50, 8, 5, 0), (50, 8, math.nan, 0.03)],
)
def test_impossible_depths_are_refused(
    focal_mm: float, f_number: float, subject_m: float, coc_mm: float
) -> None:
    with pytest.raises(CraftValueError, match=r"\.$"):
        depth_of_field(focal_mm, f_number, subject_m, coc_mm)


@pytest.mark.parametrize(
    ("near_m", "far_m", "says"),
    [
        (0.3086, 0.3116, "0.309 m to 0.312 m"),
        (0.05001, 0.05002, "0.05001 m to 0.05002 m"),
        (3.39, 9.53, "3.39 m to 9.53 m"),
        (2.0, None, "2 m to infinity"),
    ],
)
def test_a_sharp_range_is_told_in_digits_that_differ(near_m: float, far_m: float | None, says: str) -> None:
    assert sharp_text(near_m, far_m) == says


def test_both_ends_of_a_range_are_equally_sharp_where_it_is_focused() -> None:
    """The blur of a point at d, focused at s, goes with |1/s - 1/d| (thin lens, Ray)."""
    focus = covering_focus_m(2, 5)
    assert 1 / 2 - 1 / focus == pytest.approx(1 / focus - 1 / 5)
    with pytest.raises(CraftValueError, match="swap the two"):
        covering_focus_m(5, 2)


def test_f32_bought_time_not_depth_where_f11_already_held_the_range() -> None:
    """Common practice, no source: 20 mm focused at 3 m is sharp from 1 m to infinity at f/11 already."""
    result = stopping_down(20, 3, 11, 32, 1.0, pixel_um=4.3)
    assert result.bought is Bought.TIME
    assert result.time_stops == pytest.approx(3)
    assert result.diffraction_after.softness is Softness.PICTURE
    assert result.diffraction_before.softness is Softness.PIXEL
    assert "a slower shutter speed, but no more depth" in result.working


def test_a_smaller_aperture_buys_depth_where_the_range_was_not_held() -> None:
    assert stopping_down(50, 3, 4, 11, 2.3, 4.0).bought is Bought.DEPTH
    assert stopping_down(50, 3, 4, 11, 1.0, None).bought is Bought.TOO_LITTLE_DEPTH


def test_an_infinite_range_needs_an_infinite_far_limit() -> None:
    assert stopping_down(50, 10, 8, 16, 6.0, 200.0).bought is Bought.DEPTH
    assert stopping_down(50, 12, 8, 16, 6.0).bought is Bought.TIME


def test_softness_shows_in_pixels_before_it_shows_in_the_picture() -> None:
    assert diffraction(4, 6.0).softness is Softness.NONE
    assert diffraction(11, 4.3).softness is Softness.PIXEL
    assert diffraction(32, 4.3).softness is Softness.PICTURE
    assert diffraction(11).softness is Softness.NONE  # without a pitch only the picture is judged
    assert diffraction(11).per_pixel is None


def test_impossible_pitches_are_refused() -> None:
    for pitch in (0, -1, float("nan")):
        with pytest.raises(CraftValueError, match="Pixel pitch"):
            diffraction(8, pitch)


def test_opening_up_is_not_stopping_down() -> None:
    with pytest.raises(CraftValueError, match=r"f/8 is wider than f/16; .* name a smaller aperture\."):
        stopping_down(24, 2.5, 16, 8, 1.2)
