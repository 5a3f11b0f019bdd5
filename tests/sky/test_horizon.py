"""Rising and setting over hills and over the sea seen from above."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.sky.errors import SkyValueError
from logbook.sky.events import EventName, Stays, sky_day
from logbook.sky.observer import Observer, sea_horizon_deg

DAY = datetime(2031, 10, 14, tzinfo=UTC)


def at(name: EventName, horizon_deg: float | None) -> datetime:
    seen = sky_day(Observer(38.2, 10.0, 3715.0, horizon_deg), DAY, DAY + timedelta(days=1)).first(name)
    assert seen is not None
    return seen.at


@pytest.mark.parametrize(
    ("elevation_m", "arcmin"), [(0, 0.0), (1, 1.8), (9.75, 5.5), (20, 7.9), (45.7, 11.9), (3715, 107.3)]
)
def test_the_sea_sinks_with_height_as_navigators_tables_say(elevation_m: float, arcmin: float) -> None:
    """The Nautical Almanac, dip of the horizon (its formula for the last row); 0.05 arcmin."""
    assert -60 * sea_horizon_deg(elevation_m) == pytest.approx(arcmin, abs=0.05)


def test_from_a_height_above_the_sea_the_sun_sets_minutes_later() -> None:
    """Through 2.13' times the root of 3715 m at the sun's rate of sinking, 11.7 degrees an hour; 15 s.

    Explanatory Supplement to the Astronomical Almanac (1992): dip of 1.76' and 0.37' more of refraction, as
    cited by R. H. van Gent; a ray through ICAO's standard air gives 2.09' from 3000 m.
    """
    later = at(EventName.SUNSET, sea_horizon_deg(3715.0)) - at(EventName.SUNSET, None)
    assert abs(later - timedelta(minutes=11.1)) < timedelta(seconds=15)
    earlier = at(EventName.SUNRISE, None) - at(EventName.SUNRISE, sea_horizon_deg(3715.0))
    assert abs(earlier - later) < timedelta(seconds=30)


def test_behind_hills_sun_and_moon_set_earlier() -> None:
    for name in (EventName.SUNSET, EventName.MOONSET):
        assert at(name, 5.0) < at(name, 0.0) == at(name, None)


def test_over_a_level_horizon_the_suns_centre_stands_at_the_almanacs_50_arcmin() -> None:
    """USNO, Rise, Set, and Twilight Definitions: 34' of refraction and 16' of semidiameter."""
    assert Observer(0, 0).sun_rises_deg == pytest.approx(-50 / 60)
    assert Observer(0, 0, 0, 10.0).sun_rises_deg == pytest.approx(10 - 5.3 / 60 - 16 / 60, abs=0.005)


@given(st.floats(-5, 44))
def test_a_higher_horizon_is_met_at_a_higher_sun(horizon_deg: float) -> None:
    lower, higher = (Observer(0, 0, 0, deg).sun_rises_deg for deg in (horizon_deg, horizon_deg + 0.5))
    assert lower < higher < lower + 0.8


def test_a_sun_that_never_clears_the_hills_stays_below_them() -> None:
    winter = datetime(2031, 12, 21, tzinfo=UTC)
    seen = sky_day(Observer(60.0, 10.0, 0.0, 20.0), winter, winter + timedelta(days=1))
    assert seen.first(EventName.SUNRISE) is None
    assert seen.sun_stays is Stays.BELOW


@pytest.mark.parametrize("make", [lambda: Observer(0, 0, 0, 85.0), lambda: sea_horizon_deg(-3.0)])
def test_impossible_horizons_are_refused(make: object) -> None:
    with pytest.raises(SkyValueError, match=r"\.$"):
        make()  # type: ignore[operator]


@given(st.floats(-5, 44), st.floats(-10, 60))
def test_a_sun_is_hidden_between_a_level_horizon_and_a_higher_skyline(
    horizon_deg: float, sun_deg: float
) -> None:
    seen = Observer(0, 0, 0, horizon_deg)
    level = Observer(0, 0).sun_rises_deg
    assert seen.hides(sun_deg) is (level <= sun_deg < seen.sun_rises_deg)
    assert not Observer(0, 0).hides(sun_deg)


def test_a_tropical_sun_shines_into_a_gorge_for_the_hours_that_geometry_gives() -> None:
    """At an equinox on the equator the sun climbs 15 degrees an hour, so it tops 60 degree walls for 4 hours.

    Tolerance 3 minutes: half a disc and a refraction of half an arcminute at either wall.
    """
    noon = datetime(2031, 3, 21, 12, tzinfo=UTC)
    seen = sky_day(Observer(0.0, 0.0, 0.0, 60.0), noon - timedelta(hours=11), noon + timedelta(hours=12))
    rise, sets = seen.first(EventName.SUNRISE), seen.first(EventName.SUNSET)
    assert rise is not None
    assert sets is not None
    assert abs((sets.at - rise.at) - timedelta(hours=4)) <= timedelta(minutes=3)
