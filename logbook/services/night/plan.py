"""The plan of a night: visits, groups of keepers and shots of one day, with all that is proposed for them.

One surprising decision: frames that nothing places but the plans join the visit beside them to just that
viewpoint.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, tzinfo

from logbook.craft.inference.frames import tries_from_numbers
from logbook.craft.matching import MatchKind
from logbook.craft.stays import LONGEST_PAUSE_S, ProposedVisit
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import OutcomeWord, Provenance, Support, TripodRule
from logbook.services.accounts import account_in, day_of
from logbook.services.clocks.proposed import Righted, righted
from logbook.services.clocks.zones import in_its_zone
from logbook.services.keepers.bare_lens import doubted_without_filter
from logbook.services.keepers.proposals import Proposals, frames_of, proposals_in, zone_of_stay
from logbook.services.night.frames_told import counted_frames, plan_of, settings_of
from logbook.services.night.grouping import groups_of, id_of_stay, local_minute, minutes_between, stays_of
from logbook.services.night.planned import NightPlan, PlannedVisit, begin_of
from logbook.store.desk import Desk

JudgedDay = tuple[TripAccount, Righted]  # a trip in its zone, and a day of it put right by its clocks


def judged_day(desk: Desk, trip: Trip, on_date: date, now: datetime) -> JudgedDay:
    """Return what both the questions about clocks and the plan of a day go by."""
    account = in_its_zone(desk, account_in(desk, trip))
    return account, righted(desk, account, on_date, now)


def plan_night(
    desk: Desk, trip: Trip, on_date: date, now: datetime, judged: JudgedDay | None = None
) -> NightPlan:
    """Work out what a night asks about one day, from what its clocks were judged by; nothing is stored."""
    account, day = judged or judged_day(desk, trip, on_date, now)
    found = proposals_in(desk, account, on_date, now, with_clocks=False, day=day)
    doubts = {one.keeper_id: one.reason for one in doubted_without_filter(account, found.keepers)}
    return plan_from(account, found, on_date, doubts)


def plan_from(
    account: TripAccount, found: Proposals, on_date: date, doubts: Mapping[str, str] | None = None
) -> NightPlan:
    """Return the plan of one day from what was worked out about it.

    `doubts` says of keepers, by id, why they can hardly have been made without a filter.
    """
    groups = groups_of(found, account, doubts or {})
    by_keeper = {keeper_id: index for index, group in enumerate(groups) for keeper_id in group.keeper_ids}
    visits = _visits(found, account, on_date)
    taken: set[int] = set()
    planned = []
    for visit, keeper_ids in visits:
        own = sorted({by_keeper[keeper_id] for keeper_id in keeper_ids if keeper_id in by_keeper} - taken)
        taken |= set(own)
        with_groups = replace(visit, groups=tuple(groups[index] for index in own))
        planned.append((guessed(with_groups, account), keeper_ids))
    others = tuple(group for index, group in enumerate(groups) if index not in taken)
    shots = tuple(
        shot.slug
        for shot in account.shots
        if shot.on_date == on_date
        and (shot.id not in account.outcomes or account.outcomes[shot.id].word is OutcomeWord.OPEN)
    )
    counted = [
        with_frames(visit, [keeper for keeper in found.keepers if keeper.id in keeper_ids])
        for visit, keeper_ids in _going_on(planned)
    ]
    places = {one.id: one.slug for one in account.viewpoints.values()}
    plans = {
        shot.slug: plan_of(shot, places.get(shot.viewpoint_id or ""))
        for shot in account.shots
        if shot.slug in shots
    }
    return NightPlan(_carried(counted, account, on_date), others, shots, found.filters.notes, plans)


def guessed(visit: PlannedVisit, account: TripAccount) -> PlannedVisit:
    """Name the viewpoint, and the support, that the plans matched to a visit's keepers agree on."""
    matched = {group.shot_said or group.shot for group in visit.groups if group.shot_kind == MatchKind.SHOT}
    shots = [shot for shot in account.shots if shot.slug in matched]
    places = {shot.viewpoint_id for shot in shots if shot.viewpoint_id}
    supports = {shot.support for shot in shots if shot.support}
    if visit.viewpoint is None and len(places) == 1:
        visit = replace(visit, guess=account.viewpoints[places.pop()].slug)
    if visit.support is None and len(supports) == 1:
        visit = replace(visit, support=str(supports.pop()), support_from="as planned")
    return visit


_Placed = tuple[PlannedVisit, frozenset[str]]  # a visit and the ids of its keepers


def _going_on(visits: Sequence[_Placed]) -> Iterator[_Placed]:
    """Frames that nothing places but the plans, next to a visit at just that viewpoint, are part of it."""
    visit: PlannedVisit | None = None
    ids: frozenset[str] = frozenset()
    for following, its_ids in visits:
        if visit is not None and _goes_on(visit, following):
            known, guessed = (visit, following) if visit.viewpoint else (following, visit)
            visit = replace(
                known,
                arrived=known.arrived if "arrived_at" in known.stated else visit.arrived,
                departed=known.departed if "departed_at" in known.stated else following.departed,
                reason=f"{known.reason}; {_more(guessed)} placed here only by the plans",
                groups=(*visit.groups, *following.groups),
                support=known.support or guessed.support,
                support_from=known.support_from if known.support else guessed.support_from,
            )
            ids |= its_ids
            continue
        if visit is not None:
            yield visit, ids
        visit, ids = following, its_ids
    if visit is not None:
        yield visit, ids


def _more(guessed: PlannedVisit) -> str:
    count = sum(len(group.keeper_ids) for group in guessed.groups)
    return f"{count} more frame{'s' if count > 1 else ''}"


def _goes_on(visit: PlannedVisit, following: PlannedVisit) -> bool:
    known, guessed = (visit, following) if visit.viewpoint else (following, visit)
    times = (visit.arrived, visit.departed, following.arrived)
    if guessed.viewpoint is not None or guessed.guess != known.viewpoint or None in times:
        return False
    arrived, departed, next_arrived = (time.fromisoformat(at or "") for at in times)
    pause_min = minutes_between(arrived, next_arrived) - minutes_between(arrived, departed)
    return pause_min * 60 <= LONGEST_PAUSE_S


def with_frames(visit: PlannedVisit, keepers: Sequence[Keeper]) -> PlannedVisit:
    """Return a visit with what its frames tell: how many, when and how made, how often one tried."""
    if keepers:
        told = f"{counted_frames(len(keepers))}: {settings_of(keepers)}"
        visit = replace(visit, settings=told)
    if visit.tries is not None and ("tries" in visit.stated or not keepers):
        return visit
    tries = tries_from_numbers(frames_of(keepers))
    return replace(visit, tries=tries.count, tries_reason=tries.reason)


def _carried(visits: list[PlannedVisit], account: TripAccount, on_date: date) -> tuple[PlannedVisit, ...]:
    """Carry the support forward: what held the camera last is assumed to hold it still."""
    before = (k for k in reversed(account.keepers) if (day_of(k, account.trip) or on_date) < on_date)
    last = next((str(keeper.support) for keeper in before if keeper.support is not None), None)
    rules = {viewpoint.slug: viewpoint.tripod_rule for viewpoint in account.viewpoints.values()}
    result = []
    for visit in visits:
        support = visit.support or last
        if (
            "support" not in visit.stated
            and support == Support.TRIPOD
            and rules.get(visit.viewpoint or visit.guess or "") is TripodRule.FORBIDDEN
        ):
            support = None
        where = visit.support_from if visit.support == support else "carried forward"
        result.append(replace(visit, support=support, support_from=where))
        last = support or last
    return tuple(result)


def _visits(found: Proposals, account: TripAccount, on_date: date) -> list[_Placed]:
    """Join the visits that the book has with those that frames and track propose."""
    slugs = {viewpoint.id: viewpoint.slug for viewpoint in account.viewpoints.values()}
    left = list(found.visits)
    result: list[_Placed] = []
    in_book = [one for one in account.visits if one.on_date == on_date]
    for visit in in_book:
        slug, zone = slugs[visit.viewpoint_id], account.zone_on(on_date, visit.viewpoint_id)
        there = [one for one in in_book if one.viewpoint_id == visit.viewpoint_id]
        stays = [one for one in found.visits if one.spot == slug and one.visit is None]
        same = [one for one in found.visits if one.visit == visit.id]  # a stated time claims its frames
        same += stays_of(visit, there, stays, account.trip, zone)
        left = [one for one in left if one not in same]
        frames = frozenset(key for one in same for key in one.frames)
        result.append((visit_in_book(visit, slug, same, zone), frames))
    known = {visit.id for visit in account.visits}
    for one in left:
        zone = zone_of_stay(one, found.keepers, account, on_date)
        planned = PlannedVisit(
            id_of_stay(one, account.trip, on_date, known | {visit.id for visit, _ in result}),
            one.spot,
            _clock(one.arrived, zone),
            _clock(one.departed, zone),
            _reason(one, zone),
            (),
            None,
            None,
            "",
            (),
        )
        result.append((planned, frozenset(one.frames)))

    return sorted(result, key=lambda pair: begin_of(pair[0], on_date, account.trip.day_ends_at))


def _reason(one: ProposedVisit, zone: tzinfo | None) -> str:
    """Why a visit is proposed, and where it may be two."""
    doubts = [
        f"perhaps two stays from {_clock(each.arrived, zone)} on ({each.reason})" for each in one.doubtful
    ]
    return "; ".join([one.reason, *doubts])


def visit_in_book(
    visit: Visit, slug: str, same: Sequence[ProposedVisit] = (), zone: tzinfo | None = None
) -> PlannedVisit:
    """A visit that the book has; times that nobody stated are proposed from the frames and the track."""
    names = ("arrived_at", "departed_at", "support", "tries")
    stated = tuple(name for name in names if visit.provenance_of(name) is Provenance.STATED)
    arrived, departed = (
        at.isoformat("minutes") if at else None for at in (visit.arrived_at, visit.departed_at)
    )
    reason = "in the book"
    if same and "arrived_at" not in stated:
        arrived, reason = _clock(min(one.arrived for one in same), zone), same[0].reason
    if same and "departed_at" not in stated:
        departed, reason = _clock(max(one.departed for one in same), zone), same[0].reason
    support = str(visit.support) if visit.support else None
    return PlannedVisit(
        visit.id,
        slug,
        arrived,
        departed,
        reason,
        stated,
        support,
        visit.tries,
        "in the book",
        (),
        support_from="in the book",
    )


def _clock(instant: datetime, zone: tzinfo | None) -> str:
    return local_minute(instant, zone).time().isoformat("minutes")
