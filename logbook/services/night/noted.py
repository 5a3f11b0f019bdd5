"""What a person notes at a stay: its conditions, and what was learned there, as lines of a day file say them.

Surprising decisions: a line that says no kind of condition is refused, not kept as journal, since whoever
writes at a stay can write it as a note there. A lesson that does not say whether to keep, change or avoid
is something to change, as in a day file.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import count, takewhile

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import ConditionKind
from logbook.domain.written.choices import says_nothing
from logbook.domain.written.conditions import written_condition
from logbook.domain.written.entry import ConditionEntry, LessonEntry
from logbook.domain.written.lines import read_entries, written_entry
from logbook.domain.written.moments import clock_text
from logbook.domain.written.observations import seen_at_stay
from logbook.services import kinds
from logbook.services.night.evening import (
    Evening,
    Given,
    Understood,
    id_of,
    put,
    replace_conditions,
    said,
    told,
)
from logbook.services.night.questions import Question, is_answer_elsewhere
from logbook.services.night.visits import NOTHING_NOTED, visit_there
from logbook.services.records import put_new


def say_conditions(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what was observed during a stay; each line takes the place of what was said here before."""
    visit = visit_there(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return Understood()
    observed = seen_at_stay(given.text) if given else ()
    for one in observed:
        if one.words:
            raise InvalidValueError(
                f'"{one.words}" is not a condition; begin with {", ".join(ConditionKind)}, such as wind: 4.'
            )
    entries = [entry for one in observed for entry in one.conditions]
    here = {"viewpoint_id": visit.viewpoint_id, "visit_id": visit.id}
    wanted = [condition_fields(entry) | here for entry in entries]
    name = f"conditions {visit.id}"
    replace_conditions(evening, name, wanted)
    _leave_no_other_level(
        evening, visit.id, entries, {id_of(evening, f"{name} {at}") for at in range(1, len(wanted) + 1)}
    )
    if observed and not entries:
        return told(NOTHING_NOTED)
    return told(*(condition_told(entry) for entry in entries))


def _leave_no_other_level(
    evening: Evening, visit_id: str, entries: Sequence[ConditionEntry], own: Collection[str]
) -> None:
    """Take out levels of the same kind and time that were noted elsewhere: nobody saw two at once."""
    said = {(one.kind, one.at) for one in entries if one.level is not None}
    there = evening.desk.conditions.all(visit_id=visit_id)
    others = [one for one in there if one.id not in own and one.level is not None]
    evening.desk.conditions.remove(one.id for one in others if (one.kind, one.at) in said)


def condition_fields(entry: ConditionEntry) -> dict[str, object]:
    """Return what a line says as fields of a condition."""
    return {
        "kind": entry.kind,
        "level": entry.level,
        "at": entry.at,
        "direction": entry.direction,
        "note": entry.note or None,
        "source": entry.source,
    }


def condition_told(entry: ConditionEntry, where: str = "") -> str:
    """Return what a line was taken for: `closure at north-gate at 15:00: gate locked`."""
    at = f" at {clock_text(entry.at)}" if entry.at else ""
    return f"{entry.kind}{where}{at}: {written_condition(replace(entry, at=None)).partition(': ')[2]}"


def say_learned(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what was learned at a stay; each line is a lesson and they take the place of those said before."""
    visit = visit_there(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return Understood()
    lines = given.text.splitlines() if given else []
    entries = [_lesson(line) for line in lines if not says_nothing(line)]
    of_visit = {"trip_id": visit.trip_id, "on_date": visit.on_date, "viewpoint_id": visit.viewpoint_id}
    numbered = (id_of(evening, f"learned {visit.id} {number}") for number in count(1))
    for entry, lesson_id in zip(entries, numbered, strict=False):
        fields = {"verb": entry.verb, "text": entry.lesson, "shown_to": entry.audience, **of_visit}
        before = evening.desk.lessons.get(lesson_id)
        if before is None:
            put_new(evening.desk, kinds.LESSON, evening.now, {"id": lesson_id, **fields})
        elif given is not None:
            put(evening.desk.lessons, before, said(before, evening.now, given.word, fields))
    surplus = takewhile(bool, map(evening.desk.lessons.get, numbered))
    evening.desk.lessons.remove([one.id for one in surplus if one])
    if not entries:
        return told(NOTHING_NOTED if given else None)
    return told(*(written_entry(one).removeprefix("- ") for one in entries))


def _lesson(line: str) -> LessonEntry:
    if is_answer_elsewhere(line):
        raise InvalidValueError(f'"{line}" alone says too little here; write a whole sentence, or: nothing.')
    (entry,) = read_entries(f"- lesson {line}")
    assert isinstance(entry, LessonEntry)
    return entry
