"""The published JSON Schema of an export, worked out from the nouns themselves.

One surprising decision: the schema is both a file of the package and worked out here; a test holds the two
equal, so a noun cannot gain a field that the published format does not name. `python -m
logbook.services.exports.book_schema` prints it anew.
"""

from collections.abc import Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime, time
from enum import StrEnum
from fractions import Fraction
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

from logbook.domain.horizon import SEA_WORD, Horizon
from logbook.domain.record import Record
from logbook.domain.words import Provenance
from logbook.services.exports.book_json import FORMAT, VERSION
from logbook.services.exports.nouns import NOUNS, WALL_TIMES
from logbook.services.exports.plain_values import kinds_of
from logbook.sky.observer import HORIZON_MAX_DEG

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TEXT: Schema = {"type": "string"}
_NUMBER: Schema = {"type": "number"}
_ID: Schema = {"type": "string", "pattern": "^[0-9A-Za-z_-]{1,64}$"}
_INSTANT: Schema = {"type": "string", "format": "date-time"}
_READING: Schema = {
    "type": "string",
    "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?$",
}
_BY_TYPE: Mapping[Any, Schema] = {
    str: _TEXT,
    int: {"type": "integer", "minimum": -(2**63 - 1), "maximum": 2**63 - 1},
    float: _NUMBER,
    bool: {"type": "boolean"},
    Horizon: {
        "anyOf": [
            {"type": "number", "minimum": -HORIZON_MAX_DEG, "maximum": HORIZON_MAX_DEG},
            {"const": SEA_WORD},
        ]
    },
    date: {"type": "string", "format": "date"},
    time: {"type": "string", "pattern": r"^[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?$"},
    Fraction: {"type": "string", "pattern": "^-?[0-9]{1,60}/[0-9]{1,60}$"},
}
_POINT: Schema = {
    "type": "array",
    "prefixItems": [
        _INSTANT,
        {"type": "number", "minimum": -90, "maximum": 90},
        {"type": "number", "minimum": -180, "maximum": 180},
        {"type": ["number", "null"]},
    ],
    "items": False,
    "minItems": 4,
}
_SPECIAL: Mapping[str, Schema] = {
    "id": _ID,
    "slug": {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$", "maxLength": 60},
    "keeper_ids": {"type": "array", "items": _ID},
    "points": {"type": "array", "items": {"type": "array", "items": _POINT}},
    "seen": {"type": "object"},
    "provenance": {"type": "object", "additionalProperties": {"enum": [str(word) for word in Provenance]}},
}


def book_schema() -> Schema:
    """Return the schema of version 1 of the format."""
    head: Schema = {
        "format": {"const": FORMAT},
        "version": {"const": VERSION},
        "private": {
            "type": "boolean",
            "description": "true: a faithful copy; false: without what others must not know",
        },
        "trip": {"type": ["string", "null"], "description": "the one trip it holds; null: a whole book"},
    }
    return {
        "$schema": DIALECT,
        "$id": f"urn:{FORMAT}:export:{VERSION}",
        "title": "A book of the shoot logbook, or one trip of it",
        "description": (
            "null is unknown, an empty list is none. Instants have an offset; clock readings (taken_local, "
            "since) have none. Exposure times are exact fractions of a second. provenance names the "
            "fields that no person stated. A field that ends in _id holds the id of another record of the "
            "same document."
        ),
        "type": "object",
        "properties": head | {name: {"type": "array", "items": _noun(noun)} for name, noun in NOUNS.items()},
        "required": ["format", "version", "private"],
        "additionalProperties": False,
    }


def _noun(noun: type[Record]) -> Schema:
    hints = get_type_hints(noun)
    return {
        "title": noun.__name__,
        "type": "object",
        "properties": {field.name: _field(field.name, hints[field.name]) for field in fields(noun)},
        "required": [
            field.name for field in fields(noun) if field.default is field.default_factory is MISSING
        ],
        "additionalProperties": False,
    }


def _field(name: str, hint: Any) -> Schema:
    kinds = kinds_of(hint)
    (kind,) = (one for one in kinds if one is not NoneType)
    schema = _SPECIAL.get(name) or (_ID if name.endswith("_id") else _kind(name, kind))
    return {"anyOf": [schema, {"type": "null"}]} if NoneType in kinds else schema


def _kind(name: str, kind: Any) -> Schema:
    if get_origin(kind) is tuple:
        return {"type": "array", "items": _kind("", get_args(kind)[0])}
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return {"enum": [str(word) for word in kind]}
    if kind is datetime:
        return _READING if name in WALL_TIMES else _INSTANT
    return _BY_TYPE[kind]


if __name__ == "__main__":
    import sys

    from logbook.services.exports.json_text import json_text

    sys.stdout.write(json_text(book_schema()))
