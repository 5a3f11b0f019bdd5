from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.sphere import MEAN_RADIUS_M, angle, between, distance_m, middle, place, unit

LATITUDES, LONGITUDES = st.floats(-90.0, 90.0), st.floats(-180.0, 180.0)
UNITS = st.builds(unit, LATITUDES, LONGITUDES)


@given(st.floats(-89.9, 89.9), st.floats(-179.9, 179.9))
def test_a_place_comes_back_from_its_vector(latitude_deg: float, longitude_deg: float) -> None:
    assert place(unit(latitude_deg, longitude_deg)) == pytest.approx((latitude_deg, longitude_deg), abs=1e-9)


@given(UNITS, UNITS)
def test_a_distance_is_the_same_both_ways_and_never_past_the_antipode(
    a: tuple[float, float, float], b: tuple[float, float, float]
) -> None:
    assert distance_m(a, b) == distance_m(b, a)
    assert 0.0 <= distance_m(a, b) <= pi * MEAN_RADIUS_M * (1 + 1e-12)


@given(UNITS, UNITS, st.floats(0.0, 1.0))
def test_a_place_between_lies_on_the_way(
    a: tuple[float, float, float], b: tuple[float, float, float], part: float
) -> None:
    if angle(a, b) < pi - 1e-3:
        here = between(a, b, part)
        assert angle(a, here) + angle(here, b) == pytest.approx(angle(a, b), abs=1e-7)
        assert angle(a, here) == pytest.approx(part * angle(a, b), abs=1e-7)


def test_a_millimetre_is_not_lost() -> None:
    degree_m = MEAN_RADIUS_M * pi / 180
    assert distance_m(unit(45.0, 10.0), unit(45.0 + 0.001 / degree_m, 10.0)) == pytest.approx(0.001, rel=1e-3)


def test_half_way_across_the_date_line_is_on_it() -> None:
    latitude_deg, longitude_deg = place(between(unit(0.0, 179.9), unit(0.0, -179.9), 0.5))
    assert latitude_deg == pytest.approx(0.0)
    assert abs(longitude_deg) == pytest.approx(180.0)


def test_half_way_across_the_pole_is_the_pole() -> None:
    assert place(between(unit(89.9, 30.0), unit(89.9, -150.0), 0.5))[0] == pytest.approx(90.0)


def test_between_antipodes_the_nearer_end_is_returned() -> None:
    here, there = unit(0.0, 0.0), unit(0.0, 180.0)
    assert between(here, there, 0.4) == here
    assert between(here, there, 0.6) == there


def test_the_middle_of_points_on_a_meridian_or_the_equator_lies_on_it() -> None:
    for one, other, between_them in (
        ((0.0, 10.0), (0.0, 20.0), (0.0, 15.0)),
        ((10.0, 70.0), (30.0, 70.0), (20.0, 70.0)),
    ):
        assert place(middle((unit(*one), unit(*other)))) == pytest.approx(between_them)


def test_the_middle_of_points_round_a_pole_is_the_pole() -> None:
    assert place(middle(unit(89.0, east) for east in (0.0, 120.0, -120.0)))[0] == pytest.approx(90.0)
