"""The kind that a type says by itself."""

from datetime import date, datetime, time
from enum import StrEnum
from fractions import Fraction
from types import NoneType, UnionType
from typing import Any, get_args, get_origin

from logbook.domain.horizon import Horizon
from logbook.domain.kinds.kind import Kind, list_of
from logbook.domain.kinds.numbers import HORIZON, NUMBER, RATIONAL, TRUTH, WHOLE
from logbook.domain.kinds.texts import TEXT, word_of
from logbook.domain.kinds.times import DATE, INSTANT, TIME_OF_DAY

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
