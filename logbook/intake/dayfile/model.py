"""What a day file says, as frozen values: its sections with their entries, and the lines to sort out."""

from dataclasses import dataclass, field
from datetime import date, time

from logbook.domain.words import VisitPurpose
from logbook.domain.written.entry import Entry


@dataclass(frozen=True, slots=True)
class UnreadLine:
    """A line kept word for word to be sorted out: its number (from 1), its text, why it is here."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Section:
    """One viewpoint's part of the day; `viewpoint` (as typed) None is the day itself.

    `journal` is Markdown, word for word, without blank lines around it;
    `departed` before `arrived` means past midnight; `times_proposed` (`## Weir ? 7:00-8:00`) only with times.
    `heading` is its line as it was written, `in_full` the name where what was read as times belongs to it;
    `told` says what was understood where that differs.
    """

    viewpoint: str | None = None
    line: int = field(default=0, compare=False)
    arrived: time | None = None
    departed: time | None = None
    purpose: VisitPurpose | None = None
    journal: str = ""
    entries: tuple[Entry, ...] = ()
    times_proposed: bool = False
    heading: str = field(default="", compare=False)
    in_full: str = field(default="", compare=False)
    told: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class DayFile:
    """One day; `trip` and `zone` are as typed, None where the file does not say."""

    trip: str | None
    on_date: date
    zone: str | None
    sections: tuple[Section, ...] = ()
    loose: tuple[UnreadLine, ...] = ()
