from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import (
    circular_mean,
    day_at,
    off_axis_deg,
    separation_deg,
    turn_deg,
    wrap_bearing_deg,
    year_angle_deg,
)

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


def test_the_mean_of_two_bearings_round_north_is_north() -> None:
    mean = circular_mean([350.0, 10.0])
    assert mean.mean_deg is not None
    assert off_axis_deg(mean.mean_deg, 0.0) < 1e-9
    assert mean.resultant == pytest.approx(0.9848, abs=0.0001)  # cos 10°


def test_opposite_bearings_have_no_mean() -> None:
    assert circular_mean([90.0, 270.0]).mean_deg is None
    assert circular_mean([]).mean_deg is None


def test_the_turn_of_the_year_is_one_season() -> None:
    december, january = year_angle_deg(date(2030, 12, 27)), year_angle_deg(date(2031, 1, 5))
    assert off_axis_deg(december, january) == pytest.approx(9 / 365 * 360, abs=0.05)
    mean = circular_mean([december, january]).mean_deg
    assert mean is not None
    assert day_at(mean) in (date(2001, 12, 31), date(2001, 1, 1))


def test_a_leap_year_closes_its_circle() -> None:
    assert year_angle_deg(date(2024, 1, 1)) == 0.0
    assert year_angle_deg(date(2024, 12, 31)) == pytest.approx(360 * 365 / 366)


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)).filter(lambda day: (day.month, day.day) != (2, 29)))
def test_a_day_keeps_its_name_round_the_circle_to_one_day(day: date) -> None:
    found = day_at(year_angle_deg(day))
    assert off_axis_deg(year_angle_deg(found), year_angle_deg(day.replace(year=2001))) < 1.5 / 365 * 360


@given(st.lists(st.floats(0, 360), min_size=1, max_size=20), st.floats(0, 360))
def test_turning_all_bearings_turns_their_mean(angles: list[float], turn: float) -> None:
    before, after = circular_mean(angles), circular_mean([angle + turn for angle in angles])
    assert after.resultant == pytest.approx(before.resultant, abs=1e-9)
    if before.mean_deg is not None and after.mean_deg is not None:
        assert off_axis_deg(before.mean_deg + turn, after.mean_deg) < 1e-6
