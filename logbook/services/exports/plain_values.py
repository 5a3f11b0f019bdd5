"""A record as JSON holds it, and back: every value by the type its noun gives it.

One surprising decision: what a field may hold is read from the noun's own annotations, in both directions, so
that a noun which gains a field is exported with it the same day.
"""

import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields
from datetime import UTC, date, datetime, time
from enum import StrEnum
from fractions import Fraction
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from logbook.domain.checks import check_place
from logbook.domain.errors import LogbookError, UnreadableFileError
from logbook.domain.horizon import SEA, SEA_WORD, Horizon
from logbook.domain.names import check_slug
from logbook.domain.record import Record
from logbook.domain.words import Provenance
from logbook.services.exports.nouns import NESTED, WALL_TIMES

Noun = TypeVar("Noun", bound=Record)

LARGEST_WHOLE = 2**63 - 1  # SQLite's integers have 64 bits
_ID = re.compile(r"[0-9A-Za-z_-]{1,64}")
_RATIONAL = re.compile(r"(-?[0-9]{1,60})/([0-9]{1,60})")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_TIME = re.compile(r"[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?")
_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?(Z|[+-][0-9]{2}:[0-9]{2})"
)
_READING = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?")
_SHOWN = 40  # characters of a wrong value that a sentence repeats


class DocumentError(UnreadableFileError):
    """A document that cannot be what it claims to be; the text says where in it and why."""

    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where}: {why}" if where else why)


def plain_record(record: Record) -> dict[str, Any]:
    """Return a record as JSON holds it: every field, the unknown ones as null."""
    return {field.name: _plain(field.name, getattr(record, field.name)) for field in fields(record)}


def _plain(name: str, value: Any) -> Any:
    if name in NESTED:
        return json.loads(value)
    if value is None or isinstance(value, bool | int | float):
        return value
    if isinstance(value, Horizon):
        return value.plain
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    if isinstance(value, datetime):
        return value.isoformat().replace("+00:00", "Z")
    if isinstance(value, time | date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {key: _plain("", item) for key, item in sorted(value.items())}
    if isinstance(value, tuple):
        return [_plain("", item) for item in value]
    return str(value)


def read_record(noun: type[Noun], data: Any, where: str) -> Noun:
    """Return the record that JSON data holds; DocumentError says what is wrong and where.

    A field that may be left out, because books of an earlier version lack it, gets what it would have there.
    """
    given = an_object(data, where)
    known = readers(noun)
    for name in given:
        if name not in known:
            raise DocumentError(
                where, f'this program knows no field "{shown(name)}"; update the program, or mend the file.'
            )
    values: dict[str, Any] = {}
    for field in fields(noun):
        if field.name in given:
            values[field.name] = known[field.name](given[field.name], f"{where}.{field.name}")
        elif _is_needed(field):
            raise DocumentError(where, f'"{field.name}" is missing.')
    try:
        return noun(**values)
    except LogbookError as error:
        raise DocumentError(where, str(error)) from None


def an_object(data: Any, where: str) -> dict[str, Any]:
    """Return data that is a JSON object; DocumentError where it is something else."""
    if not isinstance(data, dict):
        raise _wrong(where, data, "an object in braces")
    return data


def a_list(data: Any, where: str) -> list[Any]:
    """Return data that is a JSON list; DocumentError where it is something else."""
    if not isinstance(data, list):
        raise _wrong(where, data, "a list in brackets")
    return data


def shown(value: Any) -> str:
    """Return the beginning of a wrong value, in one line that any terminal can print."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=True, default=str)
    text = " ".join(text.encode("ascii", "backslashreplace").decode("ascii").split())
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."


Reader = Callable[[Any, str], Any]


def readers(noun: type[Record]) -> Mapping[str, Reader]:
    """Return the reader of each field of a noun, by name."""
    kept: Any = noun  # a class is hashable, whatever its instances are
    return _readers(kept)


@cache
def _readers(noun: Any) -> Mapping[str, Reader]:
    hints = get_type_hints(noun)
    return {field.name: _reader(field.name, hints[field.name]) for field in fields(noun)}


def _is_needed(field: "Field[Any]") -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def kinds_of(hint: Any) -> tuple[Any, ...]:
    """Return the types that an annotation allows."""
    return get_args(hint) if isinstance(hint, UnionType) else (hint,)


def _reader(name: str, hint: Any) -> Reader:
    kinds = kinds_of(hint)
    (kind,) = (one for one in kinds if one is not NoneType)
    read = _special(name) or _by_kind(name, kind)
    if NoneType not in kinds:
        return read
    return lambda data, where: None if data is None else read(data, where)


def _special(name: str) -> Reader | None:
    return {"id": _an_id, "slug": _a_slug, "points": _points, "seen": _seen}.get(name) or (
        _an_id if name.endswith("_id") else None
    )


def _by_kind(name: str, kind: Any) -> Reader:
    if get_origin(kind) is tuple:
        item = _an_id if name == "keeper_ids" else _by_kind("", get_args(kind)[0])
        return lambda data, where: _a_tuple(item, data, where)
    if name == "provenance":
        return _provenance
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return lambda data, where: _a_word(kind, data, where)
    if kind is datetime:
        return _a_reading if name in WALL_TIMES else _an_instant
    return _BY_TYPE[kind]


def _wrong(where: str, data: Any, wanted: str) -> DocumentError:
    found = {dict: "an object", list: "a list", type(None): "null"}.get(type(data)) or f'"{shown(data)}"'
    return DocumentError(where, f"{wanted} belongs here, and it is {found}.")


def _a_text(data: Any, where: str) -> str:
    if not isinstance(data, str):
        raise _wrong(where, data, "a text")
    if not data.isascii() and any("\ud800" <= letter <= "\udfff" for letter in data):
        raise DocumentError(where, "the text holds half a character (a lone surrogate).")
    return data


def _an_id(data: Any, where: str) -> str:
    text = _a_text(data, where)
    if not _ID.fullmatch(text):
        raise DocumentError(where, f'"{shown(text)}" is no id; ids are letters, digits, - and _.')
    return text


def _a_slug(data: Any, where: str) -> str:
    text = _a_text(data, where)
    try:
        return check_slug(text)
    except LogbookError as error:
        raise DocumentError(where, str(error)) from None


def _a_whole(data: Any, where: str) -> int:
    if isinstance(data, bool) or not isinstance(data, int):
        raise _wrong(where, data, "a whole number")
    if abs(data) > LARGEST_WHOLE:
        raise DocumentError(where, "the number is larger than a book can hold.")
    return data


def _a_number(data: Any, where: str) -> float:
    if isinstance(data, bool) or not isinstance(data, int | float):
        raise _wrong(where, data, "a number")
    try:
        number = float(data)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise DocumentError(where, "the number is larger than a book can hold.")
    return number


def _a_horizon(data: Any, where: str) -> Horizon:
    if data == SEA_WORD:
        return SEA
    if isinstance(data, str):
        raise _wrong(where, data, f'degrees or "{SEA_WORD}"')
    try:
        return Horizon(_a_number(data, where))
    except LogbookError as error:
        raise DocumentError(where, str(error)) from None


def _a_truth(data: Any, where: str) -> bool:
    if not isinstance(data, bool):
        raise _wrong(where, data, "true or false")
    return data


def _a_rational(data: Any, where: str) -> Fraction:
    found = _RATIONAL.fullmatch(data) if isinstance(data, str) else None
    if not found or not int(found[2]):
        raise _wrong(where, data, 'a fraction such as "1/125"')
    return Fraction(int(found[1]), int(found[2]))


def _a_date(data: Any, where: str) -> date:
    return _parsed(_DATE, date.fromisoformat, data, where, 'a date such as "2031-10-14"')


def _a_time(data: Any, where: str) -> time:
    return _parsed(_TIME, time.fromisoformat, data, where, 'a time of day such as "17:20:00"')


def _a_reading(data: Any, where: str) -> datetime:
    wanted = 'a clock reading without an offset, such as "2031-10-14T17:42:10",'
    return _parsed(_READING, datetime.fromisoformat, data, where, wanted)


def _an_instant(data: Any, where: str) -> datetime:
    wanted = 'an instant with its offset, such as "2031-10-14T12:42:10Z",'
    return _parsed(_INSTANT, _in_utc, data, where, wanted)


def _in_utc(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


Parsed = TypeVar("Parsed")


def _parsed(
    shape: re.Pattern[str], parse: Callable[[str], Parsed], data: Any, where: str, wanted: str
) -> Parsed:
    try:
        if isinstance(data, str) and shape.fullmatch(data):
            return parse(data)
    except (ValueError, OverflowError):
        pass
    raise _wrong(where, data, wanted)


def _a_word(vocabulary: type[StrEnum], data: Any, where: str) -> StrEnum:
    try:
        return vocabulary(_a_text(data, where))
    except ValueError:
        words = ", ".join(vocabulary)
        raise DocumentError(where, f'"{shown(data)}" is none of its words: {words}.') from None


def _a_tuple(item: Reader, data: Any, where: str) -> tuple[Any, ...]:
    return tuple(item(one, f"{where}[{at}]") for at, one in enumerate(a_list(data, where)))


def _provenance(data: Any, where: str) -> dict[str, Provenance]:
    return {
        _a_text(name, where): Provenance(_a_word(Provenance, word, f"{where}.{shown(name)}"))
        for name, word in an_object(data, where).items()
    }


def _points(data: Any, where: str) -> str:
    """Read the segments of a track: lists of [instant, latitude, longitude, elevation or null]."""
    for at, segment in enumerate(a_list(data, where)):
        for number, point in enumerate(a_list(segment, f"{where}[{at}]")):
            here = f"{where}[{at}][{number}]"
            if not isinstance(point, list) or len(point) != 4:
                raise DocumentError(here, "a point is [instant, latitude, longitude, elevation].")
            moment, latitude_deg, longitude_deg, elevation_m = point
            _an_instant(moment, here)
            place = _a_number(latitude_deg, here), _a_number(longitude_deg, here)
            if elevation_m is not None:
                _a_number(elevation_m, here)
            try:
                check_place(*place, "point")
            except LogbookError as error:
                raise DocumentError(here, str(error)) from None
    return json.dumps(data)


def _seen(data: Any, where: str) -> str:
    """Read what a line of a day file set: plain values by field, and under "?" what it only proposed."""
    for name, value in an_object(data, where).items():
        _a_text(name, where)
        here = f"{where}.{shown(name)}"
        if isinstance(value, dict):
            _provenance(value, here)
            continue
        for item in value if isinstance(value, list) else (value,):
            if isinstance(item, str):
                _a_text(item, here)
            elif item is not None and not isinstance(item, bool | int | float):
                raise _wrong(here, item, "a plain value")
    return json.dumps(data, ensure_ascii=False)


_BY_TYPE: Mapping[Any, Reader] = {
    str: _a_text,
    int: _a_whole,
    float: _a_number,
    bool: _a_truth,
    Horizon: _a_horizon,
    date: _a_date,
    time: _a_time,
    Fraction: _a_rational,
}
