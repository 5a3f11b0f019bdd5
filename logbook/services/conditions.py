"""Conditions: noting and changing an observation, which may name the visit it was made on.

One surprising decision: a visit says the trip, the place and the date of what was observed on it, so that
naming the visit is enough, and naming another place as well is a slip.
"""

from typing import Any

from logbook.domain.condition import Condition
from logbook.domain.errors import WrongUseError
from logbook.domain.visit import Visit
from logbook.domain.written.entry import ConditionEntry
from logbook.services.kinds import CONDITION, Fields
from logbook.services.records import (
    NOTHING_TO_CHANGE,
    Listing,
    edited,
    find,
    listing,
    put_new,
    resolved,
    the_trip,
    with_new_slug,
)
from logbook.store.book import Book
from logbook.store.desk import Desk


def condition_entry(one: Condition) -> ConditionEntry:
    """Return an observation as the line that would say it."""
    return ConditionEntry(one.kind, one.level, one.at, one.direction, one.note or "", one.source)


def note(book: Book, trip: str | None, fields: Fields, slug: str | None) -> Listing:
    """Write down an observation; WrongUseError without a date, or where it contradicts its visit."""
    with book.writing() as desk:
        ready = resolved(desk, fields)
        visit = _visit_of(desk, ready)
        if visit is None:
            if "on_date" not in ready:
                raise WrongUseError("Say when it was seen: --on 2031-10-14, or --visit NAME.")
            ready["trip_id"] = the_trip(desk, trip).id
        else:
            asked = {} if trip is None else {"trip_id": the_trip(desk, trip).id}
            ready = _as_on_visit(asked | ready, visit)
        return listing(desk, (put_new(desk, CONDITION, book.now(), ready, slug),))


def edit(book: Book, wanted: str, changes: Fields) -> Listing:
    """Change an observation; moved to another place or date, it is no longer of the visit it was made on."""
    if not changes:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        before = find(desk, CONDITION, wanted)
        ready = resolved(desk, changes, before)
        visit = _visit_of(desk, ready)
        if visit is not None:
            ready = _as_on_visit({"trip_id": before.trip_id} | ready, visit)
        elif any(name in ready and ready[name] != getattr(before, name) for name in _OF_VISIT):
            ready = {"visit_id": None} | ready
        now = book.now()
        after = edited(before, now, with_new_slug(desk, CONDITION, before, ready, now))
        if after is not before:
            desk.conditions.put(after)
        return listing(desk, (after,))


_OF_VISIT = ("viewpoint_id", "on_date")


def _visit_of(desk: Desk, ready: Fields) -> Visit | None:
    visit_id = ready.get("visit_id")
    return None if visit_id is None else desk.visits.get(visit_id)


def _as_on_visit(ready: dict[str, Any], visit: Visit) -> dict[str, Any]:
    """Return the fields with what the visit says; raises WrongUseError where they say otherwise."""
    for name, word in (("trip_id", "trip"), ("viewpoint_id", "viewpoint"), ("on_date", "date")):
        if ready.get(name, getattr(visit, name)) != getattr(visit, name):
            raise WrongUseError(
                f"The visit {visit.slug} belongs to another {word}; name the visit on which it was seen."
            )
    if ready.get("site_id") is not None:
        raise WrongUseError("A visit has its own viewpoint; leave out --site.")
    of_visit = {name: getattr(visit, name) for name in ("trip_id", *_OF_VISIT)}
    return ready | of_visit
