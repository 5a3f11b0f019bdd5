"""Diffraction, and what stopping down bought."""

import pytest

from logbook.craft.diffraction import Bought, Softness, diffraction, stopping_down
from logbook.craft.errors import CraftValueError


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
