"""What pictures of a place met, and how the expectation yields to them."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.expected_light import STARLIT_EV100, expected_light
from logbook.craft.met_light import (
    MetLight,
    Witnesses,
    at_this_light,
    light_here,
    met_text,
    with_witnesses,
)

DAY = datetime(2031, 5, 3, 16, tzinfo=UTC)
EXPECTED = expected_light(10.0, 90.0)


def met(ev100: float, *, days: int = 0, azimuth_deg: float = 250.0, altitude_deg: float = 10.0) -> MetLight:
    return MetLight(DAY + timedelta(days=days), azimuth_deg, altitude_deg, ev100)


def test_without_pictures_the_table_stands() -> None:
    assert with_witnesses(EXPECTED, ()) == (EXPECTED, None)


def test_the_table_yields_to_one_picture_and_more_so_to_three_days() -> None:
    lower = EXPECTED.scene_ev100 - 4
    one, _ = with_witnesses(EXPECTED, [met(lower)])
    three, witnesses = with_witnesses(EXPECTED, [met(lower + n / 4, days=n) for n in range(3)])
    assert one.scene_ev100 == pytest.approx(lower, abs=0.3)
    assert three.high_ev100 - three.low_ev100 < one.high_ev100 - one.low_ev100
    assert witnesses == Witnesses(3, lower, lower + 0.5)


def test_a_burst_is_one_witness() -> None:
    once, _ = with_witnesses(EXPECTED, [met(9.0), met(12.0, days=1)])
    burst, _ = with_witnesses(EXPECTED, [*[met(9.0)] * 20, met(12.0, days=1)])
    assert burst.scene_ev100 == pytest.approx(once.scene_ev100)


@given(st.lists(st.floats(-8, 18), min_size=1, max_size=12))
def test_the_range_holds_everything_that_was_met(evs: list[float]) -> None:
    found, witnesses = with_witnesses(EXPECTED, [met(ev, days=n) for n, ev in enumerate(evs)])
    assert witnesses is not None
    assert found.low_ev100 <= witnesses.low_ev100 <= witnesses.high_ev100 <= found.high_ev100
    assert found.low_ev100 <= found.scene_ev100 <= found.high_ev100


@pytest.mark.parametrize(
    ("azimuth_deg", "altitude_deg", "counts"),
    [(250, 10, True), (290, 11.5, True), (250, 13, False), (110, 10, False), (300, 10, False)],
)
def test_only_pictures_with_the_sun_at_about_the_same_place_count(
    azimuth_deg: float, altitude_deg: float, counts: bool
) -> None:
    one = met(12.0, azimuth_deg=azimuth_deg, altitude_deg=altitude_deg)
    assert bool(at_this_light([one], 250.0, 10.0)) is counts


def test_at_dusk_a_degree_of_sun_is_another_light() -> None:
    assert not at_this_light([met(3.0, altitude_deg=-3.0)], 250.0, -4.0)
    assert at_this_light([met(3.0, altitude_deg=-3.5)], 250.0, -4.0)


def test_what_was_met_is_said_in_words() -> None:
    assert met_text(Witnesses(3, 9.0, 10.04)) == "3 keepers here in the same light show EV 9 to 10"
    assert met_text(Witnesses(1, -2.5, -2.5)) == "1 keeper here in the same light shows EV −2.5"


def test_pictures_of_an_uncovered_sun_do_not_brighten_an_eclipsed_one() -> None:
    """A place three stops darker than the table stays so: half a sun is one stop less, here as there."""
    here = [met(EXPECTED.scene_ev100 - 3, days=n) for n in range(3)]
    plain, _ = light_here(here, 340.0, 250.0, 10.0)
    half, witnesses = light_here(here, 340.0, 250.0, 10.0, sun_covered=0.5)
    assert half.scene_ev100 == pytest.approx(plain.scene_ev100 - 1, abs=0.05)
    assert half.high_ev100 < plain.high_ev100 - 0.9
    assert witnesses is not None
    assert met_text(witnesses).startswith("3 keepers here without the eclipse show EV")
    assert half.dimming is not None
    assert half.dimming.stops == pytest.approx(1, abs=0.05)


@given(st.floats(-12, 80), st.floats(-8, 16), st.floats(0, 1), st.floats(0, 1))
def test_at_a_place_that_was_met_more_covered_is_never_brighter(
    altitude_deg: float, ev100: float, one: float, other: float
) -> None:
    here = [met(ev100, altitude_deg=altitude_deg)]
    less, more = (
        light_here(here, 340.0, 250.0, altitude_deg, sun_covered=covered)[0]
        for covered in sorted((one, other))
    )
    assert more.scene_ev100 <= less.scene_ev100 + 0.05
    assert more.low_ev100 <= more.scene_ev100 <= more.high_ev100
    assert more.scene_ev100 >= min(STARLIT_EV100, less.scene_ev100) - 0.05


def test_an_eclipse_that_takes_nothing_to_speak_of_is_not_told() -> None:
    """A moon high over civil twilight gives it less than a twentieth of a stop."""
    plain, _ = light_here((), 340.0, 290.0, -3.0, 40.0, 1.0)
    eclipsed, _ = light_here((), 340.0, 290.0, -3.0, 40.0, 1.0, moonlight_lost=1.0)
    assert eclipsed == plain
    assert eclipsed.dimming is None
    assert light_here((), 340.0, 290.0, -12.0, 40.0, 1.0, moonlight_lost=1.0)[0].dimming is not None
