"""The short formula for the sun agrees with the ephemeris that the rest of the program uses."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from logbook.craft.bearings import separation_deg
from logbook.sky.observer import Observer
from logbook.sky.position import sun_position
from logbook.sky.rough import rough_sun


def test_it_is_within_three_hundredths_of_a_degree_of_the_ephemeris() -> None:
    chance = Random(1)
    for _ in range(500):
        at = datetime(1972, 1, 1, tzinfo=UTC) + timedelta(seconds=chance.uniform(0, 58 * 365.25 * 86_400))
        latitude, longitude = chance.uniform(-90, 90), chance.uniform(-180, 180)
        exact = sun_position(Observer(latitude, longitude), at)
        rough = rough_sun(latitude, longitude, at.timestamp())
        assert rough.altitude_deg == pytest.approx(exact.altitude_deg, abs=0.02)
        apart = separation_deg(rough.azimuth_deg, rough.altitude_deg, exact.azimuth_deg, exact.altitude_deg)
        assert apart < 0.03
