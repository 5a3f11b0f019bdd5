"""Zones as the book stores them (an IANA name, or an offset such as +02:00), and where their clocks turn.

Surprising decisions: an offset that a person types counts from UTC towards the east, as it is spoken; "UTC-3"
lies west of Greenwich, while the database's own "Etc/GMT-3" lies east of it and keeps that meaning. Of turns,
nothing here knows the rules of any zone: a time is tried by the clock before a turn and by the one after it,
and that it comes twice, or never, follows.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from enum import StrEnum
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from logbook.domain.errors import InvalidValueError

UTC_NAME = "UTC"
WEST_MIN, EAST_MIN = -12 * 60, 14 * 60  # minutes; no zone of today lies further off (IANA time zone database)

_STORED = re.compile(r"[+-][0-9]{2}:[0-9]{2}")
_MINUS = str.maketrans("−–‐‑", "----")  # as keyboards and autocorrection write it
_OFFSET = re.compile(
    r"(?:utc|gmt)?\s*(?P<sign>[+-])\s*(?:"
    r"(?P<hours>[0-9]{1,2})(?::?(?P<minutes>[0-9]{2})|[.,](?P<part>25|5|75))?)\s*(?:h|hours?)?",
    re.IGNORECASE,
)
_PARTS_MIN = {"25": 15, "5": 30, "75": 45}


@lru_cache(maxsize=256)
def zone_of(stored: str) -> tzinfo:
    """Return the zone behind a stored text, whose `str` is that text; raises InvalidValueError for none."""
    if _STORED.fullmatch(stored):
        east_min = _east_min(stored[0], int(stored[1:3]), int(stored[4:]))
        if east_min and WEST_MIN <= east_min <= EAST_MIN:
            return timezone(timedelta(minutes=east_min), stored)
    else:
        try:
            return ZoneInfo(stored)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            pass
    raise InvalidValueError(f'"{stored}" is not a time zone; write one such as Asia/Dushanbe, +02:00 or UTC.')


def offset_written(text: str) -> str | None:
    """Return the zone to store for an offset from UTC: `+2`, `UTC-3`, `GMT+5:30`, `+0545`; None for no such.

    Raises InvalidValueError for an offset that no place on earth has.
    """
    found = _OFFSET.fullmatch(text.translate(_MINUS).strip())
    if found is None:
        return None
    hours, minutes = int(found["hours"]), int(found["minutes"] or _PARTS_MIN.get(found["part"], 0))
    east_min = _east_min(found["sign"], hours, minutes)
    if minutes > 59 or not WEST_MIN <= east_min <= EAST_MIN:
        raise InvalidValueError(
            f'No place uses the offset "{text.strip()}"; offsets run from -12:00 to +14:00.'
        )
    return offset_name(east_min)


def offset_name(east_min: int) -> str:
    """Return the zone to store for a fixed offset, in minutes east of UTC."""
    if not east_min:
        return UTC_NAME
    hours, minutes = divmod(abs(east_min), 60)
    return f"{'-' if east_min < 0 else '+'}{hours:02}:{minutes:02}"


def offset_on(stored: str, day: date | None) -> str:
    """Return a zone's offset at noon of a day as a zone, so that it names no region; UTC of no day."""
    if day is None:
        return UTC_NAME
    offset = datetime.combine(day, time(12), zone_of(stored)).utcoffset() or timedelta()
    return offset_name(round(offset / timedelta(minutes=1)))


def wall_at(instant: datetime, zone: tzinfo) -> datetime:
    """Return what a zone's clocks show at an instant (naive); UTC's at the calendar's edge."""
    try:
        return instant.astimezone(zone).replace(tzinfo=None)
    except OverflowError:
        return instant.astimezone(UTC).replace(tzinfo=None)


def zone_words(zone: tzinfo | str) -> str:
    """Return a zone for people and tables: an offset as UTC+02:00, so that nobody takes it for a number."""
    name = str(zone)
    return f"{UTC_NAME}{name}" if _STORED.fullmatch(name) else name


def _east_min(sign: str, hours: int, minutes: int) -> int:
    return (hours * 60 + minutes) * (-1 if sign == "-" else 1)


OUTSIDE = "date outside"


class ClockTurn(StrEnum):
    """What is odd about a wall time."""

    TWICE = "comes twice"
    NEVER = "never came"


def turn_at(wall: datetime, zone: tzinfo) -> ClockTurn | None:
    """Return whether a zone's clocks show a (naive) wall time twice or never; None where once (PEP 495)."""
    before, after = (wall.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta() for fold in (0, 1))
    if before == after:
        return None
    return ClockTurn.TWICE if before > after else ClockTurn.NEVER


def instants_at(wall: datetime, zone: tzinfo) -> tuple[datetime, datetime]:
    """Return the instants (UTC) of a wall time by the clock before a turn, and by the one after it.

    They are equal where no clock turns. Raises OverflowError at the edge of the calendar.
    """
    first, second = (wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    return first, second


@dataclass(frozen=True, slots=True)
class TimeDoubt:
    """A time (naive) that a zone's clocks show twice or never, and the two instants (UTC) it may mean.

    `taken` is the number of the one that the book takes, 1 or 2; None where it takes another. `turn` is None,
    and there are no instants, where the date itself cannot be.
    """

    turn: ClockTurn | None
    reading: datetime
    zone: str | None
    instants: tuple[datetime, ...]
    taken: int | None
    reason: str

    @property
    def words(self) -> str:
        """What is odd about the time, in a word or two."""
        return OUTSIDE if self.turn is None else str(self.turn)


def turn_words(turn: ClockTurn, reading: datetime, zone: str) -> str:
    """Return what is odd about a time, as a clause: `02:30 comes twice on 2031-10-26 in Europe/Berlin`."""
    return f"{reading:%H:%M} {turn} on {reading:%Y-%m-%d} in {zone_words(zone)}"
