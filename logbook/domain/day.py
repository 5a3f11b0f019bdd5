"""A day: one date of a trip at the place's own clock, and what day and plan files left to sort out.

One surprising decision: the book remembers each line of such a file beside the record that came from it, so
that reading the same file again changes nothing and reading an edited one changes only what was edited.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Annotated

from logbook.domain.checks import check_text, check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import LOOKED_UP, SEARCHED, SHOWN, STRUCK_FOR_STUDENTS, Refers
from logbook.domain.kinds import ID, SET_FIELDS, ZONE
from logbook.domain.record import Record

LONGEST_OVER_MIDNIGHT = timedelta(hours=18)  # own choice; what would last as long as that is a slip


@dataclass(frozen=True, slots=True, kw_only=True)
class Day(Record):
    """The journal of one date, in Markdown."""

    UNIQUE_TOGETHER = (("trip_id", "on_date"),)

    trip_id: Annotated[str, Refers("trip"), SHOWN]
    on_date: Annotated[date, SEARCHED, SHOWN]
    zone: Annotated[str | None, ZONE, SHOWN] = None
    journal: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None

    def __post_init__(self) -> None:
        check_zone(self.zone)
        check_text(self.journal, "journal")


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine(Record):
    """One understood line of a day or plan file: which record it made, and how that record looked then."""

    trip_id: Annotated[str, Refers("trip")]
    on_date: date | None  # None in a plan, which is of no one day
    file: str
    section: str  # viewpoint slug, or "" for the day itself
    line: int
    text: str
    noun: str
    record_id: Annotated[str, ID, LOOKED_UP]
    seen: Annotated[str, SET_FIELDS]  # the fields that this line set, as JSON, as it left them


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseLine(Record):
    """One line of a day or plan file that was not understood, word for word."""

    trip_id: Annotated[str, Refers("trip")]
    on_date: date | None  # None in a plan
    file: str
    line: int
    text: Annotated[str, SEARCHED]
    why: str


def day_of(moment: datetime, day_ends_at: time) -> date:
    """Return the photographer's day of a local moment: before the day's end it is still yesterday."""
    day = moment.date()
    return day - timedelta(days=moment.time() < day_ends_at and day > date.min)


def moment_on(on_date: date, at: time, day_ends_at: time) -> datetime:
    """Return the local moment, without a zone, of a time noted on a photographer's day.

    The inverse of `day_of`: a time before the day's end lies in the small hours of the next date, except on
    the last date there is, which has no next one.
    """
    return datetime.combine(on_date + timedelta(days=at < day_ends_at and on_date < date.max), at)


def begin_on(on_date: date | None, at: time | None, day_ends_at: time) -> datetime:
    """Return a local moment to sort by: of no time the begin of its day, of no day the end of all time."""
    if on_date is None:
        return datetime.combine(date.max, time.max)
    return moment_on(on_date, day_ends_at if at is None else at, day_ends_at)


def window_on(
    on_date: date, begins: time | None, ends: time | None, day_ends_at: time
) -> tuple[datetime | None, datetime | None]:
    """Return begin and end, local moments without a zone, of a stretch noted on a photographer's day.

    What is None stays None. An end that would lie before the begin lies a date later, past the day's end.
    """
    first, last = (moment_on(on_date, at, day_ends_at) if at is not None else None for at in (begins, ends))
    if first is not None and last is not None and last < first:
        last = last + timedelta(days=1) if last.date() < date.max else first
    return first, last


def is_backwards(begins: time | None, ends: time | None) -> bool:
    """Whether a stretch ends before it begins: to end after it, it would have to last most of a day."""
    if begins is None or ends is None or ends >= begins:
        return False
    whole = timedelta(hours=24 + ends.hour - begins.hour, minutes=ends.minute - begins.minute)
    return whole >= LONGEST_OVER_MIDNIGHT


def check_window(begins: time | None, ends: time | None) -> None:
    """Raise InvalidValueError for a window that ends before it begins."""
    if begins is not None and ends is not None and is_backwards(begins, ends):
        raise InvalidValueError(
            f"The window ends ({ends:%H:%M}) before it begins ({begins:%H:%M}); did you mean "
            f"{ends:%H:%M}-{begins:%H:%M}?"
        )


def in_utc(moment: datetime, zone: tzinfo) -> datetime:
    """Return the instant (UTC) of a local moment; of one that the zone's clocks show twice, the first.

    At the edge of the calendar, where a zone's clocks would leave it, the moment itself.
    """
    try:
        return moment.replace(tzinfo=zone).astimezone(UTC)
    except OverflowError:
        return moment.replace(tzinfo=UTC)


def span_of_day(on_date: date, zone: tzinfo, day_ends_at: time) -> tuple[datetime, datetime]:
    """Return begin and end (UTC) of a photographer's day."""
    following = date.fromordinal(min(on_date.toordinal() + 1, date.max.toordinal()))
    begins, ends = (in_utc(moment_on(day, day_ends_at, day_ends_at), zone) for day in (on_date, following))
    return begins, ends


def instants_on(
    on_date: date, begins: time | None, ends: time | None, day_ends_at: time, zone: tzinfo
) -> tuple[datetime | None, datetime | None]:
    """Return begin and end of a stretch as `window_on` has them, as instants (UTC).

    A begin in an hour that clocks skip can fall behind an end shortly after it; they are then one instant.
    """
    window = window_on(on_date, begins, ends, day_ends_at)
    first, last = (in_utc(at, zone) if at is not None else None for at in window)
    if first is not None and last is not None:
        last = max(first, last)
    return first, last
