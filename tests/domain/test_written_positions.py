"""Coordinates are found in whatever dress a person writes them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.written_positions import written_positions

HERE = 38.20005


@pytest.mark.parametrize(
    "text",
    [
        "38.20005",
        "38,20005",
        "N38.20005",
        "-38.20005",
        "−38.20005°",
        "lat=38.20005;",
        "geo:38.20005,73.40005",
        "38°12.003'",
        "38° 12' 0.2\" N",
        "38º12′00″N",
        "38°12’0''",
    ],
)
def test_one_coordinate_is_found_however_it_is_written(text: str) -> None:
    assert any(
        abs(value - HERE) <= max(one.unit_deg, 1e-4)
        for one in written_positions(f"near {text} they say")
        for value in one.degrees
    )


def test_two_coarse_ones_that_stand_together_are_a_pair() -> None:
    (pair,) = written_positions("at 38.20, 73.40, by the wall")
    assert (pair.degrees, pair.unit_deg) == ((38.20, 73.40), 0.01)


@pytest.mark.parametrize("text", ["f/2.8 for 47.3 s", "1013.251 hPa", "2031-10-14 17:20", "12.5 km", "1/125"])
def test_other_figures_are_left_alone(text: str) -> None:
    assert not list(written_positions(text))


@given(st.floats(0, 180), st.integers(3, 8), st.text(alphabet="NSEWlatgeo=:( ", max_size=6))
def test_whatever_stands_before_it_a_coordinate_is_found_to_its_last_place(
    degrees: float, digits: int, before: str
) -> None:
    found = [one for one in written_positions(f"{before}{degrees:.{digits}f}") if len(one.degrees) == 1]
    assert any(abs(one.degrees[0] - degrees) <= one.unit_deg for one in found)


@given(st.text())
def test_no_text_makes_it_fail_and_every_find_lies_within(text: str) -> None:
    assert all(0 <= begin < end <= len(text) for one in written_positions(text) for begin, end in one.spans)
