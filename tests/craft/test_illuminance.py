"""A clear sky's spread: the table of sums against the sums themselves, taken by another grid."""

from itertools import product
from math import acos, cos, pi, radians, sin

import pytest

from logbook.craft.illuminance import sky_luminance, sky_over_even, upright_over_level

STEPS = 60  # rings of sky; twice that round the compass
SUNS_DEG = (0.0, 10.0, 20.0, 40.0, 60.0, 90.0)
TURNS_DEG = (0.0, 45.0, 90.0, 135.0, 180.0)


def sky(sun_deg: float) -> list[tuple[float, float, float]]:
    """Patches of the whole sky: altitude, azimuth from the sun's (radians), luminance times solid angle."""
    sun, ring = radians(sun_deg), pi / 2 / STEPS
    patches = []
    for row, column in product(range(STEPS), range(2 * STEPS)):
        altitude, azimuth = (row + 0.5) * ring, (column + 0.5) * pi / STEPS
        apart = sin(altitude) * sin(sun) + cos(altitude) * cos(sun) * cos(azimuth)
        bright = sky_luminance(pi / 2 - altitude, acos(max(-1.0, min(1.0, apart))))
        patches.append((altitude, azimuth, bright * cos(altitude) * ring * pi / STEPS))
    return patches


@pytest.mark.parametrize("sun_deg", SUNS_DEG)
def test_the_table_holds_the_sums_over_the_sky(sun_deg: float) -> None:
    """ISO 15469, type 12, summed numerically; a hundredth."""
    patches = sky(sun_deg)
    level = sum(sin(altitude) * light for altitude, _, light in patches)
    at_45 = sky_luminance(radians(45), acos(sin(radians(45)) * sin(radians(sun_deg))))
    assert sky_over_even(sun_deg, 90.0, 45.0) == pytest.approx(at_45 * pi / level, rel=0.01)
    for turn_deg in TURNS_DEG:
        falls = (cos(a) * cos(z - radians(turn_deg)) * light for a, z, light in patches)
        upright = sum(one for one in falls if one > 0)
        assert upright_over_level(sun_deg, turn_deg) == pytest.approx(upright / level, abs=0.01)


def test_a_low_suns_sky_is_bright_towards_it_and_even_at_its_back() -> None:
    towards, side, away = (sky_over_even(0.0, turn_deg, 20.0) for turn_deg in (0.0, 90.0, 180.0))
    assert towards > 3 * side
    assert side < away < 1.5 * side


def test_below_the_horizon_the_sun_counts_as_on_it() -> None:
    assert upright_over_level(-6.0, 30.0) == upright_over_level(0.0, 30.0)
    assert (
        upright_over_level(10.0, -45.0) == upright_over_level(10.0, 315.0) == upright_over_level(10.0, 45.0)
    )
