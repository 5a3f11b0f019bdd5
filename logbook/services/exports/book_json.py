"""A book, or one trip of it, as one document, and back: every record of every noun, nothing derived.

One surprising decision: a trip's document holds whatever its records refer to, even a shot of another trip
with the trip that shot needs, so that every document can be put into an empty book.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.record import Record
from logbook.services.exports.nouns import NOUNS, REFERENCES
from logbook.services.exports.plain_values import (
    DocumentError,
    a_list,
    an_object,
    plain_record,
    read_record,
    shown,
)
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf

FORMAT = "shoot-logbook"
VERSION = 1
SCHEMA = Path(__file__).with_name(f"schema-{VERSION}.json")
HEAD = ("format", "version", "private", "trip")

Records = Mapping[str, tuple[Any, ...]]  # name of a list in NOUNS to its records, in the book's order


@dataclass(frozen=True, slots=True)
class Document:
    """What a document holds: `private` is a faithful copy; `trip` is a slug, None for a whole book."""

    private: bool
    trip: str | None
    records: Records


def shelf_of(desk: Desk, name: str) -> Shelf[Any]:
    """Return the shelf whose records a list of a document holds."""
    shelf: Shelf[Any] = getattr(desk, name)
    return shelf


def book_records(desk: Desk) -> Records:
    """Return every record of a book."""
    return {name: tuple(shelf_of(desk, name).all()) for name in NOUNS}


def trip_records(desk: Desk, account: TripAccount) -> Records:
    """Return the records of one trip: its own, its places, the kit it decided on, and what these refer to."""
    records = book_records(desk)
    by_id = {name: {one.id: one for one in records[name]} for name in NOUNS}
    wanted: dict[str, set[str]] = {
        name: {one.id for one in found if getattr(one, "trip_id", None) == account.trip.id}
        for name, found in records.items()
    }
    wanted["trips"].add(account.trip.id)
    wanted["outcomes"] = {one.id for one in records["outcomes"] if one.shot_id in wanted["shots"]}
    wanted["sites"] |= set(account.sites)
    wanted["viewpoints"] |= set(account.viewpoints)
    fresh = [by_id[name][record_id] for name, ids in wanted.items() for record_id in ids]
    while fresh:
        found = [(name, at) for one in fresh for name, at in references_of(one) if at not in wanted[name]]
        fresh = [by_id[name][at] for name, at in dict.fromkeys(found)]
        for name, at in found:
            wanted[name].add(at)
    return {name: tuple(one for one in records[name] if one.id in wanted[name]) for name in NOUNS}


def references_of(record: Record) -> Iterable[tuple[str, str]]:
    """Return what a record refers to: the name of a list, and an id in it."""
    return [
        (name, wanted)
        for field, name in REFERENCES.items()
        if (wanted := getattr(record, field, None)) is not None
    ]


def to_document(records: Records, *, private: bool, trip: str | None = None) -> dict[str, Any]:
    """Return records as a document: plain data for JSON, in the order of the format."""
    head = {"format": FORMAT, "version": VERSION, "private": private, "trip": trip}
    return head | {name: [plain_record(one) for one in records.get(name, ())] for name in NOUNS}


def from_document(data: Any, file: str) -> Document:
    """Return what a document holds; DocumentError names the file, the place in it and what is wrong there.

    Each record is checked by itself; whether what it refers to is there only a book can tell.
    """
    try:
        return _document(an_object(data, ""))
    except DocumentError as error:
        raise DocumentError(file, str(error)) from None


def _document(data: dict[str, Any]) -> Document:
    if data.get("format") != FORMAT:
        raise DocumentError("", f'it is no export of this program: it lacks "format": "{FORMAT}".')
    version = data.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise DocumentError("version", "a whole number from 1 on belongs here.")
    if version > VERSION:
        raise DocumentError(
            "version",
            f"a newer version of this program wrote the file (format {shown(version)}, "
            f"this program knows {VERSION}); update the program.",
        )
    for name in data:
        if name not in NOUNS and name not in HEAD:
            raise DocumentError("", f'this program knows no list "{shown(name)}"; update the program.')
    private, trip = data.get("private"), data.get("trip")
    if not isinstance(private, bool):
        raise DocumentError("private", "true or false belongs here.")
    if trip is not None and not isinstance(trip, str):
        raise DocumentError("trip", "the short name of a trip, or null, belongs here.")
    return Document(private, trip, {name: _records(name, data.get(name, [])) for name in NOUNS})


def _records(name: str, data: Any) -> tuple[Record, ...]:
    found = tuple(read_record(NOUNS[name], one, f"{name}[{at}]") for at, one in enumerate(a_list(data, name)))
    seen: dict[str, int] = {}
    for at, one in enumerate(found):
        if (first := seen.setdefault(one.id, at)) != at:
            raise DocumentError(f"{name}[{at}].id", f"{name}[{first}] has the same id.")
    return found
