"""A day file that was read under a wrong date: read again with the right one, its records move.

One surprising decision: a file is known again by what it says. A name alone tells nothing, because a file
called `today.md` is another day every evening.
"""

from collections import Counter
from dataclasses import replace
from datetime import date
from json import dumps, loads

from logbook.domain.day import DayLine
from logbook.domain.names import slug_of
from logbook.services.dayfiles.entries import Drafts
from logbook.services.dayfiles.reading import DayReading
from logbook.services.dayfiles.withdrawing import OWNED, record_of, shelf_of, withdraw

SAME_NAME_SHARE = 0.6  # of a file's lines that must be there again under its own name (own convention)
SAME_LINES = 3  # lines that must be there again; fewer are anybody's (own convention)
STAYING = frozenset(("outcome", "packed"))  # nouns that no date says which one is meant


def redated(reading: DayReading, found: Drafts) -> date | None:
    """Move what the same file said under another date to the one it has now; return that other date."""
    now = Counter(draft.text for draft in found.drafts) + Counter(one.key for one in found.loose)
    desk, trip_id = reading.desk, reading.trip.id
    lines = [one for one in desk.day_lines.all(trip_id=trip_id) if one.on_date != reading.on_date]
    if any(one.file == reading.file for one in desk.day_lines.all(trip_id=trip_id, on_date=reading.on_date)):
        return None  # it is known under this date already
    groups: dict[tuple[date, str], list[DayLine]] = {}
    for line in lines:
        if line.on_date is not None:  # a plan's
            groups.setdefault((line.on_date, line.file), []).append(line)
    for (day, file), old in groups.items():
        if _is_same(Counter(line.text for line in old), now, is_same_name=file == reading.file):
            _move(reading, old, day, file)
            return day
    return None


def _is_same(old: Counter[str], now: Counter[str], *, is_same_name: bool) -> bool:
    again = (old & now).total()
    share = again / old.total()
    return again >= SAME_LINES and share >= (SAME_NAME_SHARE if is_same_name else 1.0)


def _move(reading: DayReading, old: list[DayLine], day: date, file: str) -> None:
    """Give the records of a file the date of this reading; numbers mean other pictures on another day."""
    desk, now = reading.desk, reading.book.now()
    before = DayReading(desk, reading.book, reading.trip, day, file, leaving="was read under another date")
    for line in old:
        if line.noun in OWNED:
            _move_record(reading, line)
        elif line.noun not in STAYING:
            withdraw(before, line)
            desk.day_lines.remove([line.id])
            continue
        said = loads(line.seen)
        if "on_date" in said:
            said["on_date"] = str(reading.on_date)
        desk.day_lines.put(
            replace(
                line,
                on_date=reading.on_date,
                file=reading.file,
                seen=dumps(said, ensure_ascii=False),
                updated=now,
            )
        )
    loose = desk.loose_lines.all(trip_id=reading.trip.id, on_date=day, file=file)
    desk.loose_lines.remove(one.id for one in loose)
    reading.elsewhere += before.elsewhere


def _move_record(reading: DayReading, line: DayLine) -> None:
    """Give a record the new date, and its name where that tells the date; one moved elsewhere stays there."""
    record = record_of(reading, line.noun, line.record_id)
    if record is None or record.on_date != line.on_date:
        return
    kind, desk = OWNED[line.noun], reading.desk
    fields = {name: getattr(record, name) for name in record.__dataclass_fields__}
    after = fields | {"on_date": reading.on_date}
    slug = record.slug
    if slug.startswith(slug_of(kind.name_of(desk, fields))) and str(line.on_date) in slug:
        slug = kind.shelf(desk).new_slug(kind.name_of(desk, after))
    moved = replace(record, on_date=reading.on_date, slug=slug, updated=reading.book.now())
    shelf_of(desk, line.noun).put(moved)
