"""Taking a day file back, such as one that was read under a wrong date or into a wrong trip.

One surprising decision: what was changed or said elsewhere since stays, and from then on belongs to no file;
whatever was taken back comes again when the file is read again.
"""

from dataclasses import dataclass
from datetime import date

from logbook.domain.day import DayLine, LooseLine
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.trip import Trip
from logbook.services.dayfiles.reading import DayReading, lines_of
from logbook.services.dayfiles.withdrawing import withdraw
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

LISTED = 5  # names of files that a sentence lists


@dataclass(frozen=True, slots=True)
class DayUnread:
    """What taking day files back did: how many lines, how many to sort out, and what stays and why."""

    trip: str
    on_date: date
    files: tuple[str, ...]
    removed: int
    loose: int
    kept: tuple[str, ...]


class _OnlyTold(Exception):  # noqa: N818 - no error: it drops what was done
    def __init__(self, done: DayUnread) -> None:
        self.done = done


def unread_day(
    book: Book, trip: str | None, *, file: str | None, on_date: date | None, dry_run: bool = False
) -> DayUnread:
    """Take back what came from a file, or from all files of a day, and was not changed or said elsewhere.

    Raises NotFoundError where no such file was read, WrongUseError where it was read for several days.
    """
    try:
        with book.writing() as desk:
            done = _unread(desk, book, the_trip(desk, trip), file, on_date)
            if dry_run:
                raise _OnlyTold(done)
    except _OnlyTold as told:
        return told.done
    return done


def _unread(desk: Desk, book: Book, trip: Trip, file: str | None, on_date: date | None) -> DayUnread:
    lines: list[DayLine | LooseLine] = [*desk.day_lines.all(trip_id=trip.id)]
    lines += desk.loose_lines.all(trip_id=trip.id)
    read = {(one.on_date, one.file) for one in lines if one.on_date is not None}
    meant = sorted(pair for pair in read if pair == (on_date or pair[0], file or pair[1]))
    days = sorted({day for day, _ in meant})
    if not meant:
        files = sorted({name for _, name in read})
        known = (
            f"these were read: {', '.join(files[:LISTED])}" if files else "no day file has been read into it"
        )
        raise NotFoundError(f"{trip.slug} has nothing from {file or on_date}; {known}.")
    if len(days) > 1:
        raise WrongUseError(
            f"{file} was read for more than one day, {', '.join(map(str, days))}; add --on DATE."
        )
    kept: list[str] = []
    removed = loose = 0
    for day, name in meant:
        reading = DayReading(desk, book, trip, day, name, leaving="would be removed")
        own = [line for line in lines_of(reading) if line.file == name]
        for line in sorted(own, key=lambda line: line.noun == "visit"):  # last, for its lines name it
            withdraw(reading, line)
        desk.day_lines.remove(line.id for line in own)
        left = desk.loose_lines.all(trip_id=trip.id, on_date=day, file=name)
        desk.loose_lines.remove(line.id for line in left)
        loose += len(left)
        removed += reading.counts["gone"]
        kept += reading.elsewhere
    return DayUnread(trip.slug, days[0], tuple(name for _, name in meant), removed, loose, tuple(kept))
