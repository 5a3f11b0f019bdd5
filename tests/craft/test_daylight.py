"""Expected scene light: the published scenes it is drawn through, and how it behaves between them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.daylight import GUIDANCE_STOPS, expected_ev100

SUNSET_DEG = -50.0 / 60.0  # USNO, Rise, Set, and Twilight Definitions


@pytest.mark.parametrize(
    ("sun_altitude_deg", "low", "high"),
    [
        (20.0, 15, 15),  # a typical scene in full sun, from about two hours after sunrise
        (60.0, 15, 15),
        (3.0, 12, 14),  # a skyline just before sunset
        (SUNSET_DEG, 12, 12),  # a skyline at sunset
        (-2.0, 9, 11),  # a skyline just after sunset
    ],
)
def test_the_line_goes_through_the_published_scenes(sun_altitude_deg: float, low: float, high: float) -> None:
    """ANSI PH2.7-1973 (R1986), daylight and natural light rows; inside the published range."""
    assert low <= expected_ev100(sun_altitude_deg) <= high


@pytest.mark.parametrize(("lit", "low", "high"), [(1.0, -3, -2), (0.8, -4, -4), (0.5, -6, -6)])
def test_moonlight_is_that_of_the_published_landscapes(lit: float, low: float, high: float) -> None:
    """ANSI PH2.7-1973 (R1986): landscapes under a full, gibbous and quarter moon above 40 degrees.

    Starlight adds a little: within 0.7 stops above the range.
    """
    assert low <= expected_ev100(-30.0, 50.0, lit) <= high + 0.7


def test_a_moon_that_is_down_or_thin_adds_nothing() -> None:
    dark = expected_ev100(-30.0)
    assert expected_ev100(-30.0, -5.0, 1.0) == dark
    assert expected_ev100(-30.0, 50.0, 0.2) == dark
    assert expected_ev100(-30.0, 10.0, 1.0) < expected_ev100(-30.0, 50.0, 1.0)


@given(st.floats(-90, 89), st.floats(0.0, 1.0))
def test_light_never_falls_as_the_sun_climbs(sun_altitude_deg: float, step_deg: float) -> None:
    lower, higher = expected_ev100(sun_altitude_deg), expected_ev100(sun_altitude_deg + step_deg)
    assert lower <= higher <= lower + 2 * GUIDANCE_STOPS
