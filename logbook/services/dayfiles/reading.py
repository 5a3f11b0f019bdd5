"""One reading of a day file while it is under way: what it has counted, told, and remembers of its lines."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType
from typing import Any

from logbook.domain.belonging import visit_seen_on
from logbook.domain.condition import Condition
from logbook.domain.day import DayLine
from logbook.domain.record import Record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.dayfiles.entries import LineDraft
from logbook.services.dayfiles.lines import Saying, remembered
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(slots=True)
class DayReading:
    """A file being read into the book, within one transaction."""

    desk: Desk
    book: Book
    trip: Trip
    on_date: date | None  # None for a plan, which is of no one day
    file: str
    counts: Counter[str] = field(default_factory=Counter)
    elsewhere: list[str] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)  # first lines of what was taken back
    told: list[str] = field(default_factory=list)  # what was understood of new lines, where that differs
    lines: list[DayLine] = field(default_factory=list)
    claimed: set[str] = field(default_factory=set)  # records that some line speaks of already
    visited: set[str] = field(default_factory=set)  # of these, records that are as the file says by now
    saying: dict[str, Saying] = field(default_factory=dict)  # records there before, by noun
    made: dict[int, str] = field(default_factory=dict)  # the record that each line stands for, by its number
    leaving: str = "was removed from the file"  # why a line goes, as its sentence says it

    def placed(self, draft: LineDraft) -> LineDraft:
        """Return a draft with the records of other lines that it names, which were taken in before it."""
        named = {name: self.made[line] for name, line in draft.of_lines.items() if line in self.made}
        return replace(draft, fields={**draft.fields, **named}) if named else draft

    def is_there_already(self, placed: LineDraft, record: Record | None) -> bool:
        """Whether an observation that names no visit is that of the heading anyway."""
        if not isinstance(record, Condition) or record.visit_id is not None:
            return False
        visits = self.desk.visits.held(trip_id=self.trip.id, on_date=record.on_date)
        seen_on = visit_seen_on(record, visits, self.trip.day_ends_at)
        return seen_on is not None and seen_on == placed.fields.get("visit_id")


def lines_of(reading: DayReading) -> list[DayLine]:
    """Return what the book remembers of this day's files, in the order of files and lines."""
    lines = reading.desk.day_lines.all(trip_id=reading.trip.id, on_date=reading.on_date)
    return sorted(lines, key=lambda line: (line.file, line.line))


def line_of(
    reading: DayReading,
    draft: LineDraft,
    record_id: str,
    before: DayLine | None,
    fields: Mapping[str, Any],
    known: Mapping[str, Provenance] = MappingProxyType({}),
) -> DayLine:
    """Return a line as the book remembers it: which record it made, and the fields it set.

    `known` are those that the book had so before.
    """
    where = {"trip_id": reading.trip.id, "on_date": reading.on_date, "file": reading.file}
    return remembered(draft, fields, record_id, before, known, now=reading.book.now(), **where)
