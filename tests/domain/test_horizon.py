"""A viewpoint's own horizon, as it is written, kept and told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.horizon import SEA, Horizon, horizon_kept, horizon_text, horizon_written, seen_deg


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("6", Horizon(6.0)),
        (" 6.5° ", Horizon(6.5)),
        ("12 deg", Horizon(12.0)),
        ("3 degrees", Horizon(3.0)),
        ("-0,4", Horizon(-0.4)),
        ("−1.2°", Horizon(-1.2)),
        ("+2", Horizon(2.0)),
        ("0", Horizon(0.0)),
        ("SEA", SEA),
    ],
)
def test_a_horizon_is_read_as_people_write_it(text: str, meant: Horizon) -> None:
    assert horizon_written(text) == meant


@pytest.mark.parametrize("text", ["", "hills", "6 m", "81", "-45.1", "nan", "1e1", "6-8", "the sea"])
def test_what_cannot_be_a_horizon_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"sea\.$"):
        horizon_written(text)


@given(st.none() | st.floats(-45, 45))
def test_what_is_kept_is_what_was_said(skyline_deg: float | None) -> None:
    assert horizon_kept(str(Horizon(skyline_deg))) == Horizon(skyline_deg)


def test_unknown_is_neither_level_nor_the_sea() -> None:
    assert seen_deg(None, 120.0) is None
    assert seen_deg(Horizon(0.0), 120.0) == 0.0
    assert horizon_text(None, 120.0) != horizon_text(Horizon(0.0), 120.0)


def test_the_sea_sinks_with_the_elevation_and_waits_for_it() -> None:
    """The Nautical Almanac, dip: 1.76 arcmin times the root of the height in metres; 0.05 arcmin."""
    assert seen_deg(SEA, 120.0) == pytest.approx(-19.28 / 60, abs=0.05 / 60)
    assert seen_deg(SEA, None) is None
    assert seen_deg(SEA, -30.0) is None, "from below the sea's level none is seen"


def test_the_words_name_which_horizon_counts() -> None:
    assert horizon_text(Horizon(6.0), None) == "the 6° skyline"
    assert horizon_text(SEA, 120.0) == "the sea horizon seen from 120 m"
    assert horizon_text(None, None) == "a level horizon"
    assert horizon_text(SEA, None).startswith("a level horizon, because")
