"""Kinds of time: dates, times of day, instants, and readings of a clock.

One surprising decision: instants lie in a book as text that a person can read with any SQLite tool twenty
years from now; SQLite's own date handling would lose the offset.
"""

from datetime import UTC, date, datetime, time
from typing import Any

from logbook.domain.errors import InvalidValueError
from logbook.domain.kinds.kind import Kind, Schema, Stored, parsed

_DATE = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_TIME = r"[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
_READING = _DATE + r"T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?"
_INSTANT = _READING + "(Z|[+-][0-9]{2}:[0-9]{2})"


class Date(Kind[date]):
    """A day of the calendar."""

    stored = Stored.DATE

    @property
    def schema(self) -> Schema:
        """ISO 8601."""
        return {"type": "string", "format": "date"}

    def to_json(self, value: date) -> str:
        """Return it as ISO 8601 has it."""
        return value.isoformat()

    def from_json(self, data: Any, where: str) -> date:
        """Return a date."""
        return parsed(_DATE, date.fromisoformat, data, where, 'a date such as "2031-10-14"')

    def typed(self, text: str) -> date:
        """Read a date as `2031-10-14`, `14.10.2031` or `14 Oct 2031`."""
        from logbook.domain.written.moments import date_written, has_no_year

        found = date_written(text)
        if found is None:
            if has_no_year(text):
                raise InvalidValueError(f'"{text}" needs a year; write it as 2031-10-14.')
            what = "not a date, or could be two" if "/" in text else "not a date"
            raise InvalidValueError(f'"{text}" is {what}; write it as 2031-10-14.')
        return found


class TimeOfDay(Kind[time]):
    """A time by the place's own clock."""

    stored = Stored.TIME

    @property
    def schema(self) -> Schema:
        """Hours and minutes, and what more is known."""
        return {"type": "string", "pattern": f"^{_TIME}$"}

    def to_json(self, value: time) -> str:
        """Return it with its seconds."""
        return value.isoformat()

    def to_answer(self, value: time) -> str:
        """Return it as people write it, without seconds where there are none."""
        return value.isoformat("minutes") if not value.second else value.isoformat()

    def from_json(self, data: Any, where: str) -> time:
        """Return a time of day."""
        return parsed(_TIME, time.fromisoformat, data, where, 'a time of day such as "17:20:00"')

    def typed(self, text: str) -> time:
        """Read a time of day as `17:20`, `17.20` or `5:20 pm`."""
        from logbook.domain.written.moments import time_written

        return time_written(text)


class Instant(Kind[datetime]):
    """An aware moment, in UTC."""

    stored = Stored.CODED

    @property
    def schema(self) -> Schema:
        """A moment with its offset."""
        return {"type": "string", "format": "date-time"}

    def coded(self, value: datetime) -> str:
        """Return ISO 8601 in UTC with `Z`; a naive moment is a programming error."""
        if value.tzinfo is None:
            raise TypeError("A date and time needs a UTC offset.")
        return value.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"

    def decoded(self, text: str) -> datetime:
        """Return the instant, aware, in UTC."""
        return datetime.fromisoformat(text)

    def to_json(self, value: datetime) -> str:
        """Return it with `Z`."""
        return value.isoformat().replace("+00:00", "Z")

    def from_json(self, data: Any, where: str) -> datetime:
        """Return the instant, aware, in UTC."""
        wanted = 'an instant with its offset, such as "2031-10-14T12:42:10Z"'
        return parsed(_INSTANT, _in_utc, data, where, wanted)


class WallTime(Kind[datetime]):
    """A reading of a clock, without a zone."""

    stored = Stored.CODED

    @property
    def schema(self) -> Schema:
        """A moment without an offset."""
        return {"type": "string", "pattern": f"^{_READING}$"}

    def coded(self, value: datetime) -> str:
        """Return the reading as it stands."""
        return value.isoformat()

    def decoded(self, text: str) -> datetime:
        """Return the reading, naive."""
        return datetime.fromisoformat(text)

    def to_json(self, value: datetime) -> str:
        """Return the reading as it stands."""
        return value.isoformat()

    def from_json(self, data: Any, where: str) -> datetime:
        """Return the reading, naive."""
        wanted = 'a clock reading without an offset, such as "2031-10-14T17:42:10"'
        return parsed(_READING, datetime.fromisoformat, data, where, wanted)

    def typed(self, text: str) -> datetime:
        """Read a wall time as `2031-10-14T17:42:10` (naive)."""
        try:
            moment = datetime.fromisoformat(text.strip())
        except ValueError:
            raise InvalidValueError(
                f'"{text}" is not a date and time; write it as 2031-10-14T17:42:10.'
            ) from None
        return moment.replace(tzinfo=None)


def _in_utc(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


DATE = Date()
TIME_OF_DAY = TimeOfDay()
INSTANT = Instant()
WALL_TIME = WallTime()
