from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.sky.ephemeris import Body
from logbook.sky.errors import SkyValueError
from logbook.sky.events import EventName, Stays, local_day, sky_day, sun_crossings
from logbook.sky.observer import Observer
from logbook.sky.phases import PHASE_FLOORS_DEG, PhaseKind, phase_at
from logbook.sky.position import path, sun_position
from tests.examples import examples

ARCTIC = Observer(69.6492, 18.9553)
OSLO_TIME = ZoneInfo("Europe/Oslo")
FROM_BRIGHT = [*(kind for _, kind in PHASE_FLOORS_DEG), PhaseKind.NIGHT]


@pytest.mark.slow
@settings(max_examples=examples(0.4))
@given(
    latitude=st.floats(-90.0, 90.0),
    longitude=st.floats(-180.0, 180.0),
    day=st.integers(0, 20_000),
    hours=st.sampled_from([23, 24, 25]),
)
def test_the_kinds_of_light_cover_the_day_and_each_is_what_the_sun_says(
    latitude: float, longitude: float, day: int, hours: int
) -> None:
    observer = Observer(latitude, longitude)
    start = datetime(1990, 1, 1, tzinfo=UTC) + timedelta(days=day)
    seen = sky_day(observer, start, start + timedelta(hours=hours))
    assert seen.phases[0].start == seen.start
    assert seen.phases[-1].end == seen.end
    for earlier, later in zip(seen.phases, seen.phases[1:], strict=False):
        assert earlier.end == later.start
        assert earlier.kind is not later.kind
        assert abs(FROM_BRIGHT.index(earlier.kind) - FROM_BRIGHT.index(later.kind)) == 1
    for phase in seen.phases:
        middle = phase.start + (phase.end - phase.start) / 2
        assert phase_at(sun_position(observer, middle).altitude_deg) is phase.kind
    assert [event.at for event in seen.events] == sorted(event.at for event in seen.events)
    assert all(seen.start <= event.at < seen.end for event in seen.events)


def test_no_sunrise_under_the_midnight_sun_nor_in_the_polar_night() -> None:
    summer = sky_day(ARCTIC, *local_day(date(2025, 6, 21), OSLO_TIME))
    winter = sky_day(ARCTIC, *local_day(date(2025, 12, 21), OSLO_TIME))
    assert summer.sun_stays is Stays.ABOVE
    assert winter.sun_stays is Stays.BELOW
    for day in (summer, winter):
        assert day.first(EventName.SUNRISE) is None
        assert day.first(EventName.SUNSET) is None
        assert day.first(EventName.SOLAR_NOON) is not None
    assert PhaseKind.DAY not in {phase.kind for phase in winter.phases}


def test_a_sun_that_sets_after_midnight_sets_before_it_rises() -> None:
    reykjavik = Observer(64.1466, -21.9426)
    day = sky_day(reykjavik, *local_day(date(2024, 6, 21), ZoneInfo("Atlantic/Reykjavik")))
    sunset, sunrise = day.first(EventName.SUNSET), day.first(EventName.SUNRISE)
    assert sunset is not None
    assert sunrise is not None
    assert sunset.at < sunrise.at
    assert day.sun_stays is None


def test_two_sunsets_on_one_local_date_are_both_told() -> None:
    """In late May the sun sets after midnight one night later each day, so a long enough span holds two."""
    start = datetime(2029, 5, 23, 21, 0, tzinfo=UTC)
    day = sky_day(Observer(67.8558, 20.2253), start, start + timedelta(hours=27))
    assert len(day.every(EventName.SUNSET)) == 2


def test_an_unlit_level_says_on_which_side_the_sun_stays() -> None:
    start, end = local_day(date(2025, 6, 21), OSLO_TIME)
    rise_set, high = sun_crossings(ARCTIC, start, end, [-0.8333, 60.0])
    assert (rise_set.stays, high.stays) == (Stays.ABOVE, Stays.BELOW)


def test_the_sun_rises_in_the_east_and_stands_south_at_a_northern_noon() -> None:
    day = sky_day(Observer(45.0, 7.0), *local_day(date(2024, 3, 20), ZoneInfo("Europe/Rome")))
    azimuths = {event.name: event.azimuth_deg for event in day.events}
    assert azimuths[EventName.SUNRISE] == pytest.approx(90.0, abs=2.0)
    assert azimuths[EventName.SOLAR_NOON] == pytest.approx(180.0, abs=0.001)
    assert azimuths[EventName.SUNSET] == pytest.approx(270.0, abs=2.0)


def test_the_poles_are_answered() -> None:
    start = datetime(2025, 6, 21, tzinfo=UTC)
    for latitude, stays in ((90.0, Stays.ABOVE), (-90.0, Stays.BELOW)):
        assert sky_day(Observer(latitude, 0.0), start, start + timedelta(days=1)).sun_stays is stays


@pytest.mark.parametrize("graze_deg", [0.01, 0.0001])
def test_a_sun_that_only_just_dips_through_an_altitude_is_seen(graze_deg: float) -> None:
    """Lowest altitude from a path of half-minutes; the dip through a level just above it lasts minutes."""
    start, end = local_day(date(2025, 6, 21), OSLO_TIME)
    lowest = min(path(Body.SUN, ARCTIC, start, end, timedelta(seconds=30)), key=lambda p: p.altitude_deg)
    [dip] = sun_crossings(ARCTIC, start, end, [lowest.altitude_deg + graze_deg])
    assert dip.stays is None
    [falling], [rising] = dip.falling, dip.rising
    assert falling < lowest.at < rising
    [missed] = sun_crossings(ARCTIC, start, end, [lowest.altitude_deg - graze_deg])
    assert missed.stays is Stays.ABOVE


def test_an_empty_span_is_refused() -> None:
    start = datetime(2025, 6, 21, tzinfo=UTC)
    with pytest.raises(SkyValueError, match="must end after it starts"):
        sky_day(ARCTIC, start, start)


@pytest.mark.parametrize(("floor_deg", "kind"), PHASE_FLOORS_DEG)
def test_a_kind_of_light_begins_at_its_floor(floor_deg: float, kind: PhaseKind) -> None:
    assert phase_at(floor_deg) is kind
    assert phase_at(floor_deg - 1e-9) is not kind


@pytest.mark.parametrize(
    ("on", "zone", "hours"),
    [
        (date(2024, 3, 10), "America/New_York", 23),
        (date(2024, 11, 3), "America/New_York", 25),
        (date(2024, 7, 1), "America/New_York", 24),
        (date(2023, 4, 28), "Africa/Cairo", 23),  # clocks change at midnight: 00:00 does not exist
        (date(2024, 4, 7), "Australia/Lord_Howe", 24.5),  # half an hour
    ],
)
def test_a_day_is_as_long_as_its_clocks_make_it(on: date, zone: str, hours: float) -> None:
    start, end = local_day(on, ZoneInfo(zone))
    assert end - start == timedelta(hours=hours)


def test_a_day_may_begin_at_the_photographers_own_hour() -> None:
    start, end = local_day(date(2024, 7, 1), ZoneInfo("Asia/Tokyo"), begins=time(4))
    assert start == datetime(2024, 6, 30, 19, tzinfo=UTC)
    assert end - start == timedelta(days=1)


def test_days_follow_each_other_without_gap_through_a_year_of_clock_changes() -> None:
    zone, on = ZoneInfo("Europe/Paris"), date(2024, 1, 1)
    _, end = local_day(on, zone)
    for _ in range(366):
        on += timedelta(days=1)
        start, next_end = local_day(on, zone)
        assert start == end
        end = next_end


def test_a_date_the_zone_skipped_is_refused() -> None:
    with pytest.raises(SkyValueError, match="skipped that date"):
        local_day(date(2011, 12, 30), ZoneInfo("Pacific/Apia"))
