"""What a lens sees."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.optics import (
    FULL_FRAME,
    Projection,
    Sensor,
    angle_deg,
    angle_of_view,
    cover,
    fit,
)

FOCALS = st.floats(min_value=4, max_value=1200)
DISTANCES = st.floats(min_value=2, max_value=10_000)


@given(FOCALS, DISTANCES)
def test_the_width_covered_is_what_the_angle_spans(focal_mm: float, distance_m: float) -> None:
    seen = angle_of_view(focal_mm)
    spanned = 2 * (distance_m - focal_mm / 1000) * math.tan(math.radians(seen.horizontal_deg) / 2)
    assert cover(focal_mm, distance_m).width_m == pytest.approx(spanned, rel=1e-9)


@given(FOCALS, DISTANCES, st.floats(min_value=0.1, max_value=500), st.floats(min_value=0.1, max_value=500))
def test_a_subject_fits_up_to_its_longest_focal_length(
    focal_mm: float, distance_m: float, wide_m: float, tall_m: float
) -> None:
    result = fit(wide_m, tall_m, distance_m, focal_mm)
    covered = cover(focal_mm, distance_m)
    level = wide_m <= covered.width_m and tall_m <= covered.height_m
    upright = wide_m <= covered.height_m and tall_m <= covered.width_m
    limit = max(result.landscape_mm, result.portrait_mm)
    assert result.fits == (level or upright) or focal_mm == pytest.approx(limit, rel=1e-9)


def test_a_tall_subject_fits_longer_lenses_with_the_frame_upright() -> None:
    result = fit(10, 20, 30, 50)
    assert result.landscape_mm == pytest.approx(30 * 24 / 20.024)
    assert result.portrait_mm == pytest.approx(30 * 36 / 20.036)
    assert result.fits
    assert result.working == "10 m × 20 m at 30 m fits up to 36 mm with the frame level, 54 mm upright"


@pytest.mark.parametrize(
    ("projection", "wide_deg"),
    [("rectilinear", 62.0), ("equidistant", 68.8), ("equisolid", 69.9), ("orthographic", 73.7)],
)
def test_a_fisheye_sees_more_than_a_rectilinear_lens(projection: str, wide_deg: float) -> None:
    """Ray, fisheye projections: 2 f-numbers of radians for r/f = 0.6, by hand; 0.1 degrees."""
    seen = angle_of_view(30, FULL_FRAME, Projection(projection))
    assert seen.horizontal_deg == pytest.approx(wide_deg, abs=0.1)
    assert seen.projection is Projection(projection)


def test_a_stereographic_lens_sees_a_half_circle_at_twice_its_focal_length() -> None:
    assert angle_deg(32, 8, Projection.STEREOGRAPHIC) == pytest.approx(180)


@pytest.mark.parametrize(
    "projection", [Projection.EQUISOLID, Projection.ORTHOGRAPHIC, Projection.EQUIDISTANT]
)
def test_a_picture_narrower_than_the_sensor_is_refused(projection: Projection) -> None:
    with pytest.raises(CraftValueError, match="narrower than 36 mm"):
        angle_of_view(5, FULL_FRAME, projection)


def test_the_pixel_pitch_is_the_width_over_the_pixels() -> None:
    assert FULL_FRAME.pixel_um(6000) == pytest.approx(6.0)


@pytest.mark.parametrize("focal_mm", [0, -16, math.nan, math.inf, 100_000])
def test_an_impossible_focal_length_is_refused(focal_mm: float) -> None:
    with pytest.raises(CraftValueError, match="Focal length"):
        angle_of_view(focal_mm)


def test_impossible_sizes_are_refused() -> None:
    for make in (
        lambda: Sensor(0, 24),
        lambda: Sensor(36, math.nan),
        lambda: cover(16, 0),
        lambda: fit(0, 1, 1, 16),
        lambda: FULL_FRAME.pixel_um(0),
    ):
        with pytest.raises(CraftValueError, match=r"\.$"):
            make()
