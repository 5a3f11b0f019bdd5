"""Days: taking a day file into the book, again and again, and showing what one day holds.

One surprising decision: each line of a file remembers the fields it set and how it left them. That is how a
second reading tells an edited line (taken in) from a record changed elsewhere (left alone, and said).
"""

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.kit import PackedItem
from logbook.domain.record import Record, new_record
from logbook.domain.shot import Outcome
from logbook.domain.trip import Trip
from logbook.domain.words import Packing
from logbook.services.day_drafts import Draft, Loose, drafts_of
from logbook.services.kinds import CONDITION, LESSON, VISIT, Kind
from logbook.services.records import edited, put_new, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf

OWNED: Mapping[str, Kind[Any]] = {"visit": VISIT, "condition": CONDITION, "lesson": LESSON}


@dataclass(frozen=True, slots=True)
class DayRead:
    """What reading a day file did; `elsewhere` says what was changed outside the file since."""

    trip: str
    on_date: date
    added: int
    changed: int
    unchanged: int
    removed: int
    elsewhere: tuple[str, ...]
    loose: tuple[Loose, ...]


@dataclass(slots=True)
class _Reading:
    desk: Desk
    book: Book
    trip: Trip
    on_date: date
    file: str
    counts: Counter[str] = field(default_factory=Counter)
    elsewhere: list[str] = field(default_factory=list)
    lines: list[DayLine] = field(default_factory=list)


def read_day(book: Book, path: Path, *, trip: str | None = None) -> DayRead:
    """Take a day file into the book; the same file again changes nothing."""
    from logbook.intake.dayfile import read_day_file

    day = read_day_file(path)
    with book.writing() as desk:
        of_trip = the_trip(desk, trip if trip is not None else day.trip)
        drafts = drafts_of(desk, of_trip, day.on_date, day)
        reading = _Reading(desk, book, of_trip, day.on_date, path.name)
        _apply(reading, drafts.drafts)
        _keep_loose(reading, drafts.loose)
        counts = reading.counts
        return DayRead(
            of_trip.slug,
            day.on_date,
            counts["added"],
            counts["changed"],
            counts["same"],
            counts["gone"],
            tuple(reading.elsewhere),
            tuple(sorted(drafts.loose, key=lambda loose: loose.line)),
        )


def _apply(reading: _Reading, drafts: list[Draft]) -> None:
    old = reading.desk.day_lines.all(trip_id=reading.trip.id, on_date=reading.on_date)
    pairs, gone = _matched(drafts, old, reading.file)
    for line in gone:
        _withdraw(reading, line)
    for draft, before in pairs:
        _take(reading, draft, before)
    reading.desk.day_lines.remove(line.id for line in old if line.file == reading.file)
    reading.desk.day_lines.remove(before.id for _, before in pairs if before and before.file != reading.file)
    reading.desk.day_lines.add(*reading.lines)


def _matched(
    drafts: list[Draft], old: list[DayLine], file: str
) -> tuple[list[tuple[Draft, DayLine | None]], list[DayLine]]:
    """Pair each draft with the line it was: the same words first, then the same place in order."""
    left = list(old)
    found: dict[int, DayLine] = {}
    for same_words in (True, False):
        for index, draft in enumerate(drafts):
            if index in found:
                continue
            for line in left:
                if (line.noun, line.section) != (draft.noun, draft.section):
                    continue
                if draft.target_id is not None and line.record_id != draft.target_id:
                    continue
                if line.text == draft.text if same_words else line.file == file:
                    found[index] = line
                    left.remove(line)
                    break
    return [(draft, found.get(index)) for index, draft in enumerate(drafts)], [
        line for line in left if line.file == file
    ]


def _take(reading: _Reading, draft: Draft, before: DayLine | None) -> None:
    record = _record(reading, draft.noun, before.record_id if before else draft.target_id)
    edits = draft.fields
    if before is not None and before.text == draft.text:
        if record is None:
            reading.elsewhere.append(
                f"line {draft.line}: its {draft.noun} was removed elsewhere; it stays so."
            )
        elif touched := _touched(record, before):
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the book's value stays.")
        reading.counts["same"] += 1
        reading.lines.append(_line(reading, draft, before.record_id, before.seen))
        return
    if before is not None and record is not None:
        then = json.loads(before.seen)
        edits = {name: value for name, value in edits.items() if _plain(value) != then.get(name, ...)}
        touched = {name: pair for name, pair in _touched(record, before).items() if name in edits}
        if touched:
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the edited line takes its place.")
    record_id = _write(reading, replace(draft, fields=edits), record)
    reading.counts["changed" if before is not None else "added"] += 1
    reading.lines.append(_line(reading, draft, record_id, _seen(draft.fields)))


def _write(reading: _Reading, draft: Draft, record: Record | None) -> str:
    desk, now = reading.desk, reading.book.now()
    if record is not None:
        after = edited(record, now, draft.fields)
        if after is not record:
            _shelf(desk, draft.noun).put(after)
        return record.id if draft.target_id is None else draft.target_id
    if draft.noun in OWNED:
        return str(put_new(desk, OWNED[draft.noun], now, draft.fields).id)
    base = new_record(now)
    if draft.noun == "day":
        made = Day(**base, trip_id=reading.trip.id, on_date=reading.on_date, **draft.fields)
        desk.days.add(made)
        return made.id
    assert draft.target_id is not None
    if draft.noun == "outcome":
        desk.outcomes.add(Outcome(**base, shot_id=draft.target_id, **draft.fields))
    else:
        packing = Packing.TAKEN if draft.fields["used"] else Packing.CONSIDERED
        of: dict[str, Any] = {"trip_id": reading.trip.id, "item_id": draft.target_id, "packing": packing}
        desk.packed.add(PackedItem(**base, **of, **draft.fields))
    return draft.target_id


def _withdraw(reading: _Reading, line: DayLine) -> None:
    """Take back what a line said that is no longer in the file, unless it was changed elsewhere since."""
    record = _record(reading, line.noun, line.record_id)
    if record is None:
        return
    touched = _touched(record, line)
    if touched:
        reading.elsewhere.append(f'"{_first(line.text)}" left the file, but {_said(touched)}; it stays.')
        return
    desk, now = reading.desk, reading.book.now()
    if line.noun in OWNED:
        references = desk.references_to(OWNED[line.noun].table, record.id)
        if references:
            reading.elsewhere.append(
                f'"{_first(line.text)}" left the file, but others refer to it; it stays.'
            )
            return
        _shelf(desk, line.noun).remove([record.id])
    elif line.noun == "outcome":
        desk.outcomes.remove([record.id])
    else:
        unknown = dict.fromkeys(json.loads(line.seen))
        _shelf(desk, line.noun).put(edited(record, now, unknown))
    reading.counts["gone"] += 1


def _record(reading: _Reading, noun: str, record_id: str | None) -> Any:
    desk = reading.desk
    if noun == "day":
        return desk.days.first(trip_id=reading.trip.id, on_date=reading.on_date)
    if record_id is None:
        return None
    if noun == "outcome":
        return desk.outcomes.first(shot_id=record_id)
    if noun == "packed":
        return desk.packed.first(trip_id=reading.trip.id, item_id=record_id)
    return _shelf(desk, noun).get(record_id)


def _shelf(desk: Desk, noun: str) -> Shelf[Any]:
    shelves: dict[str, Shelf[Any]] = {
        "visit": desk.visits,
        "condition": desk.conditions,
        "lesson": desk.lessons,
        "day": desk.days,
        "outcome": desk.outcomes,
        "keeper": desk.keepers,
        "packed": desk.packed,
    }
    return shelves[noun]


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, bool | int):
        return value
    return [str(item) for item in value] if isinstance(value, tuple) else str(value)


def _seen(said: Mapping[str, Any]) -> str:
    return json.dumps({name: _plain(value) for name, value in said.items()}, ensure_ascii=False)


def _touched(record: Record, line: DayLine) -> dict[str, tuple[Any, Any]]:
    """Return the fields that differ from what the line left behind: field to (then, now)."""
    return {
        name: (then, now)
        for name, then in json.loads(line.seen).items()
        if (now := _plain(getattr(record, name))) != then
    }


def _said(touched: Mapping[str, tuple[Any, Any]]) -> str:
    parts = [
        f"{name.removesuffix('_id').replace('_', ' ')} was changed elsewhere since"
        + ("" if name.endswith("_id") else f" (the file left {_quoted(then)}, the book has {_quoted(now)})")
        for name, (then, now) in touched.items()
    ]
    return ", ".join(parts)


def _first(text: str) -> str:
    return text.strip().partition("\n")[0]


def _quoted(value: Any) -> str:
    if value is None:
        return "unknown"
    text = ", ".join(value) or "none" if isinstance(value, list) else str(value)
    return f'"{text}"' if len(text) <= 60 else f'"{text[:57]}..."'


def _line(reading: _Reading, draft: Draft, record_id: str, seen: str) -> DayLine:
    return DayLine(
        **new_record(reading.book.now()),
        trip_id=reading.trip.id,
        on_date=reading.on_date,
        file=reading.file,
        section=draft.section,
        line=draft.line,
        text=draft.text,
        noun=draft.noun,
        record_id=record_id,
        seen=seen,
    )


def _keep_loose(reading: _Reading, loose: list[Loose]) -> None:
    desk = reading.desk
    desk.loose_lines.remove(
        line.id
        for line in desk.loose_lines.all(trip_id=reading.trip.id, on_date=reading.on_date)
        if line.file == reading.file
    )
    desk.loose_lines.add(
        *(
            LooseLine(
                **new_record(reading.book.now()),
                trip_id=reading.trip.id,
                on_date=reading.on_date,
                file=reading.file,
                line=one.line,
                text=one.text,
                why=one.why,
            )
            for one in loose
        )
    )
