"""Means on a circle, and days of the year as places on one."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.circular import apart_deg, circular_mean, day_at, year_angle_deg


def test_the_mean_of_two_bearings_round_north_is_north() -> None:
    mean = circular_mean([350.0, 10.0])
    assert mean.mean_deg is not None
    assert apart_deg(mean.mean_deg, 0.0) < 1e-9
    assert mean.resultant == pytest.approx(0.9848, abs=0.0001)  # cos 10°


def test_opposite_bearings_have_no_mean() -> None:
    assert circular_mean([90.0, 270.0]).mean_deg is None
    assert circular_mean([]).mean_deg is None


def test_the_turn_of_the_year_is_one_season() -> None:
    december, january = year_angle_deg(date(2030, 12, 27)), year_angle_deg(date(2031, 1, 5))
    assert apart_deg(december, january) == pytest.approx(9 / 365 * 360, abs=0.05)
    mean = circular_mean([december, january]).mean_deg
    assert mean is not None
    assert day_at(mean) in (date(2001, 12, 31), date(2001, 1, 1))


def test_a_leap_year_closes_its_circle() -> None:
    assert year_angle_deg(date(2024, 1, 1)) == 0.0
    assert year_angle_deg(date(2024, 12, 31)) == pytest.approx(360 * 365 / 366)


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)).filter(lambda day: (day.month, day.day) != (2, 29)))
def test_a_day_keeps_its_name_round_the_circle_to_one_day(day: date) -> None:
    found = day_at(year_angle_deg(day))
    assert apart_deg(year_angle_deg(found), year_angle_deg(day.replace(year=2001))) < 1.5 / 365 * 360


@given(st.lists(st.floats(0, 360), min_size=1, max_size=20), st.floats(0, 360))
def test_turning_all_bearings_turns_their_mean(angles: list[float], turn: float) -> None:
    before, after = circular_mean(angles), circular_mean([angle + turn for angle in angles])
    assert after.resultant == pytest.approx(before.resultant, abs=1e-9)
    if before.mean_deg is not None and after.mean_deg is not None:
        assert apart_deg(before.mean_deg + turn, after.mean_deg) < 1e-6
