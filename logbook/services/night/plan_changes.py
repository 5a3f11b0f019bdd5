"""What changes an evening's plan after it was begun: keepers that came in late, stays that are cut or joined.

Surprising decisions: late keepers never change what the evening asked before; one of a known stay is a
group of its own there, and only what nobody was asked about yet becomes a new stay. What has been answered
about a stay that is cut stays with its earlier part; only its times and tries, which the cut changes, are
asked about again.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from logbook.domain.day import day_of as day_of_moment
from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper, place_time_of
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.domain.written.moments import clock_text
from logbook.services.accounts import account_in, day_of
from logbook.services.clocks.zones import in_its_zone
from logbook.services.night.cutting import Correction, Cut, DayStays, Join, correction_of_stays, part_of
from logbook.services.night.evening import Evening, put, said
from logbook.services.night.plan import plan_night
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit, begin_of
from logbook.services.visits.cuts import join, split
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


def corrections_of(text: str) -> tuple[Cut | Join, ...]:
    """Return what the lines of an answer put right about stays; nothing where one is about something else."""
    said = [correction_of_stays(line) for line in text.splitlines()]
    return tuple(one for one in said if one is not None) if None not in said else ()


def corrected(evening: Evening, plan: NightPlan, said: Sequence[Correction]) -> NightPlan:
    """Return the plan with stays cut and joined; visits that the book has are cut and joined with them."""
    account = in_its_zone(evening.desk, account_in(evening.desk, evening.trip))
    keepers = {keeper.id: keeper for keeper in account.keepers}
    for one in said:
        stays = DayStays(plan, account, keepers, evening.on_date)
        meant = stays.meant(one)
        plan = _cut(evening, stays, meant) if isinstance(meant, Cut) else _stays_joined(evening, stays, meant)
    return plan


def _cut(evening: Evening, stays: DayStays, said: Cut) -> NightPlan:
    plan = stays.cut(said)
    visit = evening.desk.visits.get(plan.visits[said.number - 1].id)
    if visit is None:
        return plan
    if not stays.is_told_by_minute(said):
        raise WrongUseError(
            f"{visit.slug} is in the book, which tells stays apart by the minute; pictures on both sides of "
            f"this cut were taken at {clock_text(said.at)}, so they remain one stay."
        )
    _, later = split(evening.desk, visit, said.at, evening.now, may_end_there=said.late is not None)
    there = evening.desk.viewpoints.get(visit.viewpoint_id)
    assert there is not None
    known = {visit.id, later.id}
    parted = stays.cut(said, later.id)
    visits = (replace(one, viewpoint=there.slug) if one.id in known else one for one in parted.visits)
    return replace(parted, visits=tuple(visits))


def _stays_joined(evening: Evening, stays: DayStays, said: Join) -> NightPlan:
    plan = stays.join(said)
    both = stays.plan.visits[said.number - 1 : said.number + 1]
    known = [visit for one in both if (visit := evening.desk.visits.get(one.id))]
    if len(known) == 2:
        return stays.join(said, join(evening.desk, known[0], known[1], evening.now).id)
    return stays.join(said, known[0].id) if known else plan
