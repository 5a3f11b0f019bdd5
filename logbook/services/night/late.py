"""Keepers that came in after an evening was begun: they join its plan and are asked about by themselves.

One surprising decision: they never change what the evening asked before; a late keeper of a known stay is a
group of its own there, and only what nobody was asked about yet becomes a new stay.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from logbook.domain.day import day_of as day_of_moment
from logbook.domain.keeper import Keeper, place_time_of
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.accounts import day_of
from logbook.services.night.cutting import part_of
from logbook.services.night.evening import Evening, put, said
from logbook.services.night.plan import plan_night
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit, begin_of
from logbook.store.desk import Desk


def with_late(desk: Desk, trip: Trip, on_date: date, plan: NightPlan, now: datetime) -> NightPlan:
    """Return the plan of a day with the keepers that it does not know yet; itself where there are none."""
    known = {one for group in plan.groups for one in group.keeper_ids}
    late = _ids_of_day(desk, trip, on_date) - known
    if not late:
        return plan
    of_day = {one.id: one for one in desk.keepers.held(trip_id=trip.id) if day_of(one, trip) == on_date}
    fresh = plan_night(desk, trip, on_date, now)
    joined = plan
    for visit in fresh.visits:
        groups = tuple(_late_parts(visit.groups, of_day, late))
        if groups:
            joined = _joined(joined, visit, groups, lambda one: begin_of(one, on_date, trip.day_ends_at))
    return replace(joined, others=(*joined.others, *_late_parts(fresh.others, of_day, late)))


def _ids_of_day(desk: Desk, trip: Trip, on_date: date) -> set[str]:
    """Return the ids of a day's keepers; of a trip of thousands none is read whole for that."""
    rows = desk.keepers.columns("id", "taken_utc", "zone", "taken_local", trip_id=trip.id)
    times = ((keeper_id, place_time_of(*time)) for keeper_id, *time in rows)
    return {one for one, at in times if at is not None and day_of_moment(at, trip.day_ends_at) == on_date}


def _late_parts(
    groups: Sequence[PlannedGroup], of_day: Mapping[str, Keeper], late: Collection[str]
) -> Iterator[PlannedGroup]:
    several = len({one.body for one in of_day.values()}) > 1
    for group in groups:
        part = [of_day[one] for one in group.keeper_ids if one in late]
        if part:
            yield replace(part_of(group, part, with_body=several), is_late=True)


def _same_stay(visits: Sequence[PlannedVisit], visit: PlannedVisit) -> int | None:
    """Return which stay of a plan is one that was worked out again: that with most of its keepers."""
    ids = {one for group in visit.groups for one in group.keeper_ids}
    shared = [len(ids & {one for group in each.groups for one in group.keeper_ids}) for each in visits]
    if any(shared):
        return shared.index(max(shared))
    return next((at for at, each in enumerate(visits) if each.id == visit.id), None)


def _joined(
    plan: NightPlan,
    visit: PlannedVisit,
    groups: tuple[PlannedGroup, ...],
    when: Callable[[PlannedVisit], tuple[bool, datetime]],
) -> NightPlan:
    """Return a plan with late groups at the stay that theirs is, or with a new stay in its order."""
    visits = list(plan.visits)
    at = _same_stay(visits, visit)
    if at is not None:
        visits[at] = replace(visits[at], groups=(*visits[at].groups, *groups))
    else:
        visits = sorted([*visits, replace(visit, groups=groups)], key=when)
    return replace(plan, visits=tuple(visits))


def place_late(evening: Evening) -> None:
    """Late keepers of a stay that the book has were made there, with what held the camera: so it is taken."""
    for planned in evening.visits.values():
        visit = evening.desk.visits.get(planned.id)
        late = [one for group in planned.groups if group.is_late for one in group.keeper_ids]
        for keeper in filter(None, map(evening.desk.keepers.get, late if visit else ())):
            assert visit is not None
            changes: dict[str, object] = {}
            if keeper.viewpoint_id is None:
                changes["viewpoint_id"] = visit.viewpoint_id
            if keeper.support is None and visit.support is not None:
                changes["support"] = visit.support
            put(evening.desk.keepers, keeper, said(keeper, evening.now, Provenance.INFERRED, changes))
