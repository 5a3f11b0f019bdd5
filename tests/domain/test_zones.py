"""A fixed offset is a zone, however written; times that come twice or never, by the zone's own instants.

Zones of the IANA time zone database: turns of 30 minutes (Lord Howe), at midnight (Havana, Beirut),
a minute after it (St. John's), of two hours (Troll), backwards in summer (Dublin), a day left out (Apia),
offsets of quarters (Kathmandu, Caracas), and summer time that was given up (Sao Paulo, Casablanca).
"""

from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.checks import check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import zone_written
from logbook.domain.zones import EAST_MIN, WEST_MIN, ClockTurn, instants_at, offset_name, turn_at, zone_of

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


ZONES = (
    "Australia/Lord_Howe", "America/Havana", "Asia/Beirut", "America/Sao_Paulo", "America/St_Johns",
    "Antarctica/Troll", "Europe/Dublin", "Pacific/Apia", "Asia/Kathmandu", "America/Caracas",
    "Africa/Casablanca", "Europe/Berlin", "America/New_York", "Asia/Dushanbe",
)  # fmt: skip
DAY = timedelta(days=1)
FIRST, LAST = (datetime.fromisoformat(day) for day in ("1981-01-01", "2036-12-01"))


def offset(zone: ZoneInfo, at: datetime) -> timedelta:
    return at.astimezone(zone).utcoffset() or timedelta()


@cache
def turns(name: str) -> tuple[datetime, ...]:
    """The instants at which a zone's offset changes, 1980 to 2037, to the second."""
    zone = ZoneInfo(name)
    found = []
    day = datetime(1980, 1, 1, tzinfo=UTC)
    while day.year < 2037:
        low, high = day, day + DAY
        if offset(zone, low) != offset(zone, high):
            while high - low > timedelta(seconds=1):
                middle = low + timedelta(seconds=(high - low) // timedelta(seconds=2))
                low, high = (low, middle) if offset(zone, middle) != offset(zone, low) else (middle, high)
            found.append(high)
        day += DAY
    return tuple(found)


def instants_of(name: str, wall: datetime) -> list[datetime]:
    """Every instant at which a zone's clocks show a time: each offset of the days around it is tried."""
    zone = ZoneInfo(name)
    base = wall.replace(tzinfo=UTC)
    offsets = {offset(zone, base + timedelta(minutes=15 * step)) for step in range(-150, 151)}
    tried = {base - one for one in offsets}
    return sorted(at for at in tried if at.astimezone(zone).replace(tzinfo=None) == wall)


@st.composite
def walls(draw: st.DrawFn) -> tuple[str, datetime]:
    """A zone and a time, mostly near one of its turns."""
    name = draw(st.sampled_from(ZONES))
    near = turns(name)
    if not near or draw(st.integers(0, 4)) == 0:
        return name, draw(st.datetimes(FIRST, LAST)).replace(fold=0)
    at = draw(st.sampled_from(near))
    shown = at.astimezone(ZoneInfo(name)).replace(tzinfo=None, fold=0)
    return name, shown + timedelta(seconds=draw(st.integers(-9000, 9000)))


@pytest.mark.slow
@given(walls())
def test_a_time_comes_twice_or_never_as_the_zones_own_instants_say(case: tuple[str, datetime]) -> None:
    name, wall = case
    found = instants_of(name, wall)
    wanted = {0: ClockTurn.NEVER, 1: None, 2: ClockTurn.TWICE}[len(found)]
    assert turn_at(wall, zone_of(name)) is wanted
    first, second = instants_at(wall, zone_of(name))
    if wanted is ClockTurn.TWICE:
        assert [first, second] == found
    elif wanted is None:
        assert [first, second] == found * 2
    else:
        assert first > second, "the clock before a jump is behind the one after it"


@pytest.mark.parametrize(
    ("zone", "wall", "turn"),
    [  # IANA time zone database
        ("Australia/Lord_Howe", "2031-04-06T01:45", ClockTurn.TWICE),  # half an hour, not an hour
        ("Australia/Lord_Howe", "2031-04-06T01:15", None),
        ("Australia/Lord_Howe", "2030-10-06T02:15", ClockTurn.NEVER),
        ("Australia/Lord_Howe", "2030-10-06T02:45", None),
        ("America/Havana", "2023-11-05T00:30", ClockTurn.TWICE),
        ("America/Sao_Paulo", "2018-11-04T00:30", ClockTurn.NEVER),
        ("America/Sao_Paulo", "2018-02-17T23:30", ClockTurn.TWICE),  # the evening before
        ("America/Sao_Paulo", "2023-11-05T00:30", None),  # given up in 2019
        ("Pacific/Apia", "2011-12-30T12:00", ClockTurn.NEVER),  # the day was left out
        ("Europe/Dublin", "2031-10-26T01:30", ClockTurn.TWICE),
        ("+05:30", "2031-10-26T02:30", None),
        ("UTC", "2031-10-26T02:30", None),
        ("Europe/Berlin", "0001-01-01T00:00", None),
        ("Europe/Berlin", "9999-12-31T23:59", None),
    ],
)
def test_turns_that_the_database_names(zone: str, wall: str, turn: ClockTurn | None) -> None:
    assert turn_at(datetime.fromisoformat(wall), zone_of(zone)) is turn
