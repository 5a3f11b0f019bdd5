"""What kinds of value the fields of nouns hold: what follows from a kind is said here once.

A kind says how its values lie in a book, how JSON holds them and is read with suspicion, how the published
schema describes them, and what a person types for one.

One surprising decision: most fields name no kind, as their type says it already; only where one type means
several things (a text that is a slug, a number that is a bearing) a field does.
"""

from datetime import date, datetime, time
from enum import StrEnum
from fractions import Fraction
from types import NoneType, UnionType
from typing import Any, get_args, get_origin

from logbook.domain.horizon import Horizon
from logbook.domain.kinds.kind import (
    DocumentError,
    Kind,
    ListOf,
    Names,
    Schema,
    Stored,
    a_list,
    an_object,
    list_of,
    shown,
)
from logbook.domain.kinds.nested import ORIGINS, POINTS, SET_FIELDS
from logbook.domain.kinds.numbers import (
    APERTURE,
    BEARING,
    FOCAL,
    HORIZON,
    ISO,
    NUMBER,
    RATIONAL,
    TRIES,
    TRUTH,
    WHOLE,
)
from logbook.domain.kinds.texts import (
    DIRECTION,
    FILTER,
    FILTERS,
    ID,
    IDS,
    NAMES,
    SLUG,
    TEXT,
    ZONE,
    Word,
    word_of,
)
from logbook.domain.kinds.times import DATE, INSTANT, TIME_OF_DAY, WALL_TIME

__all__ = [
    "APERTURE",
    "BEARING",
    "DATE",
    "DIRECTION",
    "FILTER",
    "FILTERS",
    "FOCAL",
    "HORIZON",
    "ID",
    "IDS",
    "INSTANT",
    "ISO",
    "NAMES",
    "NUMBER",
    "ORIGINS",
    "POINTS",
    "RATIONAL",
    "SET_FIELDS",
    "SLUG",
    "TEXT",
    "TIME_OF_DAY",
    "TRIES",
    "TRUTH",
    "WALL_TIME",
    "WHOLE",
    "ZONE",
    "DocumentError",
    "Kind",
    "ListOf",
    "Names",
    "Schema",
    "Stored",
    "Word",
    "a_list",
    "an_object",
    "kind_of",
    "kind_of_value",
    "list_of",
    "shown",
    "without_none",
    "word_of",
]


_BY_TYPE: dict[Any, Kind[Any]] = {
    str: TEXT,
    int: WHOLE,
    float: NUMBER,
    bool: TRUTH,
    Fraction: RATIONAL,
    date: DATE,
    time: TIME_OF_DAY,
    datetime: INSTANT,
    Horizon: HORIZON,
}


def kind_of(plain_type: Any) -> Kind[Any]:
    """Return the kind that a type says by itself; KeyError for a type of which no field may be."""
    if get_origin(plain_type) is tuple:
        return list_of(kind_of(get_args(plain_type)[0]))
    if isinstance(plain_type, type) and issubclass(plain_type, StrEnum):
        return word_of(plain_type)
    return _BY_TYPE[plain_type]


def kind_of_value(value: Any) -> Kind[Any] | None:
    """Return the kind of a single value, None where no field holds such."""
    return word_of(type(value)) if isinstance(value, StrEnum) else _BY_TYPE.get(type(value))


def without_none(hint: Any) -> tuple[Any, bool]:
    """Return a type without None, and whether None was in it."""
    if not isinstance(hint, UnionType):
        return hint, False
    (known,) = (one for one in get_args(hint) if one is not NoneType)
    return known, True
