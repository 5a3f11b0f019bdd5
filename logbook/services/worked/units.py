"""Keepers, visits and shots, each with its approach: what is counted, before it is counted.

One surprising decision: the tries of a visit belong to an approach only where a person said so, or where all
its pictures agree. Otherwise no row may claim them.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from functools import lru_cache

from logbook.domain.belonging import Spell, closed, spell_of, visit_at
from logbook.domain.words import ConditionKind, SetKind
from logbook.services.worked.approaches import (
    Levels,
    Value,
    held,
    of_keeper,
    of_plan,
)
from logbook.services.worked.question import By
from logbook.services.worked.scope import Scope
from logbook.store import comparisons
from logbook.store.comparisons import KeeperLine, ShotLine, VisitLine
from logbook.store.desk import Desk

SEVERAL = "several"
DayKey = tuple[str, str, str]  # trip id, viewpoint id, date


@dataclass(slots=True)
class Sitting:
    """A visit while it is being filled: its keepers by approach.

    `apart` counts its keepers that are not what was asked for.
    """

    visit: VisitLine
    values: list[Value] = field(default_factory=list)
    keepers: list[KeeperLine] = field(default_factory=list)
    apart: int = 0
    is_asked: bool = True  # whether what was observed was as asked


@dataclass(frozen=True, slots=True)
class Units:
    """Everything in scope with its approach."""

    keepers: Mapping[Value, list[KeeperLine]]
    sittings: list[Sitting]
    shots: list[tuple[ShotLine, Value]]


def units(desk: Desk, scope: Scope) -> Units:
    """Return keepers, visits and shots of a scope, each with its approach."""
    question = scope.question
    alone = question.by is By.REASON and question.support is None  # shots count, no picture does
    ends = comparisons.day_ends(desk)
    by_kind = [question.by] if isinstance(question.by, ConditionKind) else []
    noted = {kind: Levels(desk, scope, kind) for kind in (*question.levels, *by_kind)}

    def as_met(*where: str) -> bool:
        """Whether levels were as asked at a viewpoint on a day, or on a visit of that day."""
        return all(level in noted[kind].all_on(*where) for kind, level in question.levels.items())

    shots = {
        shot.id: shot
        for shot in comparisons.shots(desk, scope.viewpoint_ids)
        if shot.viewpoint_id in scope.site_of and as_met(shot.viewpoint_id or "", shot.on_date or "")
    }
    visits = [] if alone else comparisons.visits(desk)  # where one went next ends a visit, in scope or not
    spells = _spells(visits, ends)
    sittings = {
        visit.id: Sitting(visit, is_asked=as_met(visit.viewpoint_id, visit.on_date, visit.id))
        for visit in visits
        if visit.viewpoint_id in scope.site_of
    }
    second = _second_files(desk)
    conditional = bool(question.levels)
    asked = question.support is not None or question.technique is not None
    value_of = of_keeper(scope, noted, ends)
    kept: dict[Value, list[KeeperLine]] = defaultdict(list)
    of_shot: dict[str, list[Value]] = {}
    # One turn of this loop is paid for a hundred thousand times: it looks up and calls as little as it can.
    for keeper in () if alone else comparisons.keepers(desk, scope.viewpoint_ids):
        keeper_id, trip_id, viewpoint_id, shot_id, taken, support = keeper[:6]
        if viewpoint_id is None or viewpoint_id not in scope.site_of or keeper_id in second:
            continue
        day, sitting = "", None
        if taken:
            day = taken[:10] if taken[11:] >= ends[trip_id] else _day_before(taken[:10])
            there = spells.get((trip_id, viewpoint_id, day))
            if there and (owner := visit_at(datetime.fromisoformat(taken[:16]), there)):
                sitting = sittings.get(owner)
        if conditional and not (sitting.is_asked if sitting is not None else as_met(viewpoint_id, day)):
            continue
        if sitting is not None and (support is None or support == "unknown"):
            support = sitting.visit.support
        shot = shots.get(shot_id) if shot_id else None
        if asked and not _as_asked(scope, support, shot.technique if shot else None):
            if sitting is not None:
                sitting.apart += 1
            continue
        value = value_of(keeper, support, shot, day, sitting.visit.id if sitting is not None else None)
        kept[value].append(keeper)
        if shot is not None:
            of_shot.setdefault(shot.id, []).append(value)
        if sitting is not None:
            sitting.values.append(value)
            sitting.keepers.append(keeper)
    planned = of_plan(scope, noted, ends)
    told = [
        (shot, common(of_shot.get(shot.id, ())) or planned(shot))
        for shot in shots.values()
        if not asked or shot.id in of_shot or _as_asked(scope, held(shot.support), shot.technique)
    ]
    everyone = [
        one for one in sittings.values() if one.is_asked and (not asked or _asked_of(scope, one, told))
    ]
    return Units(kept, everyone, told)


def _asked_of(scope: Scope, sitting: Sitting, told: Sequence[tuple[ShotLine, Value]]) -> bool:
    """Whether a visit has to do with what was asked: by stated support, keepers or planned shots."""
    visit, question = sitting.visit, scope.question
    stated = held(visit.support)
    if question.support is not None and stated is not None and stated != question.support:
        return False
    if sitting.keepers:
        return True
    if sitting.apart:
        return False
    return any(
        shot.trip_id == visit.trip_id
        and shot.viewpoint_id == visit.viewpoint_id
        and shot.on_date == visit.on_date
        for shot, _ in told
    )


def common(values: Iterable[Value]) -> Value:
    """Return the one value that all known ones share, or None where they differ or none is known."""
    known = {value for value in values if value is not None}
    return known.pop() if len(known) == 1 else None


def visit_value(scope: Scope, sitting: Sitting, planned: Iterable[Value]) -> Value:
    """Return whose tries a visit's are: stated, else its pictures', else planned there; or SEVERAL."""
    stated = held(sitting.visit.support)
    if sitting.apart and (stated is None or stated != scope.question.support):
        return SEVERAL  # its tries were also of something that was not asked for
    if scope.question.by is By.SUPPORT and stated:
        return stated
    known = {value for value in sitting.values if value is not None}
    if not known and not sitting.values:
        known = {value for value in planned if value is not None}
    if len(known) > 1:
        return SEVERAL
    return known.pop() if known else None


def _as_asked(scope: Scope, support: str | None, technique: str | None) -> bool:
    question = scope.question
    if question.support is not None and support != question.support:
        return False
    return question.technique is None or question.technique.casefold() in (technique or "").casefold()


def _second_files(desk: Desk) -> set[str]:
    """Keepers that are the second file of a frame already counted."""
    return {
        keeper_id
        for members in comparisons.members_of_sets(desk, SetKind.PAIR)
        for keeper_id in json.loads(members)[1:]
    }


@lru_cache(maxsize=4096)
def _day_before(day: str) -> str:
    return date.fromordinal(max(date.fromisoformat(day).toordinal() - 1, 1)).isoformat()


def _spells(visits: Iterable[VisitLine], ends: Mapping[str, str]) -> dict[DayKey, list[Spell]]:
    """From when to when each visit lasted, by trip, viewpoint and day."""
    by_day: dict[tuple[str, str], list[VisitLine]] = defaultdict(list)
    for visit in visits:
        by_day[visit.trip_id, visit.on_date].append(visit)
    found: dict[DayKey, list[Spell]] = defaultdict(list)
    for (trip_id, on_date), of_day in by_day.items():
        day, ends_at = date.fromisoformat(on_date), time.fromisoformat(ends[trip_id])
        spells = [
            spell_of(one.id, day, _clock(one.arrived_at), _clock(one.departed_at), ends_at) for one in of_day
        ]
        for visit, spell in zip(of_day, closed(spells, day, ends_at), strict=True):
            found[trip_id, visit.viewpoint_id, on_date].append(spell)
    return found


def _clock(at: str | None) -> time | None:
    return time.fromisoformat(at) if at else None
