"""Times that clocks show twice or never, against a search through the zone's own instants.

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

from logbook.domain.clock_turns import ClockTurn, instants_at, turn_at
from logbook.domain.zones import zone_of

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
