"""Which approach a picture or a plan followed: what held the camera, its filters, its light, what was met.

One surprising decision: unknown is an approach of its own and is never counted with another.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import NamedTuple

from logbook.domain.dates import counts
from logbook.domain.day import moment_on
from logbook.domain.words import ConditionKind, Support
from logbook.services.alike.gather import posix_s
from logbook.services.worked.question import By
from logbook.services.worked.scope import Scope
from logbook.sky.phases import phase_at
from logbook.sky.rough import rough_sun
from logbook.store import comparisons
from logbook.store.comparisons import KeeperLine, ShotLine
from logbook.store.desk import Desk

NEAR = timedelta(hours=1)  # between a picture and a level that was noted (own convention)
NO_FILTER = "no filter"
Value = str | None


class Noted(NamedTuple):
    """A level that was noted, when, and on which visit, where that is known."""

    at: str | None
    level: str
    visit_id: str | None

    def holds_on(self, visit_id: str | None) -> bool:
        """Whether it may hold on a visit: where it names one, on that alone; None is outside all visits."""
        return self.visit_id in (None, visit_id) or (visit_id is None and self.at is not None)


class Levels:
    """Levels of one kind of condition, by place and day."""

    def __init__(self, desk: Desk, scope: Scope, kind: ConditionKind) -> None:
        self.at: dict[tuple[str, str], list[Noted]] = defaultdict(list)
        self.site_of = scope.site_of
        for one in comparisons.seen(desk, (kind,), scope.site_ids):
            place = one.viewpoint_id or one.site_id or ""
            self.at[place, one.on_date].append(Noted(one.at, one.level, one.visit_id))

    def all_on(self, viewpoint_id: str, day: str, visit_id: str | None = None) -> set[str]:
        """Every level noted at a viewpoint or its site on a day; none of other visits than a named one."""
        places = (viewpoint_id, self.site_of.get(viewpoint_id, ""))
        noted = (one for place in places for one in self.at.get((place, day), ()))
        return {one.level for one in noted if visit_id is None or one.holds_on(visit_id)}

    def nearest(
        self, viewpoint_id: str, day: str, local: datetime | None, day_ends_at: str, visit_id: str | None
    ) -> Value:
        """The level noted nearest in time, or None where none was noted within an hour."""
        found = self.at.get((viewpoint_id, day)) or self.at.get((self.site_of.get(viewpoint_id, ""), day))
        holding = [one for one in found or () if one.holds_on(visit_id)]
        timed = [
            (abs(noted_at(day, one.at, day_ends_at) - local), one.level)
            for one in holding
            if one.at is not None and local is not None
        ]
        near = min(timed, default=None)
        if near and near[0] <= NEAR:
            return near[1]
        whole = {one.level for one in holding if one.at is None}
        return whole.pop() if len(whole) == 1 else None


def of_keeper(
    scope: Scope, noted: Mapping[ConditionKind, Levels], ends: Mapping[str, str]
) -> Callable[[KeeperLine, str | None, ShotLine | None, str, str | None], Value]:
    """Return how a keeper's approach is told from it, its support, its shot, its day and its visit's id.

    `noted` has the levels of the kind of condition that it is told by; `ends` is when the days of each trip
    end, by its id.
    """
    by = scope.question.by
    if by is By.SUPPORT:
        return lambda _keeper, support, _shot, _day, _visit: held(support)
    if by is By.FILTERS:
        return lambda keeper, _support, _shot, _day, _visit: stack_name(keeper.filters)
    if by is By.TECHNIQUE:
        return lambda _keeper, _support, shot, _day, _visit: shot.technique if shot else None
    if isinstance(by, ConditionKind):
        levels = noted[by]
        return lambda keeper, _support, _shot, day, visit_id: levels.nearest(
            keeper.viewpoint_id or "",
            day,
            datetime.fromisoformat(keeper.place_time[:16]) if keeper.place_time else None,
            ends[keeper.trip_id],
            visit_id,
        )
    if by is By.PHASE:
        return lambda keeper, _support, _shot, _day, _visit: phase_of(
            scope, keeper.viewpoint_id or "", keeper.place_time
        )
    return lambda _keeper, _support, _shot, _day, _visit: None


def of_plan(
    scope: Scope, noted: Mapping[ConditionKind, Levels], ends: Mapping[str, str]
) -> Callable[[ShotLine], Value]:
    """Return how a planned shot's approach is told from the plan alone."""
    by = scope.question.by
    if by is By.SUPPORT:
        return lambda shot: held(shot.support)
    if by is By.FILTERS:
        return lambda shot: stack_name(shot.filters)
    if by is By.TECHNIQUE:
        return lambda shot: shot.technique
    if isinstance(by, ConditionKind):
        levels = noted[by]
        return lambda shot: levels.nearest(
            shot.viewpoint_id or "", shot.on_date or "", _begins(shot, ends), ends[shot.trip_id], None
        )
    if by is By.PHASE:
        return lambda shot: phase_of(
            scope,
            shot.viewpoint_id or "",
            begins.isoformat() if (begins := _begins(shot, ends)) else None,
        )
    return lambda _shot: None


def _begins(shot: ShotLine, ends: Mapping[str, str]) -> datetime | None:
    if shot.on_date is None or shot.window_from is None:
        return None
    return noted_at(shot.on_date, shot.window_from, ends[shot.trip_id])


@lru_cache(maxsize=4096)
def noted_at(day: str, at: str, day_ends_at: str) -> datetime:
    """Return the local moment of a time that was noted on a day of a trip."""
    return moment_on(date.fromisoformat(day), time.fromisoformat(at), time.fromisoformat(day_ends_at))


def phase_of(scope: Scope, viewpoint_id: str, local: str | None) -> Value:
    """Return the kind of light at a viewpoint at a local moment, or None where place or time is unknown."""
    place = scope.places.get(viewpoint_id)
    if place is None or not local or not counts(date.fromisoformat(local[:10]), scope.last_day):
        return None
    latitude_deg, longitude_deg, zone = place
    sun = rough_sun(latitude_deg, longitude_deg, posix_s(local, zone))
    return str(phase_at(sun.altitude_deg))


@lru_cache(maxsize=4096)
def stack_name(listed: str | None) -> Value:
    """Return filters as one name, whatever their order: `nd8 + pol`, `no filter`; None is unknown."""
    if listed is None:
        return None
    return " + ".join(sorted(json.loads(listed))) or NO_FILTER


def held(support: str | None) -> str | None:
    """Return what held the camera; a support that is unknown is None."""
    return None if support == Support.UNKNOWN else support
