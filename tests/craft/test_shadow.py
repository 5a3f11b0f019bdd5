from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.shadow import cast_shadow


@pytest.mark.parametrize(
    ("altitude_deg", "length"), [(45.0, 1.0), (30.0, sqrt(3.0)), (60.0, 1.0 / sqrt(3.0)), (90.0, 0.0)]
)
def test_a_shadow_is_as_long_as_plane_trigonometry_says(altitude_deg: float, length: float) -> None:
    shadow = cast_shadow(200.0, altitude_deg)
    assert shadow is not None
    assert shadow.length_per_metre == pytest.approx(length)
    assert shadow.bearing_deg == pytest.approx(20.0)


@pytest.mark.parametrize("altitude_deg", [0.0, -0.5, -30.0])
def test_a_sun_that_is_not_up_casts_no_shadow(altitude_deg: float) -> None:
    assert cast_shadow(200.0, altitude_deg) is None


@given(st.floats(0.1, 89.0), st.floats(0.01, 1.0))
def test_a_shadow_shortens_as_the_sun_rises(altitude_deg: float, rise_deg: float) -> None:
    low, high = cast_shadow(0.0, altitude_deg), cast_shadow(0.0, altitude_deg + rise_deg)
    assert low is not None
    assert high is not None
    assert high.length_per_metre < low.length_per_metre
