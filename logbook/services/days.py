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
from logbook.domain.errors import LogbookError
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
        drafts.loose += _apply(reading, drafts.drafts)
        drafts.loose.sort(key=lambda loose: loose.line)
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
            tuple(drafts.loose),
        )


def _apply(reading: _Reading, drafts: list[Draft]) -> list[Loose]:
    """Take all drafts in; return those that cannot be, such as an outcome that names its own shot."""
    loose: list[Loose] = []
    old = _lines(reading)
    pairs, gone = _matched(drafts, old, reading.file)
    for line in gone:
        _withdraw(reading, line)
    for draft, before in pairs:
        try:
            _take(reading, draft, before)
        except LogbookError as error:
            loose.append(Loose(draft.line, draft.text, str(error)))
            if before is not None:
                reading.lines.append(before)
    kept = {line.id: line for line in reading.lines}
    reading.desk.day_lines.remove(
        line.id for line in old if line.file == reading.file and line.id not in kept
    )
    before_by_id = {line.id: line for line in old}
    for line in reading.lines:
        if line.id not in before_by_id:
            reading.desk.day_lines.add(line)
        elif line != before_by_id[line.id]:
            reading.desk.day_lines.put(replace(line, updated=reading.book.now()))
    return loose


def _lines(reading: _Reading) -> list[DayLine]:
    """Return what the book remembers of this day's files, in the order of files and lines."""
    lines = reading.desk.day_lines.all(trip_id=reading.trip.id, on_date=reading.on_date)
    return sorted(lines, key=lambda line: (line.file, line.line))


def _matched(
    drafts: list[Draft], old: list[DayLine], file: str
) -> tuple[list[tuple[Draft, DayLine | None]], list[DayLine]]:
    """Pair each draft with the line it was.

    The same words in this file come first, then the same words in another (it was renamed), then the same
    place in order.
    """
    left = list(old)
    found: dict[int, DayLine] = {}
    for same_words, same_file in ((True, True), (True, False), (False, True)):
        for index, draft in enumerate(drafts):
            if index in found:
                continue
            for line in left:
                if (line.noun, line.section) != (draft.noun, draft.section):
                    continue
                if draft.target_id is not None and line.record_id != draft.target_id:
                    continue
                if (line.text == draft.text or not same_words) and (line.file == file or not same_file):
                    found[index] = line
                    left.remove(line)
                    break
    return [(draft, found.get(index)) for index, draft in enumerate(drafts)], [
        line for line in left if line.file == file
    ]


def _take(reading: _Reading, draft: Draft, before: DayLine | None) -> None:
    if draft.noun == "day":
        _take_journal(reading, draft, before)
        return
    record = _record(reading, draft.noun, before.record_id if before else draft.target_id)
    edits = draft.fields
    if before is not None and before.text == draft.text and (record is None or before.seen == _seen(edits)):
        if record is None:
            reading.elsewhere.append(
                f"line {draft.line}: its {draft.noun} was removed elsewhere; it stays so."
            )
        elif touched := _touched(record, before):
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the book's value stays.")
        reading.counts["same"] += 1
        reading.lines.append(_line(reading, draft, before.record_id, before))
        return
    if before is not None and record is not None:
        then = json.loads(before.seen)
        edits = {name: value for name, value in edits.items() if _plain(value) != then.get(name, ...)}
        touched = {name: pair for name, pair in _touched(record, before).items() if name in edits}
        if touched:
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the edited line takes its place.")
    record_id = _write(reading, replace(draft, fields=edits), record)
    reading.counts["changed" if before is not None else "added"] += 1
    reading.lines.append(_line(reading, draft, record_id, before))


def _take_journal(reading: _Reading, draft: Draft, before: DayLine | None) -> None:
    """Take in what a file says of the day itself; the journals of several files of one day stand together."""
    lines = [line for line in _lines(reading) if line.noun == "day"]
    others = {line.file: json.loads(line.seen) for line in lines if before is None or line.id != before.id}
    left = _composed({line.file: json.loads(line.seen) for line in lines})
    wanted = _composed(others | {reading.file: draft.fields})
    edits = {name: value for name, value in wanted.items() if value != left[name]}
    day = reading.desk.days.first(trip_id=reading.trip.id, on_date=reading.on_date)
    touched = {
        name: (then, now) for name, then in left.items() if day and (now := getattr(day, name)) != then
    }
    if before is not None and not edits and day is not None:
        if touched:
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the book's value stays.")
        reading.counts["same"] += 1
    else:
        if touched := {name: pair for name, pair in touched.items() if name in edits}:
            reading.elsewhere.append(f"line {draft.line}: {_said(touched)}; the edited line takes its place.")
        day = _put_day(reading, day, edits if day else wanted)
        reading.counts["changed" if before is not None else "added"] += 1
    reading.lines.append(_line(reading, draft, day.id, before))


def _put_day(reading: _Reading, day: Day | None, said: Mapping[str, Any]) -> Day:
    now = reading.book.now()
    if day is None:
        made = Day(**new_record(now), trip_id=reading.trip.id, on_date=reading.on_date, **said)
        reading.desk.days.add(made)
        return made
    after = edited(day, now, said)
    if after is not day:
        reading.desk.days.put(after)
    return after


def _composed(said: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """Return journal and zone of a day from what each of its files says, in the order of their names."""
    parts = [said[file] for file in sorted(said)]
    journal = "\n\n".join(part["journal"] for part in parts if part["journal"])
    return {"journal": journal or None, "zone": next((part["zone"] for part in parts if part["zone"]), None)}


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
    if line.noun == "day":
        _withdraw_journal(reading, line)
        return
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


def _withdraw_journal(reading: _Reading, line: DayLine) -> None:
    said = {one.file: json.loads(one.seen) for one in _lines(reading) if one.noun == "day"}
    day = reading.desk.days.first(trip_id=reading.trip.id, on_date=reading.on_date)
    if day is None:
        return
    left = _composed(said)
    touched = {name: (left[name], now) for name in left if (now := getattr(day, name)) != left[name]}
    if touched:
        reading.elsewhere.append(f"the day's text left the file, but {_said(touched)}; it stays.")
        return
    del said[line.file]
    _put_day(reading, day, _composed(said))
    reading.counts["gone"] += 1


def _record(reading: _Reading, noun: str, record_id: str | None) -> Any:
    desk = reading.desk
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


def _line(reading: _Reading, draft: Draft, record_id: str, before: DayLine | None) -> DayLine:
    """Return what the book remembers of a line; a line that was there before keeps its record."""
    base = new_record(reading.book.now())
    if before is not None:
        base = {"id": before.id, "created": before.created, "updated": before.updated}
    return DayLine(
        **base,
        trip_id=reading.trip.id,
        on_date=reading.on_date,
        file=reading.file,
        section=draft.section,
        line=draft.line,
        text=draft.text,
        noun=draft.noun,
        record_id=record_id,
        seen=_seen(draft.fields),
    )


def _keep_loose(reading: _Reading, loose: list[Loose]) -> None:
    desk = reading.desk
    kept = desk.loose_lines.all(trip_id=reading.trip.id, on_date=reading.on_date, file=reading.file)
    if [(line.line, line.text, line.why) for line in kept] == [
        (one.line, one.text, one.why) for one in loose
    ]:
        return
    desk.loose_lines.remove(line.id for line in kept)
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
