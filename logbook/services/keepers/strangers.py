"""Pictures and notes that seem to be of another trip than the one they are taken into.

One surprising decision: they are taken in all the same, and told. A trip's dates may be a plan, and one
picture may well serve two trips.
"""

from collections import Counter
from collections.abc import Collection, Iterable
from datetime import date, timedelta

from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper
from logbook.domain.said import figured
from logbook.domain.trip import Trip
from logbook.store.book import Book
from logbook.store.desk import Desk

LISTED = 4  # days that a sentence names
SLACK = timedelta(days=1)  # of travel before and after, and of a clock that is not set yet (own convention)


def is_outside(trip: Trip, day: date) -> bool:
    """Tell whether a day is outside a trip's dates; never where it has none."""
    first, last = trip.starts_on, trip.ends_on
    return (first is not None and first - day > SLACK) or (last is not None and day - last > SLACK)


def dates_of(trip: Trip) -> str:
    """Return a trip's dates as they are typed: "2031-10-13 to 2031-10-18"."""
    return " to ".join(str(day) for day in (trip.starts_on, trip.ends_on) if day)


def plans_outside(trip: Trip, planned: Iterable[date | None]) -> str | None:
    """Return a sentence on planned shots whose days are outside a trip's dates; None where there are none."""
    days = [day for day in planned if day is not None and is_outside(trip, day)]
    if not days:
        return None
    shown = [str(day) for day in sorted(set(days))]
    listed = ", ".join(shown[:LISTED] + ["…"] * (len(shown) > LISTED))
    shots = f"{figured(len(days), 'shot')} {'is' if len(days) == 1 else 'are'}"
    return f"{shots} planned outside the dates of {trip.slug} ({dates_of(trip)}): {listed}."


def outside(trip: Trip, keepers: Collection[Keeper]) -> int:
    """Return how many keepers are of days outside a trip's dates."""
    days = [day_of(one.place_time, trip.day_ends_at) for one in keepers if one.place_time]
    return sum(is_outside(trip, day) for day in days)


def trip_without(book: Book, trip_id: str, day: date) -> Trip | None:
    """Return a trip where a day is outside its dates, else None."""
    with book.reading() as desk:
        trip = desk.trips.get(trip_id)
    return trip if trip is not None and is_outside(trip, day) else None


def elsewhere(desk: Desk, trip: Trip, keepers: Collection[Keeper]) -> Counter[str]:
    """Return how many keepers are the very pictures of other trips, by the slugs of those trips."""
    others = {one: slug for slug, one in desk.trips.slugs().items() if one != trip.id}
    if not others or not keepers:
        return Counter()
    found = desk.keepers.all(trip_id=set(others), hash={one.hash for one in keepers})
    return Counter(others[one.trip_id] for one in found)
