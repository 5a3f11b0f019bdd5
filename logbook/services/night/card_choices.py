"""What is offered to choose from beside a question of an evening: places, filters, levels, reasons.

One surprising decision: an offer is never a proposal. It saves typing, and only whoever presses it takes it.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from math import inf

from logbook.craft.sphere import distance_m, unit
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import Position
from logbook.domain.shot import Shot
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import ConditionKind, OutcomeWord
from logbook.domain.written.conditions import LEVELLED, written_condition
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.filters import stack_words
from logbook.domain.written.observations import seen_at_stay
from logbook.services.night.planned import PlannedGroup
from logbook.store.desk import Desk

MOST_PLACES = 9
MOST_FILTERS = 8


def ready_levels(kind: ConditionKind, text: str) -> tuple[tuple[str, bool], ...]:
    """Return the levels of a kind from little to much, and whether a text says each.

    None is to choose where the text says when there was one: a level of the whole stay would contradict it.
    """
    said = [entry for _, entries in _lines_said(text) for entry in _levels_of(kind, entries)]
    if any(entry.at is not None for entry in said):
        return ()
    return tuple((level, level in {entry.level for entry in said}) for level in KINDS[kind].levels)


def with_level(text: str, kind: ConditionKind, level: str) -> str:
    """Return lines with a level in place of the one of its kind that they said; its direction stays.

    Raises InvalidValueError where they say when there was one, or more about it than that.
    """
    lines, direction = [], None
    for line, entries in _lines_said(text):
        said = _levels_of(kind, entries)
        if any(entry.at is not None for entry in said):
            raise InvalidValueError(
                f'"{line}" already gives a time; change that line, or add one with another time.'
            )
        if any(len(entries) > 1 or entry.note or entry.source for entry in said):
            raise InvalidValueError(f'"{line}" gives more than a level; change that line instead.')
        direction = next((entry.direction for entry in said), direction)
        if not said:
            lines.append(line)
    return "\n".join([*lines, written_condition(ConditionEntry(kind, level, direction=direction))])


def _lines_said(text: str) -> Iterator[tuple[str, list[ConditionEntry]]]:
    """Yield each line or part of a text with what it says."""
    for part in filter(None, map(str.strip, re.split(r"[;\n]", text))):
        yield part, [entry for one in seen_at_stay(part) for entry in one.conditions]


def _levels_of(kind: ConditionKind, entries: Iterable[ConditionEntry]) -> list[ConditionEntry]:
    return [one for one in entries if one.kind is kind and one.level is not None]


def ready_kinds(asked_apart: Iterable[ConditionKind]) -> tuple[ConditionKind, ...]:
    """Return the kinds with levels to choose from, without those that have a question of their own."""
    return tuple(kind for kind in LEVELLED if kind not in set(asked_apart))


def filter_choices(
    group: PlannedGroup | None, packed: Sequence[str], shots: Iterable[Shot]
) -> tuple[str, ...]:
    """Return what may have been before the lens: what explains the light, none, what was planned, the kit."""
    explained = [stack_words(one.filters) for one in group.explanations] if group else []
    known = dict.fromkeys([stack_words(()), *(stack_words(one.filters) for one in shots if one.filters)])
    likely = explained[: max(1, MOST_FILTERS - len(known))]  # however many explain the light
    return tuple(dict.fromkeys((*likely, *known, *packed)))[:MOST_FILTERS]


def place_choices(
    viewpoints: Iterable[Viewpoint], guess: str | None, planned: Collection[str], here: Position | None
) -> tuple[str, ...]:
    """Return viewpoints for a stay: the one guessed, near ones, those whose ids plans of the day name."""

    stand = unit(here.latitude_deg, here.longitude_deg) if here else None

    def rank(one: Viewpoint) -> tuple[bool, float, bool, str]:
        at = one.position
        far_m = distance_m(stand, unit(at.latitude_deg, at.longitude_deg)) if stand and at else inf
        return one.slug != guess, far_m, one.id not in planned, one.title

    return tuple(one.slug for one in sorted(viewpoints, key=rank)[:MOST_PLACES])


def barriers_of(desk: Desk, trip_id: str, on_date: date) -> tuple[Condition, ...]:
    """Return what barred the way on a day of a trip."""
    seen = desk.conditions.all(trip_id=trip_id, on_date=on_date)
    return tuple(one for one in seen if KINDS[one.kind].is_barrier)


def offered_outcome(shot: Shot, barriers: Sequence[Condition], site_id: str | None) -> str:
    """Return the outcome that a barrier at a shot's place, or at no named place, explains; else ""."""
    for one in barriers:
        is_here = one.viewpoint_id == shot.viewpoint_id or (
            one.site_id is not None and one.site_id == site_id
        )
        if is_here or (one.viewpoint_id is None and one.site_id is None):
            return f"{OutcomeWord.MISSED}, {KINDS[one.kind].reason}"
    return ""
