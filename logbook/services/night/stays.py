"""Which of a day's stays are which visits of the book.

One surprising decision: times that nobody stated tell visits to one viewpoint apart, though they prove
nothing where it had a single visit.
"""

from collections.abc import Sequence
from datetime import datetime, time, timedelta

from logbook.craft.stays import ProposedVisit
from logbook.domain.day import window_on
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.domain.zones import wall_at, zone_of

MINUTE = timedelta(minutes=1)


def stays_of(
    visit: Visit, there: Sequence[Visit], stays: Sequence[ProposedVisit], trip: Trip
) -> list[ProposedVisit]:
    """Return the stays at a viewpoint that are one visit of the book, of all its visits there that day.

    Each belongs to the visit that it shares most time with. What shares time with none goes, one each and in
    their order, to visits whose times nobody stated; where there was a single such visit, all go there.
    """
    if len(there) == 1:
        return [one for one in stays if are_times_open(visit) or _shared_min(one, visit, trip) >= 0]
    best = {one: max(there, key=lambda each: _shared_min(one, each, trip)) for one in stays}
    apart = [one for one in stays if _shared_min(one, best[one], trip) < 0]
    met = {best[one].id for one in stays if one not in apart}
    unstated = [each for each in there if each.id not in met and are_times_open(each)]
    given = {one: each.id for one, each in zip(apart, unstated, strict=False)}
    return [one for one in stays if (given.get(one) if one in apart else best[one].id) == visit.id]


def _shared_min(stay: ProposedVisit, visit: Visit, trip: Trip) -> int:
    """Return the minutes that a stay shares with a visit; below zero where they do not meet."""
    arrived, departed = window_on(visit.on_date, visit.arrived_at, visit.departed_at, trip.day_ends_at)
    if arrived is None or departed is None:
        return -1
    first, last = (local_minute(at, trip.zone) for at in (stay.arrived, stay.departed))
    return (min(last, _minute(departed)) - max(first, _minute(arrived))) // MINUTE


def are_times_open(visit: Visit) -> bool:
    """Tell whether a visit's times are unknown, or nobody stated them."""
    is_open = visit.arrived_at is None or visit.departed_at is None
    return is_open or visit.provenance_of("arrived_at") is not Provenance.STATED


def local_minute(instant: datetime, zone: str | None) -> datetime:
    """Return the minute that the place's clock shows at an instant, without a zone."""
    return _minute(wall_at(instant, zone_of(zone)) if zone else instant)


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0, tzinfo=None)


def minutes_between(since: time, until: time) -> int:
    """Return the minutes from one clock time to the next time it is another."""
    return (until.hour * 60 + until.minute - since.hour * 60 - since.minute) % (24 * 60)
