"""Short forms that a tired person types."""

from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.services.night import reading

DAY = date(2031, 10, 14)
TRIP = Trip(
    **new_record(datetime(2031, 10, 14, tzinfo=UTC)), slug="valley", title="Valley", zone="Asia/Dushanbe"
)
FIVE_HOURS_S = 18_000  # Dushanbe is five hours ahead of UTC (IANA time zone database)


@given(st.text() | st.text("0123456789:-+ hmins.,slowfat"))
def test_any_text_is_a_correction_or_a_refusal(text: str) -> None:
    with suppress(LogbookError):  # anything else fails
        reading.a_clock_correction(text, TRIP, DAY)


@pytest.mark.parametrize(
    ("text", "added_s"),
    [
        ("+420", 420),
        ("420 s", 420),
        ("-60", -60),
        ("0", 0),
        ("7 min slow", 420),
        ("7 min 30 slow", 450),
        ("1 h 2 min 3 s fast", -3723),
        ("2m behind", 120),
        ("+420 s", 420),
    ],
)
def test_a_clock_correction_is_read_as_people_say_it(text: str, added_s: int) -> None:
    assert reading.a_clock_correction(text, TRIP, DAY) == FIVE_HOURS_S - added_s


@pytest.mark.parametrize("text", ["", "slow", "1:30", "420 banana", "+", "9" * 5000, "7 years"])
def test_what_is_no_correction_is_not_taken_for_one(text: str) -> None:
    with pytest.raises(InvalidValueError):
        reading.a_clock_correction(text, TRIP, DAY)


def test_a_correction_is_one_of_the_day_it_is_said_on() -> None:
    alpine = replace(TRIP, zone="Europe/Vienna")  # winter time from 2031-10-26, 03:00 (EU Directive 2000/84)
    before = reading.a_clock_correction("0", alpine, date(2031, 10, 25))
    assert (before, reading.a_clock_correction("0", alpine, date(2031, 10, 26))) == (7200, 3600)


def test_tries_are_a_number_or_one_sentence() -> None:
    assert reading.a_tries_count("about 20") == 20
    with pytest.raises(InvalidValueError, match="is not a number of tries"):
        reading.a_tries_count("many")
