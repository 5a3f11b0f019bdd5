"""A fixed offset is a zone wherever a zone is, however it is written, and is stored in one way."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.checks import check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import zone_written
from logbook.domain.zones import EAST_MIN, WEST_MIN, offset_name, zone_of

NOON = datetime(2031, 10, 14, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("+02:00", "+02:00"),
        ("UTC+02:00", "+02:00"),
        ("utc + 2", "+02:00"),
        ("+2h", "+02:00"),
        ("UTC-3", "-03:00"),
        ("UTC−3", "-03:00"),
        ("GMT+5:30", "+05:30"),
        ("+0545", "+05:45"),
        ("+5.75", "+05:45"),
        ("gmt +9,5", "+09:30"),
        ("-0330", "-03:30"),
        ("+14", "+14:00"),
        ("utc", "UTC"),
        ("UTC+0", "UTC"),
        ("-00:00", "UTC"),
        ("Etc/GMT-5", "Etc/GMT-5"),
        ("America/Port-au-Prince", "America/Port-au-Prince"),
    ],
)
def test_an_offset_is_read_however_it_is_written(text: str, stored: str) -> None:
    assert zone_written(text) == stored
    check_zone(stored)
    assert str(zone_of(stored)) == stored


@given(
    st.integers(WEST_MIN, EAST_MIN), st.sampled_from(["", "UTC", "gmt", "Utc "]), st.sampled_from([":", ""])
)
def test_every_offset_of_the_earth_is_the_clock_that_it_says(minutes: int, of: str, colon: str) -> None:
    hours, rest = divmod(abs(minutes), 60)
    typed = f"{of}{'-' if minutes < 0 else '+'}{hours:02}{colon}{rest:02}"
    stored = zone_written(typed)
    assert stored == offset_name(minutes)
    assert NOON.astimezone(zone_of(stored)).utcoffset() == timedelta(minutes=minutes)
    assert zone_written(stored) == stored


@pytest.mark.parametrize("text", ["+15", "UTC-12:30", "+25:00", "+02:75", "+9999"])
def test_an_offset_that_no_place_has_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"offsets run from -12:00 to \+14:00"):
        zone_written(text)


@pytest.mark.parametrize("text", ["+", "UTC+", "+2:0:0", "2", "02:00", "++2", "+123456", "UTC+two"])
def test_what_is_no_offset_is_no_zone(text: str) -> None:
    with pytest.raises(InvalidValueError, match="is not a time zone; write one such as"):
        zone_written(text)


@pytest.mark.parametrize("text", ["+2", "UTC+02:00", "+00:00", "-00:00", "+15:00"])
def test_a_noun_takes_a_zone_only_as_the_book_stores_it(text: str) -> None:
    with pytest.raises(InvalidValueError):
        check_zone(text)
