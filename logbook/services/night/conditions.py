"""What a person says of the conditions at a stay: lines of a day file, or words that say as much.

One surprising decision: a line that says no kind of condition is refused, not kept as journal, since whoever
writes at a stay can write it as a note there.
"""

from dataclasses import replace

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import ConditionKind
from logbook.domain.written.conditions import written_condition
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.moments import clock_text
from logbook.domain.written.observations import seen_at_stay
from logbook.services.night.evening import Evening, Given, Understood, replace_conditions, told
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
                f'"{one.words}" names no condition; begin with {", ".join(ConditionKind)}, such as wind: 4.'
            )
    entries = [entry for one in observed for entry in one.conditions]
    here = {"viewpoint_id": visit.viewpoint_id, "visit_id": visit.id}
    wanted = [condition_fields(entry) | here for entry in entries]
    replace_conditions(evening, f"conditions {visit.id}", wanted)
    if observed and not entries:
        return told(NOTHING_NOTED)
    return told(*(condition_told(entry) for entry in entries))


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
