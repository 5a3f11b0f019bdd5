"""Which of a day's stays are which visits of the book.

One surprising decision: times that nobody stated tell visits to one viewpoint apart, though they prove
nothing where it had a single visit.
"""

from collections.abc import Sequence
from datetime import datetime, time
from zoneinfo import ZoneInfo

from logbook.craft.stays import ProposedVisit
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance


def stays_of(
    visit: Visit, there: Sequence[Visit], stays: Sequence[ProposedVisit], zone: str | None
) -> list[ProposedVisit]:
    """Return the stays at a viewpoint that are one visit of the book, of all its visits there that day.

    Each belongs to the visit that it shares most time with. What shares time with none goes, one each and in
    their order, to visits whose times nobody stated.
    """
    best = {one: max(there, key=lambda each: _shared_min(one, each, zone)) for one in stays}
    apart = [one for one in stays if _shared_min(one, best[one], zone) < 0]
    met = {best[one].id for one in stays if one not in apart}
    unstated = [each for each in there if each.id not in met and are_times_open(each)]
    given = {one: each.id for one, each in zip(apart, unstated, strict=False)}
    return [one for one in stays if (given.get(one) if one in apart else best[one].id) == visit.id]


def _shared_min(stay: ProposedVisit, visit: Visit, zone: str | None) -> int:
    """Return the minutes that a stay shares with a visit; below zero where they do not meet."""
    if visit.arrived_at is None or visit.departed_at is None:
        return -1
    arrived, departed = (clock_time(at, zone) for at in (stay.arrived, stay.departed))
    lasts, stays = minutes_between(visit.arrived_at, visit.departed_at), minutes_between(arrived, departed)
    late, early = minutes_between(visit.arrived_at, arrived), minutes_between(arrived, visit.arrived_at)
    if late <= lasts:
        return min(lasts - late, stays)
    return min(stays - early, lasts) if early <= stays else -1


def are_times_open(visit: Visit) -> bool:
    """Tell whether a visit's times are unknown, or nobody stated them."""
    is_open = visit.arrived_at is None or visit.departed_at is None
    return is_open or visit.provenance_of("arrived_at") is not Provenance.STATED


def minutes_between(since: time, until: time) -> int:
    """Return the minutes from one clock time to the next time it is another."""
    return (until.hour * 60 + until.minute - since.hour * 60 - since.minute) % (24 * 60)


def clock_time(instant: datetime, zone: str | None) -> time:
    """Return what the place's clock shows at an instant."""
    return (instant.astimezone(ZoneInfo(zone)) if zone else instant).time()
