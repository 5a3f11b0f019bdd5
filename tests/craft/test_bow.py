import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bow import BowOrder, bow
from logbook.craft.view import View

NORTH = View(facing_deg=0.0, horizontal_fov_deg=65.0, vertical_fov_deg=45.0, tilt_deg=10.0)


@given(st.floats(0.0, 360.0), st.floats(0.0, 80.0), st.floats(0.1, 10.0), st.sampled_from(BowOrder))
def test_the_top_falls_as_the_sun_rises(
    azimuth_deg: float, low_deg: float, rise_deg: float, order: BowOrder
) -> None:
    low, high = bow(NORTH, azimuth_deg, low_deg, order), bow(NORTH, azimuth_deg, low_deg + rise_deg, order)
    assert low is not None
    assert high is not None
    assert high.top_altitude_deg < low.top_altitude_deg


def test_a_bow_stands_opposite_the_sun_and_in_the_frame_of_a_camera_that_turns_its_back() -> None:
    seen = bow(NORTH, 180.0, 15.0)
    assert seen is not None
    assert seen.centre_azimuth_deg == 0.0
    assert seen.top_altitude_deg == 27.0
    assert seen.in_frame


def test_no_bow_is_in_the_frame_of_a_camera_that_faces_the_sun() -> None:
    seen = bow(NORTH, 0.0, 15.0)
    assert seen is not None
    assert not seen.in_frame
    assert not seen.spray_in_frame


def test_a_high_sun_leaves_a_bow_only_in_spray_below() -> None:
    down = View(facing_deg=0.0, horizontal_fov_deg=65.0, vertical_fov_deg=45.0, tilt_deg=-20.0)
    seen = bow(down, 180.0, 55.0)
    assert seen is not None
    assert seen.top_altitude_deg == -13.0
    assert (seen.in_frame, seen.spray_in_frame) == (False, True)


def test_a_long_lens_on_the_top_of_the_bow_has_it_in_the_frame() -> None:
    top = View(facing_deg=0.0, horizontal_fov_deg=2.0, vertical_fov_deg=1.4, tilt_deg=27.0)
    beside = View(facing_deg=0.0, horizontal_fov_deg=2.0, vertical_fov_deg=1.4, tilt_deg=24.0)
    on_top, off_top = bow(top, 180.0, 15.0), bow(beside, 180.0, 15.0)
    assert on_top is not None
    assert off_top is not None
    assert (on_top.in_frame, off_top.in_frame) == (True, False)


@pytest.mark.parametrize("turn_deg", [0.5, 20.0, 38.0])
def test_left_and_right_halves_of_a_bow_are_alike(turn_deg: float) -> None:
    left = View(facing_deg=360.0 - turn_deg, horizontal_fov_deg=20.0, vertical_fov_deg=14.0, tilt_deg=5.0)
    right = View(facing_deg=turn_deg, horizontal_fov_deg=20.0, vertical_fov_deg=14.0, tilt_deg=5.0)
    one, other = bow(left, 180.0, 10.0), bow(right, 180.0, 10.0)
    assert one is not None
    assert other is not None
    assert (one.in_frame, one.spray_in_frame) == (other.in_frame, other.spray_in_frame)


def test_a_sun_that_is_not_up_makes_no_bow() -> None:
    assert bow(NORTH, 180.0, -1.0) is None
