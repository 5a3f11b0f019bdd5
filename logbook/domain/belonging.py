"""Which visit a moment, a picture or an observation belongs to, and about which shots an observation decided.

Every count, page, draft, export and evening asks here. Surprising decisions: a visit that contains a picture
goes before one that ended minutes ago, and a visit of which nobody knows the times gets only what no other
one claims. Where a viewpoint was visited several times on a day, an observation of which neither visit nor
time is known is of that place and day, and of no visit. What a reason may speak of is looked for in order,
and the first kind that was met where the shot was due is the one that counts: of weather the wind alone where
no other weather was noted.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import day_of, moment_on, window_on
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, OutcomeWord, Reason

SLACK = timedelta(minutes=15)  # before arrival and after departure that still belong; own convention


@dataclass(frozen=True, slots=True)
class Spell:
    """From when to when a visit lasted: local moments of whole minutes, None where nobody knows."""

    visit: str
    arrived: datetime | None
    departed: datetime | None

    def overlaps(self, other: "Spell") -> bool:
        """Whether two visits certainly share time; one of which only an end is known lasts a moment."""
        first, last = self.arrived or self.departed, self.departed or self.arrived
        begin, end = other.arrived or other.departed, other.departed or other.arrived
        if first is None or last is None or begin is None or end is None:
            return False
        return first < end and begin < last


@lru_cache(maxsize=8192)  # every heading of a long day is held against those above it
def spell_of(
    visit: str, on_date: date, arrived_at: time | None, departed_at: time | None, day_ends_at: time
) -> Spell:
    """Return when a visit lasted, by the clock times that were noted of it on a photographer's day."""
    arrived, departed = (
        at and at.replace(second=0, microsecond=0)
        for at in window_on(on_date, arrived_at, departed_at, day_ends_at)
    )
    return Spell(visit, arrived, departed)


def spells_of(visits: Iterable[Visit], day_ends_at: time) -> list[Spell]:
    """Return when some visits of one day lasted."""
    return [spell_of(one.id, one.on_date, one.arrived_at, one.departed_at, day_ends_at) for one in visits]


def closed(spells: Iterable[Spell], on_date: date, day_ends_at: time) -> list[Spell]:
    """Return the spells of one day, each open end closed where the next visit begins, or with the day."""
    spells = list(spells)
    begin = moment_on(on_date, day_ends_at, day_ends_at)
    end = begin + timedelta(days=1) if begin.date() < date.max else datetime.combine(date.max, time.max)
    arrivals = sorted(one.arrived for one in spells if one.arrived is not None)
    departures = sorted(one.departed for one in spells if one.departed is not None)
    result = []
    for one in spells:
        arrived, departed = one.arrived, one.departed
        if arrived is not None and departed is None:
            departed = next((at for at in arrivals if at > arrived), end)
        elif departed is not None and arrived is None:
            arrived = next((at for at in reversed(departures) if at < departed), min(begin, departed))
        result.append(replace(one, arrived=arrived, departed=departed))
    return result


def visit_at(moment: datetime, spells: Sequence[Spell]) -> str | None:
    """Return which of the visits to one viewpoint on one day a local moment belongs to; `closed` made them.

    The shortest that contains it; else the nearest within `SLACK`; else the one whose times nobody knows.
    """
    minute = moment.replace(second=0, microsecond=0)
    best: tuple[int, timedelta, str] | None = None
    for one in spells:
        arrived, departed = one.arrived, one.departed
        if arrived is None or departed is None:
            found = 3, timedelta(0), one.visit
        elif arrived <= minute <= departed:  # the minute of leaving is the next visit's where that begins
            found = int(minute == departed), departed - arrived, one.visit
        elif (away := max(arrived - minute, minute - departed)) <= SLACK:
            found = 2, away, one.visit
        else:
            continue
        if best is None or found[:2] < best[:2]:
            best = found
    return best[2] if best else None


def visits_by_keeper(keepers: Iterable[Keeper], visits: Iterable[Visit], day_ends_at: time) -> dict[str, str]:
    """Return the id of the visit that each keeper of a trip belongs to; absent: none, or not known."""
    by_day: dict[date, list[Visit]] = {}
    for visit in visits:
        by_day.setdefault(visit.on_date, []).append(visit)
    there: dict[tuple[date, str], list[Spell]] = {}
    for on_date, of_day in by_day.items():
        for visit, spell in zip(
            of_day, closed(spells_of(of_day, day_ends_at), on_date, day_ends_at), strict=True
        ):
            there.setdefault((on_date, visit.viewpoint_id), []).append(spell)
    result = {}
    for keeper in keepers:
        taken = keeper.place_time
        if taken is not None and keeper.viewpoint_id is not None:
            spells = there.get((day_of(taken, day_ends_at), keeper.viewpoint_id), ())
            if visit_id := visit_at(taken, spells):
                result[keeper.id] = visit_id
    return result


def visit_meant(visit_id: str | None, at: datetime | None, spells: Sequence[Spell]) -> str | None:
    """Return which of the visits to a viewpoint on a day an observation there belongs to, by id.

    That is the one it names, else the only one, else the one that its time belongs to, else none. `spells`
    are as `closed` makes them.
    """
    if visit_id is not None:
        return visit_id
    if len(spells) == 1:
        return spells[0].visit
    return None if at is None else visit_at(at, spells)


def visits_meant(
    conditions: Iterable[Condition], there: Mapping[str, Sequence[Spell]], day_ends_at: time
) -> Iterator[tuple[Condition, str | None]]:
    """Yield a day's observations at some viewpoints, each with the id of its visit as `visit_meant` finds it.

    `there` has the spells by the viewpoint's id; a visit that is not among any of them counts as not named.
    """
    known = {spell.visit for spells in there.values() for spell in spells}
    found: dict[tuple[str, time | None], str | None] = {}  # a day has few minutes, if many lines
    for one in conditions:
        if one.viewpoint_id is None or one.viewpoint_id not in there:
            continue
        if one.visit_id in known:
            yield one, one.visit_id
            continue
        key = one.viewpoint_id, one.at and one.at.replace(second=0, microsecond=0)
        if key not in found:
            at = moment_on(one.on_date, one.at, day_ends_at) if one.at is not None else None
            found[key] = visit_meant(None, at, there[one.viewpoint_id])
        yield one, found[key]


def visit_seen_on(seen: Condition, visits: Iterable[Visit], day_ends_at: time) -> str | None:
    """Return the id of the visit that an observation belongs to; None where it is of its place and day.

    `visits` are those of its trip.
    """
    of_day = [one for one in visits if one.on_date == seen.on_date]
    there = {one.id for one in of_day if one.viewpoint_id == seen.viewpoint_id}
    spells = closed(spells_of(of_day, day_ends_at), seen.on_date, day_ends_at)
    at = moment_on(seen.on_date, seen.at, day_ends_at) if seen.at is not None else None
    return visit_meant(seen.visit_id, at, [one for one in spells if one.visit in there])


def seen_on(
    visit: Visit, conditions: Iterable[Condition], visits: Iterable[Visit], day_ends_at: time
) -> tuple[Condition, ...]:
    """Return the observations that are a visit's, in their order; `visits` are those of its trip."""
    known = tuple(visits)
    return tuple(one for one in conditions if visit_seen_on(one, known, day_ends_at) == visit.id)


_BORE_ON: dict[Reason, tuple[ConditionKind, ...]] = {
    reason: tuple(kind for kind, of in KINDS.items() if of.reason is reason) for reason in Reason
}


def decided(account: TripAccount, visit_by_keeper: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Return the ids of the shots that each observation decided about, by its id; others are absent.

    It was a reason for the shot, and was seen where and when the shot was due, or its pictures were made.
    """
    found: dict[str, tuple[str, ...]] = {}
    for shot in account.shots:
        met = [one for one in account.conditions if _meets(account, visit_by_keeper, shot, one)]
        kinds = _kinds(account, shot, {one.kind for one in met})
        for one in met:
            if one.kind in kinds:
                found[one.id] = (*found.get(one.id, ()), shot.id)
    return found


def _kinds(account: TripAccount, shot: Shot, met: set[ConditionKind]) -> set[ConditionKind]:
    """The kinds of observation that a shot's reasons speak of, of each the first that was made there."""
    outcome = account.outcomes.get(shot.id)
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return set()
    found = (next((kind for kind in _BORE_ON[why] if kind in met), None) for why in outcome.reasons)
    return {kind for kind in found if kind}


def _meets(
    account: TripAccount, visit_by_keeper: Mapping[str, str], shot: Shot, condition: Condition
) -> bool:
    """Whether something was observed where and when a shot was planned, or its pictures were made."""
    made = {visit_by_keeper.get(one.id) for one in account.keepers if one.shot_id == shot.id}
    stood: set[tuple[str | None, date]] = {
        (v.viewpoint_id, v.on_date) for v in account.visits if v.id in made
    }
    if shot.on_date:
        stood.add((shot.viewpoint_id, shot.on_date))
    if condition.viewpoint_id and not KINDS[condition.kind].is_barrier:
        here = (condition.viewpoint_id, condition.on_date)
        visits = {v.id for v in account.visits if (v.viewpoint_id, v.on_date) == here}
        seen_on = visit_seen_on(condition, account.visits, account.trip.day_ends_at)
        made_on_another = seen_on is not None and bool(made & visits) and seen_on not in made
        return here in stood and not made_on_another
    there = account.site_id_of(condition.viewpoint_id) or condition.site_id  # it bars the whole place
    return there is not None and (there, condition.on_date) in {
        (account.site_id_of(viewpoint_id), day) for viewpoint_id, day in stood
    }
