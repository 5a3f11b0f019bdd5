"""What a person says of the conditions at a stay: lines of a day file, or words that say as much.

One surprising decision: a line that says no kind of condition is refused, not kept as journal, since whoever
writes at a stay can write it as a note there.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import ConditionKind
from logbook.domain.written.conditions import written_condition
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.moments import clock_text
from logbook.domain.written.observations import seen_at_stay
from logbook.services.night.evening import Evening, Given, Understood, id_of, replace_conditions, told
from logbook.services.night.questions import Question
from logbook.services.night.visits import NOTHING_NOTED, visit_there


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
