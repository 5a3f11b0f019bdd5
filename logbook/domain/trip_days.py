"""The days of a trip: which one a date is, and on how many of them something was done.

One surprising decision: days are counted from the trip's own first date, not from the first day that anything
is known of, so that a picture with a wrong clock gives no other day another number.
"""

from collections.abc import Iterable
from datetime import date

from logbook.domain.account import TripAccount
from logbook.domain.day import day_of
from logbook.domain.trip import Trip

BEFORE = "Before the trip"
AFTER = "After the trip"


def is_of_trip(trip: Trip, day: date) -> bool:
    """Tell whether a day lies within the trip's dates, as far as they are known."""
    return (trip.starts_on is None or day >= trip.starts_on) and (trip.ends_on is None or day <= trip.ends_on)


def day_number(trip: Trip, day: date, days: Iterable[date] = ()) -> int | None:
    """Return which day of a trip a date is, from 1; None before it and after it.

    Of a trip whose first date nobody noted, `days` are those that something is known of, and are counted.
    """
    if not is_of_trip(trip, day):
        return None
    if trip.starts_on is not None:
        return (day - trip.starts_on).days + 1
    return sum(1 for one in set(days) if one < day and is_of_trip(trip, one)) + 1


def day_name(trip: Trip, day: date, days: Iterable[date] = ()) -> str:
    """Return "Day 3", or "Before the trip", or "After the trip"; its date stands beside it."""
    number = day_number(trip, day, days)
    if number is not None:
        return f"Day {number}"
    return BEFORE if trip.starts_on is not None and day < trip.starts_on else AFTER


def days_in_the_field(account: TripAccount) -> tuple[date, ...]:
    """Return the days of a trip on which a place was visited or a picture kept, in order."""
    trip = account.trip
    done = {visit.on_date for visit in account.visits}
    done |= {day_of(one.place_time, trip.day_ends_at) for one in account.keepers if one.place_time}
    return tuple(sorted(day for day in done if is_of_trip(trip, day)))
