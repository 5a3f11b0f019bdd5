"""A book, or one trip of it, as one document, and back: every record of every noun, nothing derived.

One surprising decision: a trip's document holds whatever its records refer to, even a shot of another trip
with the trip that shot needs, so that every document can be put into an empty book. Its published JSON Schema
is worked out from what the fields of the nouns say of themselves.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from logbook.domain.account import TripAccount
from logbook.domain.errors import LogbookError
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.kinds import DocumentError, Schema, a_list, an_object, shown
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record
from logbook.store.desk import SHELVES, Desk
from logbook.store.shelf import Shelf

Noun = TypeVar("Noun", bound=Record)

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FORMAT = "shoot-logbook"
VERSION = 1
HEAD = ("format", "version", "private", "trip")
_LISTS = {word: name for word, noun in NOUNS.items() for name, made in SHELVES.items() if made is noun}

Records = Mapping[
    str, tuple[Any, ...]
]  # name of a list, which is its shelf's, to its records, in the book's order


@dataclass(frozen=True, slots=True)
class BookDocument:
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
    return {name: tuple(shelf_of(desk, name).all()) for name in SHELVES}


def trip_records(desk: Desk, account: TripAccount) -> Records:
    """Return the records of one trip: its own, its places, the kit it decided on, and what these refer to."""
    records = book_records(desk)
    by_id = {name: {one.id: one for one in records[name]} for name in SHELVES}
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
    return {name: tuple(one for one in records[name] if one.id in wanted[name]) for name in SHELVES}


def references_of(record: Record) -> Iterable[tuple[str, str]]:
    """Return what a record refers to: the name of a list, and an id in it."""
    return [
        (_LISTS[field.refers_to], wanted)
        for name, field in facts_of(type(record)).items()
        if field.refers_to is not None and (wanted := getattr(record, name)) is not None
    ]


def plain_record(record: Record) -> dict[str, Any]:
    """Return a record as JSON holds it: every field, the unknown ones as null."""
    return {
        name: None if (value := getattr(record, name)) is None else field.kind.to_json(value)
        for name, field in facts_of(type(record)).items()
    }


def to_document(records: Records, *, private: bool, trip: str | None = None) -> dict[str, Any]:
    """Return records as a document: plain data for JSON, in the order of the format."""
    head = {"format": FORMAT, "version": VERSION, "private": private, "trip": trip}
    return head | {name: [plain_record(one) for one in records.get(name, ())] for name in SHELVES}


def from_document(data: Any, file: str) -> BookDocument:
    """Return what a document holds; DocumentError names the file, the place in it and what is wrong there.

    Each record is checked by itself; whether what it refers to is there only a book can tell.
    """
    try:
        return _document(an_object(data, ""))
    except DocumentError as error:
        raise DocumentError(file, str(error)) from None


def _document(data: dict[str, Any]) -> BookDocument:
    if data.get("format") != FORMAT:
        raise DocumentError("", f'it was not exported by this program: it lacks "format": "{FORMAT}".')
    version = data.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise DocumentError("version", "expected a whole number of 1 or more.")
    if version > VERSION:
        raise DocumentError(
            "version",
            f"a newer version of this program wrote the file (format {shown(version)}; this program "
            f"knows up to {VERSION}); update the program.",
        )
    for name in data:
        if name not in SHELVES and name not in HEAD:
            raise DocumentError(
                "", f'this program does not know the list "{shown(name)}"; update the program.'
            )
    private, trip = data.get("private"), data.get("trip")
    if not isinstance(private, bool):
        raise DocumentError("private", "expected true or false.")
    if trip is not None and not isinstance(trip, str):
        raise DocumentError("trip", "expected the short name of a trip, or null.")
    return BookDocument(private, trip, {name: _records(name, data.get(name, [])) for name in SHELVES})


def _records(name: str, data: Any) -> tuple[Record, ...]:
    found = tuple(
        read_record(SHELVES[name], one, f"{name}[{at}]") for at, one in enumerate(a_list(data, name))
    )
    seen: dict[str, int] = {}
    for at, one in enumerate(found):
        if (first := seen.setdefault(one.id, at)) != at:
            raise DocumentError(f"{name}[{at}].id", f"{name}[{first}] has the same id.")
    return found


def read_record(noun: type[Noun], data: Any, where: str) -> Noun:
    """Return the record that JSON data holds; DocumentError says what is wrong and where.

    A field that may be left out, because books of an earlier version lack it, gets what it would have there.
    """
    given = an_object(data, where)
    facts = facts_of(noun)
    for name in given:
        if name not in facts:
            raise DocumentError(
                where,
                f'this program does not know the field "{shown(name)}"; update the program, or correct '
                f"the file.",
            )
    values: dict[str, Any] = {}
    for name, field in facts.items():
        if name in given:
            one = given[name]
            is_unknown = one is None and field.may_be_unknown
            values[name] = None if is_unknown else field.kind.from_json(one, f"{where}.{name}")
        elif field.is_needed:
            raise DocumentError(where, f'"{name}" is missing.')
    try:
        return noun(**values)
    except LogbookError as error:
        raise DocumentError(where, str(error)) from None


def book_schema() -> Schema:
    """Return the schema of version 1 of the format."""
    head: Schema = {
        "format": {"const": FORMAT},
        "version": {"const": VERSION},
        "private": {
            "type": "boolean",
            "description": "true: a complete copy; false: without anything you keep private",
        },
        "trip": {"type": ["string", "null"], "description": "the one trip it holds; null: a whole book"},
    }
    return {
        "$schema": DIALECT,
        "$id": f"urn:{FORMAT}:export:{VERSION}",
        "title": "A book of the shoot logbook, or one trip of it",
        "description": (
            "null means unknown, an empty list means none. Instants have an offset; clock readings "
            "(taken_local, "
            "since) have none. Shutter speeds are exact fractions of a second. provenance names the "
            "fields that nobody stated. A field that ends in _id holds the id of another record in the "
            "same document."
        ),
        "type": "object",
        "properties": head
        | {name: {"type": "array", "items": _noun(noun)} for name, noun in SHELVES.items()},
        "required": ["format", "version", "private"],
        "additionalProperties": False,
    }


def _noun(noun: type[Record]) -> Schema:
    facts = facts_of(noun)
    return {
        "title": noun.__name__,
        "type": "object",
        "properties": {name: _field(field) for name, field in facts.items()},
        "required": [name for name, field in facts.items() if field.is_needed],
        "additionalProperties": False,
    }


def _field(field: FieldFacts) -> Schema:
    schema = field.kind.schema
    return {"anyOf": [schema, {"type": "null"}]} if field.may_be_unknown else schema
