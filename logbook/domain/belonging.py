"""Which visit a moment at its viewpoint belongs to: every count, page, draft and evening asks here.

One surprising decision: a visit that contains a picture goes before one that ended minutes ago, and a visit
of which nobody knows the times gets only what no other one claims.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from logbook.domain.day import day_of, moment_on, window_on
from logbook.domain.keeper import Keeper
from logbook.domain.visit import Visit

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
