"""The published JSON Schema of an export, worked out from what the fields of the nouns say of themselves."""

from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.kinds import Schema
from logbook.domain.record import Record
from logbook.services.exports.book_json import FORMAT, VERSION
from logbook.store.desk import SHELVES

DIALECT = "https://json-schema.org/draft/2020-12/schema"


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
