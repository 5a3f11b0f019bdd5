"""Shadows, also of a sun that the horizon cuts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.light import SUN_RADIUS_DEG
from logbook.craft.shadow import cast_shadow, shining_deg


def test_at_half_a_right_angle_a_shadow_is_as_long_as_its_thing_is_high() -> None:
    found = cast_shadow(250.0, 45.0)
    assert found is not None
    assert found.length_per_metre == pytest.approx(1.0)
    assert found.bearing_deg == 70.0


@given(st.floats(-SUN_RADIUS_DEG + 1e-6, 90.0))
def test_every_part_of_the_sun_that_shows_casts_a_shadow(apparent_deg: float) -> None:
    assert 0 < shining_deg(apparent_deg) <= max(apparent_deg, SUN_RADIUS_DEG)
    assert cast_shadow(0.0, shining_deg(apparent_deg)) is not None


def test_half_a_sun_shines_from_the_middle_of_what_shows() -> None:
    assert shining_deg(0.0) == pytest.approx(SUN_RADIUS_DEG / 2)
    assert shining_deg(SUN_RADIUS_DEG) == pytest.approx(SUN_RADIUS_DEG)
    assert cast_shadow(0.0, shining_deg(-SUN_RADIUS_DEG)) is None
