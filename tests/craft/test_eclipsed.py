"""What an eclipse leaves of the light: less with more covered, without a jump, never less than starlight."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.eclipsed import TOTALITY_SHARE, Dimming, dimming_text, eclipsed_range, eclipsed_sun
from logbook.craft.expected_light import ExpectedLight, expected_light
from logbook.craft.illuminance import sun_illuminance

ALTITUDES, SHARES = st.floats(-20, 90), st.floats(0, 1)
OFF = st.none() | st.floats(0, 180)


def lights(found: ExpectedLight) -> list[float]:
    """Everything that an expectation says of the light, in EV but for the last, in lx."""
    seen = found.seen
    single = [seen.shade, seen.ground, seen.towards, seen.away, *([] if seen.front is None else [seen.front])]
    return [found.scene_ev100, found.low_ev100, found.high_ev100, *single, found.ground_lx]


@given(ALTITUDES, OFF, st.booleans(), st.booleans())
def test_nothing_covered_changes_nothing(
    sun_deg: float, off_deg: float | None, is_hidden: bool, is_moon_hidden: bool
) -> None:
    asked = sun_deg, off_deg, 30.0, 1.0
    plain = expected_light(*asked, is_hidden=is_hidden, is_moon_hidden=is_moon_hidden)
    none = expected_light(
        *asked, is_hidden=is_hidden, is_moon_hidden=is_moon_hidden, sun_covered=0.0, moonlight_lost=0.0
    )
    assert repr(none) == repr(plain)
    assert eclipsed_sun(sun_illuminance(sun_deg), 0.0) == sun_illuminance(sun_deg)
    assert eclipsed_range(0.0, 1.25) == (1.25, 1.25)


@given(ALTITUDES, OFF, st.booleans(), SHARES, SHARES)
def test_with_more_of_the_sun_covered_nothing_is_ever_brighter(
    sun_deg: float, off_deg: float | None, is_hidden: bool, one: float, other: float
) -> None:
    less, more = (
        lights(expected_light(sun_deg, off_deg, is_hidden=is_hidden, sun_covered=covered))
        for covered in sorted((one, other))
    )
    assert all(after <= before + 1e-9 for before, after in zip(less, more, strict=True))


@pytest.mark.slow
@pytest.mark.parametrize("sun_deg", [60.0, 10.0, 1.0, -4.0])
def test_between_ninety_nine_percent_and_totality_nothing_jumps(sun_deg: float) -> None:
    """With a millionth of the disc, a hundredth of a second's way, goes less than a fifteenth of a stop."""
    covered = [1.0 - n * 1e-6 for n in range(10_000, -1, -1)]
    found = [lights(expected_light(sun_deg, 90.0, sun_covered=one))[:-1] for one in covered]
    for before, after in pairwise(found):
        assert all(abs(a - b) < 1 / 15 for a, b in zip(before, after, strict=True))


@given(ALTITUDES, OFF, SHARES)
def test_no_eclipse_is_darker_than_a_moonless_night(
    sun_deg: float, off_deg: float | None, covered: float
) -> None:
    night = expected_light(-60.0, off_deg)
    found = expected_light(sun_deg, off_deg, sun_covered=covered)
    assert found.scene_ev100 >= night.scene_ev100 - 1e-9
    assert found.seen.ground >= night.seen.ground - 1e-9


def test_in_totality_there_are_no_shadows_and_the_range_is_two_stops_each_way() -> None:
    total = expected_light(50.0, 180.0, sun_covered=1.0)
    assert total.seen.shade == pytest.approx(total.seen.ground)
    assert total.ground_lx == pytest.approx(TOTALITY_SHARE * expected_light(50.0, 180.0).ground_lx)
    assert total.high_ev100 - total.scene_ev100 == pytest.approx(2.0)
    assert total.scene_ev100 - total.low_ev100 == pytest.approx(2.0)


@given(st.floats(1, 90), SHARES, SHARES)
def test_with_more_of_the_moon_in_the_shadow_a_night_is_never_brighter(
    moon_deg: float, one: float, other: float
) -> None:
    less, more = (
        lights(expected_light(-40.0, 90.0, moon_deg, 1.0, moonlight_lost=covered))
        for covered in sorted((one, other))
    )
    assert all(after <= before + 1e-9 for before, after in zip(less, more, strict=True))


def test_a_moon_in_the_shadow_leaves_starlight_and_half_its_light_may_be_a_quarter() -> None:
    full, none = expected_light(-40.0, 90.0, 50.0, 1.0), expected_light(-40.0, 90.0)
    half = expected_light(-40.0, 90.0, 50.0, 1.0, moonlight_lost=0.5)
    whole = expected_light(-40.0, 90.0, 50.0, 1.0, moonlight_lost=1.0)
    assert lights(whole) == pytest.approx(lights(none))
    assert half.high_ev100 == pytest.approx(full.high_ev100 - 1.0, abs=0.1)
    assert half.low_ev100 == pytest.approx(full.low_ev100 - 2.0, abs=0.2)
    assert half.low_ev100 > none.low_ev100


@pytest.mark.parametrize(
    ("dimming", "said"),
    [
        (Dimming(0.54, 0.0, 1.12), "the moon covers 54% of the sun: 1.1 stops less light, already counted"),
        (Dimming(0.5, 0.0, 1.0), "the moon covers 50% of the sun: 1 stop less light, already counted"),
        (
            Dimming(1.0, 0.0, 14.3),
            "the moon covers the whole sun: about 14 stops less light, already counted; meter it there",
        ),
        (
            Dimming(0.9991, 0.0, 9.8),
            "the moon covers nearly all of the sun: about 10 stops less light, already counted; "
            "meter it there",
        ),
        (Dimming(0.0, 1.0, 4.4), "the moon is in the earth's shadow: 4.4 stops less light, already counted"),
        (
            Dimming(0.0, 0.4, 0.7),
            "the earth's shadow takes 40% of the moonlight: 0.7 stops less light, already counted",
        ),
    ],
)
def test_what_an_eclipse_takes_is_said_with_what_is_covered(dimming: Dimming, said: str) -> None:
    assert dimming_text(dimming) == said
