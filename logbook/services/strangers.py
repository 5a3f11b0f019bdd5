"""Pictures that seem to be of another trip than the one they are taken into.

One surprising decision: they are taken in all the same, and told. A trip's dates may be a plan, and one
picture may well serve two trips.
"""

from collections import Counter
from collections.abc import Collection
from datetime import timedelta

from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.store.desk import Desk

SLACK = timedelta(days=1)  # of travel before and after, and of a clock that is not set yet (own convention)


def outside(trip: Trip, keepers: Collection[Keeper]) -> int:
    """Return how many keepers are of days outside a trip's dates; none where it has none."""
    first, last = trip.starts_on, trip.ends_on
    days = [day_of(one.place_time, trip.day_ends_at) for one in keepers if one.place_time]
    return sum(
        (first is not None and day < first - SLACK) or (last is not None and day > last + SLACK)
        for day in days
    )


def elsewhere(desk: Desk, trip: Trip, keepers: Collection[Keeper]) -> Counter[str]:
    """Return how many keepers are the very pictures of other trips, by the slugs of those trips."""
    others = {one: slug for slug, one in desk.trips.slugs().items() if one != trip.id}
    if not others or not keepers:
        return Counter()
    found = desk.keepers.all(trip_id=set(others), hash={one.hash for one in keepers})
    return Counter(others[one.trip_id] for one in found)
