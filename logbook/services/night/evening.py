"""An evening: where the answers of a night go, and how values are said without overriding what was stated.

One surprising decision: what somebody stated is only changed by what somebody states.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import count, takewhile
from typing import Any
from uuid import NAMESPACE_OID, uuid5

from logbook.domain.record import Record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services import kinds
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.night.questions import Answered
from logbook.services.records import put_new
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it counts: its text, and where its value came from."""

    text: str
    word: Provenance


@dataclass(frozen=True, slots=True)
class Understood:
    """What an answer was taken for: sentences where that differs from what was typed, and what to remember.

    `answer` None remembers the answer as it was given.
    """

    told: tuple[str, ...] = ()
    answer: str | None = None


@dataclass(frozen=True, slots=True)
class Evening:
    """Where answers go: one day of one trip, with its plan as soon as there is one."""

    desk: Desk
    book: Book
    trip: Trip
    on_date: date
    plan: NightPlan | None
    previous: Mapping[str, Answered]  # by key: what was answered before

    @property
    def now(self) -> datetime:
        """The present instant."""
        return self.book.now()

    @property
    def visits(self) -> Mapping[str, PlannedVisit]:
        """The planned visits by id."""
        return {visit.id: visit for visit in self.plan.visits} if self.plan else {}

    @property
    def groups(self) -> tuple[PlannedGroup, ...]:
        """The groups of keepers in the order in which they are asked about."""
        return self.plan.groups if self.plan else ()


def told(*sentences: str | None) -> Understood:
    """Return what is said back of an answer; None is nothing to say."""
    return Understood(tuple(one for one in sentences if one))


def said(record: Record, now: datetime, word: Provenance, changes: Mapping[str, Any]) -> Record:
    """Return a record with changes that came from `word`; only a person changes what a person stated."""
    kept = {
        name: value
        for name, value in changes.items()
        if word is Provenance.STATED
        or record.provenance_of(name) is not Provenance.STATED
        or getattr(record, name) == value
    }
    provenance = dict(record.provenance)
    for name in kept:
        provenance.pop(name, None)
        if word is not Provenance.STATED and kept[name] is not None and getattr(record, name) != kept[name]:
            provenance[name] = word
        elif word is not Provenance.STATED and name in record.provenance:
            provenance[name] = record.provenance[name]
    after = replace(record, **kept, provenance=provenance)
    return after if after == record else replace(after, updated=now)


def put(shelf: Shelf[Any], before: Record, after: Record) -> None:
    """Write a record down where it changed."""
    if after is not before and after != before:
        shelf.put(after)


def id_of(evening: Evening, name: str) -> str:
    """Return the id of a record that an answer makes: known again by it, its slug can be a plain one."""
    return made_id(evening.trip.id, evening.on_date, name)


def made_id(trip_id: str, on_date: date, name: str) -> str:
    """Return the id of a record that an answer of an evening makes."""
    return uuid5(NAMESPACE_OID, f"{trip_id} {on_date} {name}").hex


def replace_conditions(evening: Evening, name: str, wanted: list[dict[str, Any]]) -> None:
    """Put the conditions that a question made in place of those it made before; the same ones stay."""
    numbered = (evening.desk.conditions.get(id_of(evening, f"{name} {number}")) for number in count(1))
    before = list(takewhile(bool, numbered))
    if len(before) == len(wanted) and all(
        getattr(one, field) == value
        for one, fields in zip(before, wanted, strict=True)
        for field, value in fields.items()
    ):
        return
    evening.desk.conditions.remove(one.id for one in before if one)
    of_day = {"trip_id": evening.trip.id, "on_date": evening.on_date}
    for number, fields in enumerate(wanted, 1):
        record_id = id_of(evening, f"{name} {number}")
        put_new(evening.desk, kinds.CONDITION, evening.now, {"id": record_id, **of_day, **fields})
