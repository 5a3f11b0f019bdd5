from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from logbook.sky.errors import SkyValueError
from logbook.sky.local_day import local_day


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
