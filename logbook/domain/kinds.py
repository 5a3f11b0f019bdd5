"""What kinds of value the fields of nouns hold: what follows from a kind is said here once.

One surprising decision: most fields need no word about their kind, as their type says it already; only where
one type means several things (a text that is a slug, a number that is a bearing) a field names its kind.
"""

from dataclasses import dataclass
from datetime import date, datetime, time
from enum import StrEnum
from fractions import Fraction
from functools import cache
from types import NoneType, UnionType
from typing import Any, get_args, get_origin

from logbook.domain.horizon import Horizon


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of value; `item` is the kind of what a list holds."""

    name: str
    item: "Kind | None" = None


TEXT = Kind("text")
ID = Kind("id")
SLUG = Kind("slug")
WHOLE = Kind("whole number")
NUMBER = Kind("number")
TRUTH = Kind("yes or no")
RATIONAL = Kind("rational number")
DATE = Kind("date")
TIME_OF_DAY = Kind("time of day")
INSTANT = Kind("instant")
WALL_TIME = Kind("reading of a clock")  # without an offset
HORIZON = Kind("horizon")
ORIGINS = Kind("origins")  # field to the word for where its value came from
POINTS = Kind("points of a track")  # JSON text
SET_FIELDS = Kind("fields that a line set")  # JSON text

# Texts and numbers that a person types in a way of their own.
BEARING = Kind("bearing")
ZONE = Kind("time zone")
FILTER = Kind("filter")
APERTURE = Kind("aperture")
FOCAL = Kind("focal length")
ISO = Kind("ISO")
TRIES = Kind("number of tries")


@cache
def list_of(item: Kind) -> Kind:
    """Return the kind of a list."""
    return Kind(f"list of {item.name}", item)


NAMES = Kind("names", TEXT)  # a list to which a person adds and from which they drop
FILTERS = list_of(FILTER)
IDS = list_of(ID)


@cache
def word_of(_vocabulary: type[StrEnum]) -> Kind:
    """Return the kind of a word of a vocabulary."""
    return Kind("word")


_BY_TYPE: dict[Any, Kind] = {
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


def kind_of(plain_type: Any) -> Kind:
    """Return the kind that a type says by itself; KeyError for a type of which no field may be."""
    if get_origin(plain_type) is tuple:
        return list_of(kind_of(get_args(plain_type)[0]))
    if isinstance(plain_type, type) and issubclass(plain_type, StrEnum):
        return word_of(plain_type)
    return _BY_TYPE[plain_type]


def without_none(hint: Any) -> tuple[Any, bool]:
    """Return a type without None, and whether None was in it."""
    if not isinstance(hint, UnionType):
        return hint, False
    (known,) = (one for one in get_args(hint) if one is not NoneType)
    return known, True
