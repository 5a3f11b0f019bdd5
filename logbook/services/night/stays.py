"""Which of a day's stays are which visits of the book.

One surprising decision: times that nobody stated tell visits to one viewpoint apart, and one that meets no
stay is still the one that it was named from: the clock of its frames may have been put right since.
"""

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta, tzinfo
from itertools import count, pairwise

from logbook.craft.stays import LONGEST_PAUSE_S, ProposedVisit
from logbook.domain.day import window_on
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.domain.zones import wall_at
from logbook.services.night.evening import made_id

MINUTE = timedelta(minutes=1)
MOST_NAMED_ALIKE = 3  # visits whose ids are made from one frame; more are not looked for


def id_of_stay(one: ProposedVisit, trip: Trip, on_date: date, known: Collection[str]) -> str:
    """Return the id of a visit that a stay may become: the same whenever the same stay is worked out.

    Two windows that plan one day so mean the same visit; one whose id is `known` is another.
    """
    begun = next(iter(one.frames), None) or one.arrived.isoformat()
    ids = (_id_from(trip, on_date, begun, number) for number in count())
    return next(made for made in ids if made not in known)


def _id_from(trip: Trip, on_date: date, begun: str, number: int) -> str:
    return made_id(trip.id, on_date, f"stay {begun} {number}")


def stays_of(
    visit: Visit, there: Sequence[Visit], stays: Sequence[ProposedVisit], trip: Trip, zone: tzinfo | None
) -> list[ProposedVisit]:
    """Return the stays at a viewpoint that are one visit of the book, of all its visits there that day.

    A stay belongs to the visit that it shares most time with. A visit that meets none, and whose times nobody
    stated, has the stay that it was named from. What shares time with none goes, one each and in their order,
    to such visits. Where there is a single one, it has the stay that it was named from, and those near that.
    `zone` is that of the viewpoint's clock on the day.
    """
    named = _named(there, stays, trip)
    if len(there) == 1:
        meeting = [one for one in stays if _shared_min(one, visit, trip, zone) >= 0]
        if not are_times_open(visit):
            return meeting
        return _with_near(list(named) or meeting or list(stays[:1]), stays)
    best = {one: max(there, key=lambda each: _shared_min(one, each, trip, zone)) for one in stays}
    owners = {one: each.id for one, each in best.items() if _shared_min(one, each, trip, zone) >= 0}
    met = set(owners.values())
    owners |= {one: made for one, made in named.items() if one not in owners and made not in met}
    apart = [one for one in stays if one not in owners]
    unstated = [each for each in there if each.id not in owners.values() and are_times_open(each)]
    owners |= {one: each.id for one, each in zip(apart, unstated, strict=False)}
    return [one for one in stays if owners.get(one) == visit.id]


def _named(there: Sequence[Visit], stays: Sequence[ProposedVisit], trip: Trip) -> dict[ProposedVisit, str]:
    """Return the id of the visit that was named from a stay, by stay: it was made from one of its frames."""
    ids = {visit.id for visit in there if are_times_open(visit)}
    on_date = there[0].on_date
    return {
        one: made
        for one in stays
        for frame in one.frames
        for number in range(MOST_NAMED_ALIKE)
        if (made := _id_from(trip, on_date, frame, number)) in ids
    }


def _with_near(own: Sequence[ProposedVisit], stays: Sequence[ProposedVisit]) -> list[ProposedVisit]:
    """Return stays with those that one pause of a visit at most parts from them, in order of time."""
    ordered = sorted(stays, key=lambda one: one.arrived)
    runs = [ordered[:1]]
    for before, one in pairwise(ordered):
        if (one.arrived - before.departed).total_seconds() > LONGEST_PAUSE_S:
            runs.append([])
        runs[-1].append(one)
    return [one for run in runs if any(each in own for each in run) for one in run]


def _shared_min(stay: ProposedVisit, visit: Visit, trip: Trip, zone: tzinfo | None) -> int:
    """Return the minutes that a stay shares with a visit; below zero where they do not meet."""
    arrived, departed = window_on(visit.on_date, visit.arrived_at, visit.departed_at, trip.day_ends_at)
    if arrived is None or departed is None:
        return -1
    first, last = (local_minute(at, zone) for at in (stay.arrived, stay.departed))
    return (min(last, _minute(departed)) - max(first, _minute(arrived))) // MINUTE


def are_times_open(visit: Visit) -> bool:
    """Tell whether a visit's times are unknown, or nobody stated them."""
    is_open = visit.arrived_at is None or visit.departed_at is None
    return is_open or visit.provenance_of("arrived_at") is not Provenance.STATED


def local_minute(instant: datetime, zone: tzinfo | None) -> datetime:
    """Return the minute that the place's clock shows at an instant, without a zone."""
    return _minute(wall_at(instant, zone) if zone else instant)


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0, tzinfo=None)


def minutes_between(since: time, until: time) -> int:
    """Return the minutes from one clock time to the next time it is another."""
    return (until.hour * 60 + until.minute - since.hour * 60 - since.minute) % (24 * 60)
