"""Days: taking a day file into the book, again and again, and showing what one day holds.

One surprising decision: each line of a file remembers the fields it set and how it left them. That is how a
second reading tells an edited line (taken in) from a record changed elsewhere (left alone, and said).
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from logbook.services.dayfiles.applying import FileRead, taken_in
from logbook.services.dayfiles.clocks import take_clocks
from logbook.services.dayfiles.entries import drafts_of
from logbook.services.dayfiles.reading import DayReading
from logbook.services.dayfiles.redated import redated
from logbook.services.records import the_trip
from logbook.store.book import Book


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRead(FileRead):
    """What reading a day file did; `moved_from` is the date under which the same file was read before."""

    on_date: date
    moved_from: date | None = None


def read_day(book: Book, path: Path, *, trip: str | None = None) -> DayRead:
    """Take a day file into the book; the same file again changes nothing."""
    from logbook.intake.dayfile import read_day_file

    day = read_day_file(path)
    with book.writing() as desk:
        of_trip = the_trip(desk, trip if trip is not None else day.trip)
        clocks = take_clocks(desk, book, of_trip, day)
        drafts = drafts_of(desk, of_trip, day.on_date, day)
        drafts.loose += clocks
        reading = DayReading(desk, book, of_trip, day.on_date, path.name)
        moved_from = redated(reading, drafts)
        done = taken_in(reading, drafts)
        return DayRead(on_date=day.on_date, moved_from=moved_from, **done)
