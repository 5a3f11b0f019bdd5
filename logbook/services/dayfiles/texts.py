"""The text of a day and its zone, as day files say them.

One surprising decision: the journals of several files of one day stand together, in the order of the files'
names, so that taking one file back takes its own words only.
"""

from collections.abc import Mapping
from typing import Any

from logbook.domain.day import Day, DayLine
from logbook.domain.record import new_record
from logbook.services.dayfiles.entries import LineDraft
from logbook.services.dayfiles.lines import then, told
from logbook.services.dayfiles.reading import DayReading, line_of, lines_of
from logbook.services.records import edited


def take_text(reading: DayReading, draft: LineDraft, before: DayLine | None) -> None:
    """Take in what a file says of the day itself; the journals of several files of one day stand together."""
    lines = [line for line in lines_of(reading) if line.noun == "day"]
    others = {line.file: then(line) for line in lines if before is None or line.id != before.id}
    left = _composed({line.file: then(line) for line in lines})
    wanted = _composed(others | {reading.file: draft.fields})
    edits = {name: value for name, value in wanted.items() if value != left[name]}
    day = reading.desk.days.first(trip_id=reading.trip.id, on_date=reading.on_date)
    if before is None and day is not None and _is_whole(day, draft.fields):
        reading.counts["same"] += 1
        if not lines:
            reading.lines.append(line_of(reading, draft, day.id, None, draft.fields))
        return
    changes = {name: (was, now) for name, was in left.items() if day and (now := getattr(day, name)) != was}
    if before is not None and not edits and day is not None:
        if changes:
            reading.elsewhere.append(f"line {draft.line}: {told(changes)}; the book's value stays.")
        reading.counts["same"] += 1
    else:
        if changes := {name: pair for name, pair in changes.items() if name in edits}:
            reading.elsewhere.append(f"line {draft.line}: {told(changes)}; the edited line takes its place.")
        day = _put_day(reading, day, edits if day else wanted)
        reading.counts["changed" if before is not None else "added"] += 1
    reading.lines.append(line_of(reading, draft, day.id, before, draft.fields))


def _is_whole(day: Day, said: Mapping[str, Any]) -> bool:
    """Whether a file repeats the day as the book has it, from whatever file or session that came."""
    return all(value in (None, getattr(day, name)) for name, value in said.items())


def _put_day(reading: DayReading, day: Day | None, said: Mapping[str, Any]) -> Day:
    now = reading.book.now()
    if day is None:
        assert reading.on_date is not None
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


def withdraw_text(reading: DayReading, line: DayLine) -> None:
    """Take back what a file said of the day itself, unless that was changed elsewhere since."""
    said = {one.file: then(one) for one in lines_of(reading) if one.noun == "day"}
    day = reading.desk.days.first(trip_id=reading.trip.id, on_date=reading.on_date)
    if day is None:
        return
    left = _composed(said)
    changes = {name: (left[name], now) for name in left if (now := getattr(day, name)) != left[name]}
    if changes:
        reading.elsewhere.append(f"the day's text was removed from the file, but {told(changes)}; it stays.")
        return
    del said[line.file]
    _put_day(reading, day, _composed(said))
    reading.counts["gone"] += 1
