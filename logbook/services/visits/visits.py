"""Adding and changing a visit, with what follows from it: room among the others, its keepers, its conditions.

One surprising decision: what was made and seen on a visit goes where the visit goes, except what a person
placed elsewhere, which is named and stays.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from logbook.domain.belonging import seen_on, visits_by_keeper
from logbook.domain.condition import Condition
from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.said import counted
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.services.kinds import VISIT, Fields
from logbook.services.records import (
    NOTHING_TO_CHANGE,
    Listing,
    changed,
    find,
    listing,
    put_new,
    resolved,
    the_trip,
)
from logbook.services.visits.claims import Claimed, claim, let_go
from logbook.services.visits.room import make_room
from logbook.store.book import Book
from logbook.store.desk import Desk

NAMED = 5  # keepers that a sentence names; more are counted


@dataclass(frozen=True, slots=True)
class VisitKept:
    """A visit as it stands in the book now, and sentences about what else changed."""

    listing: Listing
    told: tuple[str, ...]


def add_visit(book: Book, trip: str | None, fields: Fields, slug: str | None = None) -> VisitKept:
    """Add a visit; raises ConflictError where one was stated to be elsewhere at that time."""
    with book.writing() as desk:
        of_trip, now = the_trip(desk, trip), book.now()
        ready = resolved(desk, fields) | {"trip_id": of_trip.id}
        fitted, told = settle(desk, of_trip, put_new(desk, VISIT, now, ready, slug), now)
        return VisitKept(listing(desk, (fitted,)), tuple(told))


def settle(desk: Desk, trip: Trip, made: Visit, now: datetime) -> tuple[Visit, list[str]]:
    """Give a new visit its room among the others and its keepers; return it and what to tell."""
    fitted, told = make_room(desk, trip, made, now)
    if fitted != made:
        desk.visits.put(fitted)
    claimed = claim(desk, trip, fitted, now)
    desk.follow_places()
    return fitted, told + told_of(desk, fitted, claimed)


def edit_visit(book: Book, wanted: str, changes: Fields) -> VisitKept:
    """Change a visit; its keepers and conditions follow it to another viewpoint."""
    if not changes:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        before, now = find(desk, VISIT, wanted), book.now()
        after = changed(desk, VISIT, before, now, changes)
        told: list[str] = []
        if after is not before:
            after, told = change(desk, before, after, now)
        return VisitKept(listing(desk, (after,)), tuple(told))


def change(desk: Desk, before: Visit, after: Visit, now: datetime) -> tuple[Visit, list[str]]:
    """Write a changed visit down within a transaction, with all that follows; return it and what to tell."""
    trip = desk.trips.get(before.trip_id)
    assert trip is not None
    keepers = keepers_of(desk, trip, before)
    conditions = conditions_of(desk, trip, before)
    after, told = make_room(desk, trip, after, now)
    desk.visits.put(after)
    if after.viewpoint_id != before.viewpoint_id:
        for keeper in keepers:
            desk.keepers.put(replace(keeper, viewpoint_id=after.viewpoint_id, updated=now))
        for condition in conditions:
            desk.conditions.put(replace(condition, viewpoint_id=after.viewpoint_id, updated=now))
        told += _told_of_moved(desk, after, len(keepers), len(conditions))
    if after.on_date != before.on_date:
        for condition in desk.conditions.all(visit_id=after.id):
            desk.conditions.put(replace(condition, on_date=after.on_date, updated=now))
    gone = let_go(desk, trip, {one.id for one in keepers}, now)
    desk.follow_places()
    if gone:
        are, they_were = ("is", "it was") if gone == 1 else ("are", "they were")
        left = f"{counted('keeper', gone)} {are} no longer in a visit"
        told.append(f"{left}; where {they_were} made is unknown again.")
    return after, told + told_of(desk, after, claim(desk, trip, after, now))


def keepers_of(desk: Desk, trip: Trip, visit: Visit) -> list[Keeper]:
    """Return the keepers that belong to a visit."""
    keepers = desk.keepers.all(trip_id=trip.id, viewpoint_id=visit.viewpoint_id)
    of_day = desk.visits.all(trip_id=trip.id, on_date=visit.on_date)
    owners = visits_by_keeper(keepers, of_day, trip.day_ends_at)
    return [one for one in keepers if owners.get(one.id) == visit.id]


def conditions_of(desk: Desk, trip: Trip, visit: Visit) -> list[Condition]:
    """Return what was seen on a visit."""
    of_day = desk.visits.all(trip_id=trip.id, on_date=visit.on_date)
    seen = desk.conditions.all(trip_id=trip.id, on_date=visit.on_date, viewpoint_id=visit.viewpoint_id)
    return list(seen_on(visit, seen, of_day, trip.day_ends_at))


def told_of(desk: Desk, visit: Visit, claimed: Claimed) -> list[str]:
    """Return in sentences what a visit claimed, and what of its time stays elsewhere."""
    told = []
    if claimed.taken:
        viewpoint = desk.viewpoints.get(visit.viewpoint_id)
        place = viewpoint.slug if viewpoint else "its viewpoint"
        were = "was" if len(claimed.taken) == 1 else "were"
        told.append(
            f"{counted('keeper', len(claimed.taken))} from that time {were} placed at {place} (inferred)."
        )
    if claimed.elsewhere:
        told.append(
            f"Made at that time, but already placed elsewhere and left there: {_names(claimed.elsewhere)}."
        )
    return told


def _told_of_moved(desk: Desk, visit: Visit, keepers: int, conditions: int) -> list[str]:
    viewpoint = desk.viewpoints.get(visit.viewpoint_id)
    parts = [
        counted(table, count) for table, count in (("keeper", keepers), ("condition", conditions)) if count
    ]
    if not parts or viewpoint is None:
        return []
    return [f"Moved with it to {viewpoint.slug}: {' and '.join(parts)}."]


def _names(keepers: Sequence[Keeper]) -> str:
    named = ", ".join(one.file for one in keepers[:NAMED])
    return named if len(keepers) <= NAMED else f"{named} and {len(keepers) - NAMED} more"
