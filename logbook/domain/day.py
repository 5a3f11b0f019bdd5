"""A day: one date of a trip at the place's own clock, and what a day file left to sort out.

One surprising decision: the book remembers each line of a day file beside the record that came from it, so
that reading the same file again changes nothing and reading an edited one changes only what was edited.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from logbook.domain.checks import check_text, check_zone
from logbook.domain.record import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Day(Record):
    """The journal of one date, in Markdown."""

    trip_id: str
    on_date: date
    zone: str | None = None
    journal: str | None = None

    def __post_init__(self) -> None:
        check_zone(self.zone)
        check_text(self.journal, "journal")


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine(Record):
    """One understood line of a day file: which record it made, and how that record looked then."""

    trip_id: str
    on_date: date
    file: str
    section: str  # viewpoint slug, or "" for the day itself
    line: int
    text: str
    noun: str
    record_id: str
    seen: str  # the fields that this line set, as JSON, as it left them


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseLine(Record):
    """One line of a day file that was not understood, word for word."""

    trip_id: str
    on_date: date
    file: str
    line: int
    text: str
    why: str


def day_of(moment: datetime, day_ends_at: time) -> date:
    """Return the photographer's day of a local moment: before the day's end it is still yesterday."""
    return moment.date() - timedelta(days=moment.time() < day_ends_at)
