"""Keepers, visits and shots, each with its approach: what is counted, before it is counted.

One surprising decision: the tries of a visit belong to an approach only where a person said so, or where all
its pictures agree. Otherwise no row may claim them.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from logbook.services.worked.approaches import Value, held
from logbook.services.worked.kept import KeptColumns, Met, ScopeTallies, ShotColumns, Sitting, tallies_of
from logbook.services.worked.question import By
from logbook.services.worked.scope import Scope
from logbook.store.desk import Desk

SEVERAL = "several"


@dataclass(frozen=True, slots=True)
class Units:
    """Everything in scope with its approach; keepers and shots are their numbers in the columns."""

    kept: KeptColumns
    keepers: Mapping[Value, list[int]]
    sittings: list[Sitting]
    plans: ShotColumns
    shots: Mapping[Value, list[int]]


def units(desk: Desk, scope: Scope) -> Units:
    """Return keepers, visits and shots of a scope, each with its approach."""
    question = scope.question
    tallies = tallies_of(desk, scope)
    columns, plans = tallies.keepers, tallies.shots
    asked = question.support is not None or question.technique is not None
    shots: Sequence[int] = plans.in_order
    if question.levels:
        shots = [number for number in shots if _as_met(scope, plans.met[number])]
    values, shot_ids = columns.values, columns.shots
    techniques: Mapping[str, Value] = {}
    if question.by is By.TECHNIQUE or question.technique is not None:
        techniques = {plans.ids[number]: plans.techniques[number] for number in shots}
    if question.by is By.TECHNIQUE:
        values = [techniques.get(shot_id) for shot_id in shot_ids]
    for one in tallies.visits:
        one.values = values[one.keepers.start : one.keepers.stop]
    numbers: Sequence[int] = range(len(values))
    if asked or question.levels:
        numbers = _chosen(scope, tallies, techniques)
        values, shot_ids = [values[number] for number in numbers], [shot_ids[number] for number in numbers]
    kept: dict[Value, list[int]] = defaultdict(list)
    # This loop turns a hundred thousand times: it does as little as it can.
    for number, value in zip(numbers, values, strict=True):
        kept[value].append(number)
    of_shot: dict[str, str] = {}
    for shot_id, value in set(zip(shot_ids, values, strict=True)):
        if shot_id and value is not None:
            of_shot[shot_id] = "" if shot_id in of_shot else value
    if asked:
        pictured = set(shot_ids)
        shots = [
            number
            for number in shots
            if plans.ids[number] in pictured
            or _as_asked(scope, held(plans.supports[number]), plans.techniques[number])
        ]
    told: dict[Value, list[int]] = defaultdict(list)
    for number in shots:
        told[of_shot.get(plans.ids[number]) or plans.planned[number]].append(number)
    sittings = tallies.visits
    if asked or question.levels:
        planned_on = {plans.where(number) for number in shots}
        sittings = [
            one for one in sittings if one.is_asked and (not asked or _asked_of(scope, one, planned_on))
        ]
    return Units(columns, kept, sittings, plans, told)


def _chosen(scope: Scope, tallies: ScopeTallies, techniques: Mapping[str, Value]) -> list[int]:
    """Return the numbers of the keepers that are as asked, and leave only those in the visits."""
    columns = tallies.keepers

    def is_as_asked(number: int) -> bool:
        support, shot_id = columns.supports[number], columns.shots[number]
        return _as_asked(scope, support or None, techniques.get(shot_id))

    chosen: set[int] = set()
    strays = set(range(len(columns.ids)))
    for one in tallies.visits:
        strays.difference_update(one.keepers)
        one.is_asked = _as_met(scope, one.met)
        own = [number for number in one.keepers if is_as_asked(number)] if one.is_asked else []
        one.apart = len(one.keepers) - len(own)
        values = dict(zip(one.keepers, one.values, strict=True))
        one.keepers, one.values = own, [values[number] for number in own]
        chosen.update(own)
    for number in strays:
        if (not scope.question.levels or _as_met(scope, columns.met[number])) and is_as_asked(number):
            chosen.add(number)
    return sorted(chosen)


def _as_met(scope: Scope, met: Met) -> bool:
    """Whether levels were as asked."""
    return all(level in met.get(kind, ()) for kind, level in scope.question.levels.items())


def _asked_of(scope: Scope, sitting: Sitting, planned_on: set[tuple[str, str, str]]) -> bool:
    """Whether a visit has to do with what was asked: by stated support, keepers or planned shots."""
    question, stated = scope.question, held(sitting.support)
    if question.support is not None and stated is not None and stated != question.support:
        return False
    if sitting.keepers:
        return True
    if sitting.apart:
        return False
    return (sitting.trip_id, sitting.viewpoint_id, sitting.on_date) in planned_on


def visit_value(scope: Scope, sitting: Sitting, planned: Callable[[], Iterable[Value]]) -> Value:
    """Return whose tries a visit's are: stated, else its pictures', else planned there; or SEVERAL."""
    stated = held(sitting.support)
    if sitting.apart and (stated is None or stated != scope.question.support):
        return SEVERAL  # its tries were also of something that was not asked for
    if scope.question.by is By.SUPPORT and stated:
        return stated
    known = set(sitting.values) if sitting.values else set(planned())
    known.discard(None)
    if len(known) > 1:
        return SEVERAL
    return known.pop() if known else None


def _as_asked(scope: Scope, support: str | None, technique: str | None) -> bool:
    question = scope.question
    if question.support is not None and support != question.support:
        return False
    return question.technique is None or question.technique.casefold() in (technique or "").casefold()
