"""Taking back what a line of a day file said, where nothing was changed or said elsewhere since.

One surprising decision: a line takes back no more than it brought. What the book knew before it, and what a
line of another file says too, stays.
"""

from collections.abc import Mapping
from typing import Any

from logbook.domain.day import DayLine
from logbook.domain.fields import facts_of
from logbook.services.dayfiles.lines import confirmed, known_before, plain, said_besides, then, told, touched
from logbook.services.dayfiles.reading import DayReading
from logbook.services.dayfiles.texts import withdraw_text
from logbook.services.kinds import CONDITION, LESSON, SHOT, VISIT, NounKind
from logbook.services.plans.outcomes import stated_outcome
from logbook.services.records import STANDS_WITHOUT, edited, take_out
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf

OWNED: Mapping[str, NounKind[Any]] = {
    "visit": VISIT,
    "condition": CONDITION,
    "lesson": LESSON,
    "shot": SHOT,
}


def withdraw(reading: DayReading, line: DayLine) -> None:
    """Take back what a line said that is no longer in the file, unless it was changed elsewhere since."""
    if line.noun == "day":
        withdraw_text(reading, line)
        return
    record = record_of(reading, line.noun, line.record_id)
    if record is None:
        return
    changes = touched(record, line)
    known = known_before(line)
    if not known:
        changes |= said_besides(record, line.noun, then(line))
    stated = confirmed(record, line)
    if stated and line.noun != "keeper":
        changes |= {name: (None, plain(getattr(record, name))) for name in stated}
    if changes:
        _stays(reading, line, told(changes))
        return
    desk, now = reading.desk, reading.book.now()
    also = _said_elsewhere(desk, line)
    if line.noun in OWNED and not known:
        references = desk.references_to(OWNED[line.noun].table, record.id)
        if any(one.column not in STANDS_WITHOUT for one in references):
            _stays(reading, line, "other records refer to it")
            return
        take_out(desk, OWNED[line.noun], record.id)
    elif line.noun == "outcome" and not known and not also:
        desk.outcomes.remove([record.id])
    else:
        kept = {*known, *also, *stated}
        if also:
            _stays(reading, line, f"{', '.join(sorted(set(also.values())))} says it too")
        unknown = {
            name: () if isinstance(getattr(record, name), tuple) and name == "reasons" else None
            for name in then(line)
            if name not in kept and (name == "reasons" or facts_of(type(record))[name].may_be_unknown)
        }
        if not unknown:
            return
        if line.noun == "shot" and stated_outcome(desk, record) is not None:
            _stays(reading, line, "its outcome is known")
            return
        shelf_of(desk, line.noun).put(edited(record, now, unknown))
    reading.counts["gone"] += 1
    reading.gone.append(first_line(line.text))


def _said_elsewhere(desk: Desk, line: DayLine) -> dict[str, str]:
    """Return the fields of which a line of another file or day says the same, and that file."""
    others = desk.day_lines.all(record_id=line.record_id, noun=line.noun)
    mine = then(line)
    return {
        name: one.file
        for one in others
        if (one.file, one.on_date) != (line.file, line.on_date)
        for name, value in then(one).items()
        if value == mine.get(name, ...)
    }


def _stays(reading: DayReading, line: DayLine, why: str) -> None:
    reading.elsewhere.append(f'"{first_line(line.text)}" {reading.leaving}, but {why}; it stays.')


def record_of(reading: DayReading, noun: str, record_id: str | None) -> Any:
    """Return the record that a line of a noun speaks of, or None where it is gone."""
    desk = reading.desk
    if record_id is None:
        return None
    if noun == "outcome":
        return desk.outcomes.first(shot_id=record_id)
    if noun == "packed":
        return desk.packed.first(trip_id=reading.trip.id, item_id=record_id)
    return shelf_of(desk, noun).get(record_id)


def shelf_of(desk: Desk, noun: str) -> Shelf[Any]:
    """Return where the records of a noun stand."""
    shelves: dict[str, Shelf[Any]] = {
        "visit": desk.visits,
        "condition": desk.conditions,
        "lesson": desk.lessons,
        "outcome": desk.outcomes,
        "keeper": desk.keepers,
        "shot": desk.shots,
        "packed": desk.packed,
    }
    return shelves[noun]


def first_line(text: str) -> str:
    """Return the first line of an entry, which names it."""
    return text.strip().partition("\n")[0]
