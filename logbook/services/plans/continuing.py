"""A plan from an earlier trip: its shots on new dates, its kit list, and what has to be checked again there.

One surprising decision: closures and rules are not copied. An observation belongs to the day it was made on
and would count twice; they are handed over with their dates, and sheet and brief find them in any trip.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, datetime, timedelta
from typing import Any

from logbook.domain.condition import Condition
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.kit import PackedItem
from logbook.domain.record import Record, new_record
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.words import ConditionKind, Provenance
from logbook.services.kinds import SHOT, TRIP, Fields
from logbook.services.plans.outcomes import ids_to_get
from logbook.services.plans.sheets import observed_at
from logbook.services.records import Listing, day_ends, find, listing, put_new, resolved
from logbook.store.book import Book
from logbook.store.desk import Desk

# What is taken over of a trip unless something else is said; its rights were those of its client.
AS_BEFORE = ("zone", "day_ends_at", "location_shown", "credit", "contact", "private_names", "may_say")
ASKED_AGAIN = (ConditionKind.CLOSURE, ConditionKind.RULE)


@dataclass(frozen=True, slots=True)
class Continued:
    """A trip that goes on where an earlier one ended.

    `shots` are the new ones, `days` what was added to their dates (None where nothing was dated), `packed`
    how many pieces of kit came along, `check_again` the closures and rules observed at their places;
    `taken_over` the fields of the trip that are as they were.
    """

    trip: Trip
    earlier: Trip
    shots: tuple[Shot, ...]
    days: int | None
    packed: int
    check_again: tuple[Condition, ...]
    listing: Listing  # of the trip
    taken_over: tuple[str, ...] = ()


def continue_trip(
    book: Book, fields: Fields, slug: str | None, earlier: str, *, only_to_get: bool = False
) -> Continued:
    """Make a trip with the shots and the kit list of an earlier one, on dates counted from its first day.

    What is not said of the trip is as it was, and assumed. WrongUseError where no first day is given,
    InvalidValueError where a date would lie outside the calendar.
    """
    starts_on = fields.get("starts_on")
    if starts_on is None:
        raise WrongUseError("The dates of the plan are counted from the first day; add --from DATE.")
    with book.writing() as desk:
        before = find(desk, TRIP, earlier)
        said = resolved(desk, fields)
        taken_over = {name: getattr(before, name) for name in AS_BEFORE if name not in said}
        first = _first_day(before, desk.shots.all(trip_id=before.id))
        if before.ends_on and first and "ends_on" not in said:
            taken_over["ends_on"] = _later(before.ends_on, starts_on - first)
        known = {name: value for name, value in taken_over.items() if value != _default(Trip, name)}
        origins = dict.fromkeys(known, Provenance.ASSUMED)
        trip = put_new(desk, TRIP, book.now(), {**said, **known, "provenance": origins}, slug)
        done = _carried(desk, book.now(), before, trip, only_to_get=only_to_get)
        return replace(done, taken_over=tuple(known))


def continue_plan(book: Book, trip: str, earlier: str, *, only_to_get: bool = False) -> Continued:
    """Add the shots of an earlier trip and its kit list to a trip.

    What came from there before is not doubled, and what was decided about a piece of kit stays.
    """
    with book.writing() as desk:
        before, into = find(desk, TRIP, earlier), find(desk, TRIP, trip)
        if before.id == into.id:
            raise WrongUseError("A trip cannot continue itself; choose another one.")
        return _carried(desk, book.now(), before, into, only_to_get=only_to_get)


def _carried(desk: Desk, now: datetime, before: Trip, trip: Trip, *, only_to_get: bool) -> Continued:
    everything = desk.shots.all(trip_id=before.id)
    there = {one.continues_id for one in desk.shots.all(trip_id=trip.id)}
    wanted = ids_to_get(desk) if only_to_get else frozenset(one.id for one in everything)
    chosen = [one for one in everything if one.id in wanted and one.id not in there]
    first = _first_day(before, everything)
    by = trip.starts_on - first if trip.starts_on and first else None
    shots = _on_new_dates(desk, now, chosen, trip, by)
    decided = {one.item_id for one in desk.packed.all(trip_id=trip.id)}
    packed = [one for one in desk.packed.all(trip_id=before.id) if one.item_id not in decided]
    desk.packed.add(*(_packed_again(one, trip, now) for one in packed))
    again = to_ask_again(desk, shots, trip)
    days = by.days if by is not None and any(one.on_date for one in shots) else None
    return Continued(trip, before, shots, days, len(packed), again, listing(desk, (trip,)))


def to_ask_again(desk: Desk, shots: Iterable[Shot], trip: Trip) -> tuple[Condition, ...]:
    """Return the closures and rules last observed where shots are planned, by the day a trip begins."""
    viewpoints = desk.viewpoints.all(id={one.viewpoint_id for one in shots if one.viewpoint_id})
    stands, sites = {one.id for one in viewpoints}, {one.site_id for one in viewpoints}
    seen = [*desk.conditions.all(viewpoint_id=stands), *desk.conditions.all(site_id=sites)]
    known = {one.id: one for one in seen if one.kind in ASKED_AGAIN}
    return observed_at(known.values(), stands, sites, trip.starts_on or date.max, day_ends(desk))


def _on_new_dates(
    desk: Desk, now: datetime, chosen: Sequence[Shot], trip: Trip, by: timedelta | None
) -> tuple[Shot, ...]:
    """Put the chosen shots on the shelf again, for a trip; a fallback stays that of the shot beside it."""
    made: dict[str, Shot] = {}
    for one in chosen:
        kept = _but_own(one, "slug", "trip_id", "fallback_for_id", "continues_id", "on_date")
        on_date = _later(one.on_date, by) if one.on_date and by is not None else None
        fresh = {**kept, "trip_id": trip.id, "on_date": on_date, "continues_id": one.id}
        made[one.id] = put_new(desk, SHOT, now, fresh, desk.shots.new_slug(one.slug))
    for one in chosen:
        if one.fallback_for_id in made:
            made[one.id] = replace(made[one.id], fallback_for_id=made[one.fallback_for_id].id)
            desk.shots.put(made[one.id])
    return tuple(made.values())


def _packed_again(one: PackedItem, trip: Trip, now: datetime) -> PackedItem:
    """What was decided about a piece of kit, for another trip; whether it was used nobody knows yet."""
    return PackedItem(**new_record(now), **(_but_own(one, "used") | {"trip_id": trip.id}))


def _but_own(record: Record, *but: str) -> dict[str, Any]:
    """The fields of a record without those of every record, and without some."""
    own = {one.name for one in fields(Record)}
    return {one.name: getattr(record, one.name) for one in fields(record) if one.name not in own | set(but)}


def _default(noun: type[Record], name: str) -> Any:
    return next(one.default for one in fields(noun) if one.name == name)


def _first_day(trip: Trip, shots: Iterable[Shot]) -> date | None:
    return trip.starts_on or min((one.on_date for one in shots if one.on_date), default=None)


def _later(day: date, by: timedelta) -> date:
    try:
        return day + by
    except OverflowError:
        raise InvalidValueError(
            "The plan's dates would run past the end of the calendar; choose another first day."
        ) from None
