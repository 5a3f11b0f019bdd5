"""The short formulas for sun and eclipses agree with the ephemeris, and with an independent library."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import separation_deg
from logbook.sky.observer import Observer
from logbook.sky.position import sun_position
from logbook.sky.rough import may_be_eclipsed, rough_altitude_deg, rough_sun


@pytest.mark.slow
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


@given(st.floats(-90.0, 90.0), st.floats(-180.0, 180.0), st.floats(-631_152_000.0, 2_524_608_000.0))
def test_the_altitude_alone_is_that_of_the_whole_place(
    latitude_deg: float, longitude_deg: float, posix_s: float
) -> None:
    whole = rough_sun(latitude_deg, longitude_deg, posix_s)
    assert rough_altitude_deg(latitude_deg, longitude_deg, posix_s) == whole.altitude_deg


@pytest.mark.slow
def test_every_solar_eclipse_of_a_century_may_be_one_and_few_other_days_may() -> None:
    """Those of 1950 to 2050, wherever they are seen, from three and a half hours before to as long after."""
    astronomy = pytest.importorskip("astronomy")  # astronomy-engine; the product must not use it
    theirs = astronomy.SearchGlobalSolarEclipse(astronomy.Time.Make(1950, 1, 1, 0, 0, 0))
    found = 0
    while theirs.peak.Utc().year < 2050:
        peak_s = theirs.peak.Utc().replace(tzinfo=UTC).timestamp()
        assert all(may_be_eclipsed(peak_s + hours * 3600.0) for hours in (-3.5, 0.0, 3.5)), theirs.peak
        theirs = astronomy.NextGlobalSolarEclipse(theirs.peak)
        found += 1
    assert found > 220
    begin_s = datetime(1990, 1, 1, tzinfo=UTC).timestamp()
    days = sum(may_be_eclipsed(begin_s + day * 86_400.0) for day in range(36_525))
    assert days < 36_525 * 0.016
