"""Which dates can be meant, and that nothing breaks at the calendar's edges."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.dates import counts, last_day, outside_words
from logbook.domain.day import day_of, in_utc, instants_on
from logbook.domain.zones import wall_at, zone_of
from logbook.sky.errors import SkyValueError
from logbook.sky.events import local_day
from logbook.store.wall_times import place_time

ZONES = st.sampled_from(("Pacific/Kiritimati", "Etc/GMT+12", "Europe/Berlin", "UTC", "+05:30"))


@pytest.mark.parametrize(
    ("day", "is_meant"),
    [
        ("1825-12-31", False), ("1826-01-01", True), ("2026-11-30", True), ("2036-11-30", True),
        ("2036-12-01", False), ("0001-01-01", False), ("9999-12-31", False), ("2400-02-29", False),
    ],
)  # fmt: skip
def test_days_from_the_oldest_photograph_to_ten_years_from_now_count(day: str, is_meant: bool) -> None:
    last = last_day(date(2026, 11, 30))
    assert counts(date.fromisoformat(day), last) is is_meant
    assert outside_words(date(9999, 12, 31), last) == "9999-12-31 is not between 1826 and 2036"


@given(st.dates())
def test_the_last_day_that_counts_is_ten_years_ahead_whatever_day_it_is(today: date) -> None:
    last = last_day(today)
    assert (last.year, last.month) == (min(today.year + 10, 9999), today.month)
    assert last >= today


@given(st.datetimes(), ZONES, st.times())
def test_every_moment_of_the_calendar_has_an_instant_a_wall_time_and_a_day(
    moment: datetime, zone: str, ends_at: time
) -> None:
    clock = zone_of(zone)
    instant = in_utc(moment.replace(fold=0), clock)
    assert abs(wall_at(instant, clock) - moment.replace(fold=0)) <= timedelta(hours=28)
    assert moment.date() - day_of(moment, ends_at) <= timedelta(days=1)
    begins, ends = instants_on(moment.date(), moment.time(), time(3), ends_at, clock)
    assert begins is not None
    assert ends is not None
    assert begins <= ends


@given(st.sampled_from(("0001-01-01", "0001-01-02", "9999-12-30", "9999-12-31")), st.times(), ZONES)
def test_a_row_at_the_calendars_edge_has_a_place_time(day: str, at_time: time, zone: str) -> None:
    at = datetime.combine(date.fromisoformat(day), at_time, tzinfo=UTC)
    text = at.isoformat().replace("+00:00", "Z")
    assert place_time(None, text, zone) == wall_at(at, zone_of(zone))


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Etc/GMT+12", "UTC"])
def test_the_sky_of_a_day_at_the_calendars_edge_is_refused_in_a_sentence(zone: str) -> None:
    with pytest.raises(SkyValueError, match=r"choose another date\.$"):
        local_day(date.max, zone_of(zone))
