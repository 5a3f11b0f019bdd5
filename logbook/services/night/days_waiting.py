"""The days of trips as they wait to be written down: what each holds, whether it was begun and done.

One surprising decision: a day is done once it has a visit or a journal and none of its plans is open; that
somebody looked at it is not enough. Of many trips no record is made whole, only the fields that say when.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper, place_time_of
from logbook.domain.trip import Trip
from logbook.domain.words import OutcomeWord
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

_TripDay = tuple[str, date]  # a trip by its id, and one of its days


@dataclass(frozen=True, slots=True)
class DayWaiting:
    """A day of a trip with how much it holds; `is_begun` once something of its evening was answered.

    `is_done` where it was written down, with a visit or a journal, and none of its plans is open.
    """

    trip: Trip
    on_date: date
    keepers: int
    plans: int
    is_begun: bool
    is_done: bool

    @property
    def waits(self) -> bool:
        """Whether it has pictures and is not written up yet."""
        return self.keepers > 0 and not self.is_done


def days_of_trip(book: Book, trip: str | None) -> tuple[DayWaiting, ...]:
    """Return the days of a trip that have keepers, plans or answers, in order."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        return days_in(desk, [of_trip])[of_trip.id]


def days_of_trips(book: Book) -> tuple[tuple[Trip, tuple[DayWaiting, ...]], ...]:
    """Return every trip with its days."""
    with book.reading() as desk:
        trips = desk.trips.all()
        days = days_in(desk, trips)
    return tuple((trip, days[trip.id]) for trip in trips)


def days_in(desk: Desk, trips: Sequence[Trip]) -> Mapping[str, tuple[DayWaiting, ...]]:
    """Return the days of trips that have keepers, plans or answers, in order, by the trip's id."""
    own = {one.id: one for one in trips}
    keepers = _keepers_a_day(desk, own)
    outcomes = desk.outcomes.columns("shot_id", "word")
    closed = {shot_id for shot_id, word in outcomes if word is not OutcomeWord.OPEN}
    shots = desk.shots.columns("id", "trip_id", "on_date", trip_id={*own})
    plans = Counter((trip_id, day) for _, trip_id, day in shots if day is not None)
    still_open = {(trip_id, day) for shot_id, trip_id, day in shots if shot_id not in closed}
    begun = _days(desk.night_answers.columns("trip_id", "on_date", trip_id={*own}))
    written = _days(desk.visits.columns("trip_id", "on_date", trip_id={*own}))
    written |= _days(desk.days.columns("trip_id", "on_date", trip_id={*own}))
    found: dict[str, list[DayWaiting]] = {one: [] for one in own}
    for at in sorted({*keepers, *plans, *begun, *written}):
        trip_id, day = at
        is_done = at in written and at not in still_open
        found[trip_id].append(DayWaiting(own[trip_id], day, keepers[at], plans[at], at in begun, is_done))
    return {trip_id: tuple(days) for trip_id, days in found.items()}


def pictures_of_days(desk: Desk, trip: Trip, most: int) -> Mapping[date, tuple[Keeper, ...]]:
    """Return up to so many keepers of each day of a trip, spread over the day, in order of time."""
    days: dict[date, list[tuple[datetime, str]]] = {}
    for keeper_id, *time in desk.keepers.columns("id", "taken_utc", "zone", "taken_local", trip_id={trip.id}):
        if at := place_time_of(*time):
            days.setdefault(day_of(at, trip.day_ends_at), []).append((at, keeper_id))
    spread = {day: _spread([one for _, one in sorted(taken)], most) for day, taken in days.items()}
    shown = {one.id: one for one in desk.keepers.all(id={one for ids in spread.values() for one in ids})}
    return {day: tuple(shown[one] for one in ids) for day, ids in spread.items()}


def _spread(ids: Sequence[str], most: int) -> Sequence[str]:
    """Return all, or so many at equal distances, the first and the last among them."""
    if len(ids) <= most:
        return ids
    return [ids[round(at * (len(ids) - 1) / (most - 1))] for at in range(most)]


def _keepers_a_day(desk: Desk, trips: Mapping[str, Trip]) -> Counter[_TripDay]:
    """Count keepers by their day; those without any time belong to none."""
    times = desk.keepers.columns("trip_id", "taken_utc", "zone", "taken_local", trip_id={*trips})
    at_places = ((trip_id, place_time_of(*time)) for trip_id, *time in times)
    return Counter((trip_id, day_of(at, trips[trip_id].day_ends_at)) for trip_id, at in at_places if at)


def _days(rows: Iterable[Sequence[object]]) -> set[_TripDay]:
    return {(trip_id, day) for trip_id, day in rows if isinstance(trip_id, str) and isinstance(day, date)}
