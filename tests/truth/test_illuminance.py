"""Light on the ground against published illuminance, and expected exposures against the exposure guide.

Sources: Janiczek and DeYoung, Computer Programs for Sun and Moon Illuminance, USNO Circular 171 (1987), pp.
21-22, subroutines REFR and ATMOS (recomputed from its formula); American Meteorological Society, Glossary of
Meteorology, "civil twilight", "astronomical twilight"; ANSI PH2.7-1973 (R1986), as reproduced since.
"""

from itertools import pairwise
from math import log2

import pytest

from logbook.craft.expected_light import expected_light
from logbook.craft.illuminance import moon_phase_stops, moon_strength, sun_illuminance

# Sun's geometric altitude in degrees: lx on level ground, clear sky; USNO Circular 171
CIRCULAR_171_LX = {
    60: 102960, 40: 70984, 30: 51321, 20: 30598, 15: 20467, 10: 11231, 7.5: 7329, 5: 4251.9, 3: 2557.1,
    2: 1946, 1: 1433.6, 0: 984.47, -0.8333: 661.64, -2: 169.04, -3: 66.399, -4: 24.438, -5: 8.652, -6: 2.9921,
    -7.5: 0.59344, -9: 0.11588,
}  # fmt: skip
SUNSET_DEG = -50 / 60  # USNO, Rise, Set, and Twilight Definitions
TOWARDS, SIDE, AWAY = 0.0, 90.0, 180.0  # degrees between the view and the sun's bearing


@pytest.mark.parametrize(("altitude_deg", "lx"), CIRCULAR_171_LX.items())
def test_light_on_level_ground_is_the_circulars(altitude_deg: float, lx: float) -> None:
    """USNO Circular 171; 0.03 stops, and 0.25 at sunset, where its refraction ends in a step."""
    allowed = 0.25 if -2 < altitude_deg < 0 else 0.03
    assert log2(sun_illuminance(altitude_deg).ground_lx / lx) == pytest.approx(0, abs=allowed)


@pytest.mark.parametrize(
    ("altitude_deg", "low_lx", "high_lx"),
    [
        (SUNSET_DEG, 410, 585),  # "civil twilight": from 585-410 lux
        (-6.0, 2.0, 3.5),  # "civil twilight": decreases to 3.5-2 lux
        (-12.0, 0.008, 0.008),  # "astronomical twilight": from 0.008 lux
        (-18.0, 6e-4, 6e-4),  # to 6e-4 lux
    ],
)
def test_twilights_end_at_the_glossarys_light(altitude_deg: float, low_lx: float, high_lx: float) -> None:
    """AMS Glossary of Meteorology; inside its range, two percent where it gives one number."""
    assert low_lx * 0.98 <= sun_illuminance(altitude_deg).ground_lx <= high_lx * 1.02


@pytest.mark.parametrize(
    ("altitude_deg", "low", "high"),
    [
        (3.0, 12, 14),  # a skyline just before sunset
        (SUNSET_DEG, 12, 12),  # at sunset
        (-2.0, 9, 11),  # just after sunset
    ],
)
def test_skylines_are_the_guides_when_facing_the_glow(altitude_deg: float, low: float, high: float) -> None:
    """ANSI PH2.7, natural light rows; a tenth of a stop round the single value at sunset."""
    found = expected_light(altitude_deg, TOWARDS)
    assert low - 0.1 <= found.scene_ev100 <= high + 0.1


@pytest.mark.parametrize("altitude_deg", [20.0, 25.0, 30.0, 40.0, 50.0, 60.0])
def test_front_light_is_the_guides_full_sun(altitude_deg: float) -> None:
    """ANSI PH2.7, a typical scene in full sun, EV 15 from about two hours after sunrise; half a stop."""
    assert expected_light(altitude_deg, AWAY).scene_ev100 == pytest.approx(15, abs=0.5)


def test_side_and_back_light_are_one_and_two_stops_below_front_light() -> None:
    """ANSI PH2.7, footnote to the sun rows: subtract one for side light, two for back light; 0.6 stops."""
    front, side, back = (expected_light(40.0, off).scene_ev100 for off in (AWAY, SIDE, TOWARDS))
    assert front - side == pytest.approx(1, abs=0.6)
    assert front - back == pytest.approx(2, abs=0.6)


@pytest.mark.parametrize("altitude_deg", [30.0, 40.0, 50.0, 60.0])
def test_open_shade_is_the_guides(altitude_deg: float) -> None:
    """ANSI PH2.7, open shade in clear sunlight, EV 12; half a stop."""
    assert expected_light(altitude_deg, SIDE).seen.shade == pytest.approx(12, abs=0.5)


@pytest.mark.parametrize(("altitude_deg", "lx"), [pair for pair in CIRCULAR_171_LX.items() if pair[0] <= 0])
def test_away_from_the_glow_dusk_is_what_the_circular_says_of_a_grey_surface(
    altitude_deg: float, lx: float
) -> None:
    """USNO Circular 171 with ISO 2720's C = 250 lx s: within 0.7 stops in the middle, and inside the range.

    A front that faces the glow is lit a little more than level ground (ISO 15469, type 12).
    """
    found, grey = expected_light(altitude_deg, AWAY), log2(lx / 2.5)
    assert found.scene_ev100 == pytest.approx(grey, abs=0.7)
    assert found.low_ev100 <= grey <= found.high_ev100


@pytest.mark.parametrize(("lit", "low", "high"), [(1.0, -3, -2), (0.8, -4, -4), (0.5, -6, -6)])
def test_moonlight_is_that_of_the_guides_landscapes(lit: float, low: float, high: float) -> None:
    """ANSI PH2.7, landscapes under a full, gibbous and quarter moon above 40 degrees; 0.7 for starlight."""
    assert low <= expected_light(-30.0, SIDE, 50.0, lit).scene_ev100 <= high + 0.7


def test_the_moons_light_has_no_step_at_half_moon_nor_at_the_horizon() -> None:
    """USNO Circular 171, p. 21-22: P is continuous in phase; a hundredth of the disc is under 0.15 stops."""
    lights = [expected_light(-30.0, SIDE, 50.0, lit / 100).scene_ev100 for lit in range(101)]
    assert all(0 <= after - before < 0.15 for before, after in pairwise(lights))
    heights = [expected_light(-30.0, SIDE, height / 10, 1.0).scene_ev100 for height in range(-50, 600)]
    assert all(0 <= after - before < 0.15 for before, after in pairwise(heights))


def test_the_moons_phase_and_height_weaken_it_as_the_circular_says() -> None:
    """USNO Circular 171: P(90 deg) = 0.892 exp(-3.343) + 0.0344 = 0.0660, P(180 deg) = 1.0001; 0.02 stops."""
    assert moon_phase_stops(0.5) == pytest.approx(log2(0.0660 / 1.0001), abs=0.02)
    assert moon_strength(10.0) == pytest.approx(11231 / 70984, rel=0.02)
    assert moon_strength(70.0) == 1.0
