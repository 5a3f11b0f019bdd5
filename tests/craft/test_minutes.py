"""Times are told to the nearest minute, also where clocks turn, and lengths of time in whole seconds."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from logbook.craft.minutes import clock_text, length_text

BERLIN = ZoneInfo("Europe/Berlin")  # clocks go back from 03:00 to 02:00 on 2031-10-26 (IANA database)


@pytest.mark.parametrize(
    ("at", "shown"),
    [
        (datetime(2031, 10, 14, 17, 31, 29, tzinfo=UTC), "17:31"),
        (datetime(2031, 10, 14, 17, 31, 50, tzinfo=UTC), "17:32"),
        (datetime(2031, 10, 14, 23, 59, 40, tzinfo=UTC), "00:00"),
        (datetime(2031, 10, 26, 0, 59, 50, tzinfo=UTC).astimezone(BERLIN), "02:00"),  # not 03:00
        (datetime(2031, 3, 30, 0, 59, 50, tzinfo=UTC).astimezone(BERLIN), "03:00"),  # not 02:00
    ],
)
def test_a_time_is_told_to_the_nearest_minute(at: datetime, shown: str) -> None:
    assert clock_text(at) == shown


def test_midnight_that_ends_a_day_is_24_00() -> None:
    assert clock_text(datetime(2031, 10, 14, 23, 59, 40, tzinfo=UTC), ends=True) == "24:00"
    assert clock_text(datetime(2031, 10, 14, 23, 59, 20, tzinfo=UTC), ends=True) == "23:59"


@pytest.mark.parametrize(
    ("seconds", "said"), [(0.4, "0 s"), (44.6, "45 s"), (360, "6 min"), (425, "7 min 5 s"), (32_400, "9 h")]
)
def test_a_length_of_time_leaves_out_what_is_none(seconds: float, said: str) -> None:
    assert length_text(seconds) == said
