"""Expected scene light: how it behaves between the published lights that tests/truth holds it to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.expected_light import expected_light


def test_one_moment_of_dusk_has_views_four_stops_apart() -> None:
    towards, away = (expected_light(-4.0, off).scene_ev100 for off in (0.0, 180.0))
    assert 3 < towards - away < 4.5


def test_a_view_whose_direction_nobody_knows_may_be_any_of_them() -> None:
    unknown = expected_light(-4.0)
    for off in (0.0, 45.0, 90.0, 180.0):
        known = expected_light(-4.0, off)
        assert unknown.low_ev100 <= known.scene_ev100 <= unknown.high_ev100
    assert unknown.high_ev100 - unknown.low_ev100 > 5
    assert unknown.seen.front is None


def test_a_low_sun_may_be_hidden_and_then_only_the_sky_lights_the_land() -> None:
    low = expected_light(1.0, 180.0)
    assert low.low_ev100 <= low.seen.shade < low.seen.ground
    assert expected_light(40.0, 180.0).low_ev100 > expected_light(40.0, 180.0).seen.shade


def test_a_moon_that_is_down_or_new_adds_next_to_nothing() -> None:
    dark = expected_light(-30.0, 90.0).scene_ev100
    assert expected_light(-30.0, 90.0, -8.0, 1.0).scene_ev100 == pytest.approx(dark, abs=0.05)
    assert expected_light(-30.0, 90.0, 50.0, 0.0).scene_ev100 == pytest.approx(dark, abs=0.01)
    assert dark < expected_light(-30.0, 90.0, 10.0, 1.0).scene_ev100
    assert (
        expected_light(-30.0, 90.0, 10.0, 1.0).scene_ev100
        < expected_light(-30.0, 90.0, 50.0, 1.0).scene_ev100
    )


@given(st.floats(-90, 90), st.floats(-720, 720))
def test_the_middle_lies_in_its_range_and_left_is_as_right(sun_altitude_deg: float, off_deg: float) -> None:
    found = expected_light(sun_altitude_deg, off_deg)
    assert found.low_ev100 + 0.9 <= found.scene_ev100 <= found.high_ev100 - 0.9
    assert expected_light(sun_altitude_deg, -off_deg).scene_ev100 == pytest.approx(found.scene_ev100)


@given(st.floats(-90, 89), st.floats(0.0, 1.0))
def test_light_on_the_ground_never_falls_as_the_sun_climbs(sun_altitude_deg: float, step_deg: float) -> None:
    lower = expected_light(sun_altitude_deg, 90.0)
    higher = expected_light(sun_altitude_deg + step_deg, 90.0)
    assert lower.ground_lx <= higher.ground_lx * 1.0001
    assert higher.scene_ev100 <= lower.scene_ev100 + 2.0


@given(st.floats(-89, 89), st.floats(0, 180))
def test_a_tenth_of_a_degree_never_makes_a_step(sun_altitude_deg: float, off_deg: float) -> None:
    here, there = expected_light(sun_altitude_deg, off_deg), expected_light(sun_altitude_deg + 0.1, off_deg)
    assert abs(there.scene_ev100 - here.scene_ev100) < 0.35
    assert abs(there.low_ev100 - here.low_ev100) < 0.35


@given(st.floats(0, 60), st.floats(-180, 180))
def test_a_hidden_sun_leaves_the_shade_and_a_range_that_still_holds_the_sunlit_view(
    sun_altitude_deg: float, off_deg: float
) -> None:
    lit, shaded = (expected_light(sun_altitude_deg, off_deg, is_hidden=hidden) for hidden in (False, True))
    assert shaded.scene_ev100 <= lit.scene_ev100
    assert shaded.seen.ground == pytest.approx(shaded.seen.shade)
    assert shaded.high_ev100 == pytest.approx(lit.high_ev100)
    assert shaded.seen.towards == lit.seen.towards


def test_a_hidden_moon_leaves_the_sky_it_lights_and_a_range_that_still_holds_the_moonlit_view() -> None:
    """ANSI PH2.7-1973: a landscape under a full moon above 40 degrees is EV -3 to -2 at ISO 100."""
    lit, hidden = (expected_light(-30.0, 90.0, 42.0, 1.0, is_moon_hidden=one) for one in (False, True))
    starlit = expected_light(-30.0, 90.0)
    assert -3.5 <= lit.scene_ev100 <= -2
    assert starlit.scene_ev100 + 1 < hidden.scene_ev100 < lit.scene_ev100 - 1
    assert hidden.seen.ground == pytest.approx(hidden.seen.shade)
    assert hidden.high_ev100 == pytest.approx(lit.high_ev100)


def test_open_shade_under_the_moon_is_as_much_darker_as_under_the_sun() -> None:
    """The moon's light is the sun's, and the air scatters the same share of it; starlight adds 0.3 stops."""
    moonlit, sunlit = expected_light(-40.0, 90.0, 50.0, 1.0).seen, expected_light(50.0, 90.0).seen
    assert 2.5 < sunlit.ground - sunlit.shade < 3.5
    assert moonlit.ground - moonlit.shade == pytest.approx(sunlit.ground - sunlit.shade, abs=0.5)


def test_the_sky_of_a_full_moon_is_brighter_than_that_of_a_night_without() -> None:
    """A full moon takes a dark sky of 21.6 to 18 or brighter, in magnitudes per square arc second: Krisciunas
    and Schaefer, Publications of the ASP 103 (1991; recalled from memory). 18 is EV -4.2 at ISO 100 (10.8e4
    cd/m2 at magnitude 0, K = 12.5).
    """
    sky = expected_light(-40.0, 90.0, 50.0, 1.0).seen
    assert sky.away == pytest.approx(-4.2, abs=1.5)
    assert expected_light(-40.0, 90.0).seen.away < -6.9
