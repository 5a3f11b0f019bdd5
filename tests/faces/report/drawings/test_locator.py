"""Where in the world: coasts and borders around a rounded mark, whole across the date line."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.position import Position
from logbook.faces.report.drawings.locator import HEIGHT, locator
from logbook.faces.report.drawings.svg import NARROW
from logbook.faces.resources import resource

GEOGRAPHY = resource("templates") / "geography"


def points_of(svg: str) -> list[tuple[float, float]]:
    return [
        (float(x), float(y))
        for path in re.findall(r' d="([^"]*)"', svg)
        for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)
    ]


def test_without_a_place_that_may_be_told_there_is_none() -> None:
    assert locator([], GEOGRAPHY) is None


def test_in_the_middle_of_an_ocean_it_would_tell_nothing() -> None:
    assert locator([Position(10, -150)], GEOGRAPHY) is None


@pytest.mark.slow
@given(st.floats(-70, 70), st.floats(-180, 180))
def test_no_line_leaves_the_frame(latitude_deg: float, longitude_deg: float) -> None:
    drawn = locator([Position(latitude_deg, longitude_deg)], GEOGRAPHY)
    for x, y in points_of(str(drawn.wide)) if drawn else ():
        assert 0.9 <= x <= NARROW - 0.9
        assert 0.9 <= y <= HEIGHT - 0.9


def test_two_places_near_each_other_share_a_mark_so_that_it_tells_an_area_alone() -> None:
    first, second = (locator([Position(38.2 + step, 73.4)], GEOGRAPHY) for step in (0.0, 0.03))
    assert first == second


def test_places_on_both_sides_of_the_date_line_are_near_each_other() -> None:
    drawn = locator([Position(-17, 179.9), Position(-17, -179.9)], GEOGRAPHY)
    assert drawn is not None
    assert "180° " in drawn.said[0]


@pytest.mark.parametrize("longitude_deg", [179.9, -179.9])
def test_no_straight_line_crosses_the_drawing_at_the_date_line(longitude_deg: float) -> None:
    drawn = locator([Position(66.5, longitude_deg)], GEOGRAPHY)
    assert drawn is not None
    for path in re.findall(r' d="([^"]*)"', str(drawn.wide)):
        xs = [float(x) for x, _ in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]
        assert max(abs(a - b) for a, b in pairwise(xs)) < NARROW / 3
