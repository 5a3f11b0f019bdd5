import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import separation_deg, turn_deg, wrap_bearing_deg

BEARINGS = st.floats(-1080.0, 1080.0)
ALTITUDES = st.floats(-90.0, 90.0)


@given(BEARINGS)
def test_a_bearing_wraps_into_one_turn(bearing_deg: float) -> None:
    wrapped = wrap_bearing_deg(bearing_deg)
    assert 0.0 <= wrapped < 360.0
    assert turn_deg(wrapped, bearing_deg) == pytest.approx(0.0, abs=1e-9)


@given(BEARINGS, BEARINGS)
def test_a_turn_is_the_shorter_way_and_leads_there(from_deg: float, to_deg: float) -> None:
    turn = turn_deg(from_deg, to_deg)
    assert -180.0 < turn <= 180.0
    assert turn_deg(from_deg + turn, to_deg) == pytest.approx(0.0, abs=1e-9)


def test_a_turn_crosses_north_and_clockwise_is_positive() -> None:
    assert turn_deg(350.0, 10.0) == 20.0
    assert turn_deg(10.0, 350.0) == -20.0
    assert turn_deg(0.0, 180.0) == 180.0


@given(BEARINGS, ALTITUDES, BEARINGS, ALTITUDES)
def test_separation_is_the_same_both_ways(az1: float, alt1: float, az2: float, alt2: float) -> None:
    there = separation_deg(az1, alt1, az2, alt2)
    assert 0.0 <= there <= 180.0
    assert separation_deg(az2, alt2, az1, alt1) == pytest.approx(there, abs=1e-6)


@given(BEARINGS, ALTITUDES)
def test_a_point_and_its_opposite_are_half_a_turn_apart(azimuth_deg: float, altitude_deg: float) -> None:
    apart = separation_deg(azimuth_deg, altitude_deg, azimuth_deg + 180.0, -altitude_deg)
    assert apart == pytest.approx(180.0, abs=1e-6)
