"""Column types: how the book's values lie in SQLite.

One surprising decision: instants, rationals and lists are stored as text that a person can read with any
SQLite tool twenty years from now; SQLite's own date handling would lose the offset.
"""

import json
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from enum import StrEnum
from fractions import Fraction
from typing import Any

from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from logbook.domain.horizon import Horizon, horizon_kept
from logbook.domain.words import Provenance


class Instant(TypeDecorator[datetime]):
    """An aware instant, stored as ISO 8601 in UTC with `Z`."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        """Store the instant in UTC; a naive datetime is a programming error."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise TypeError("An instant needs an offset.")
        return value.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:
        """Return the instant, aware, in UTC."""
        return None if value is None else datetime.fromisoformat(value)


class WallTime(TypeDecorator[datetime]):
    """A clock reading without a zone, stored as ISO 8601 without an offset."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        """Store the reading as it stands."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:
        """Return the reading, naive."""
        return None if value is None else datetime.fromisoformat(value)


class Rational(TypeDecorator[Fraction]):
    """An exact rational number, stored as `1/125`."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Fraction | None, dialect: Dialect) -> str | None:
        """Store numerator and denominator."""
        return None if value is None else f"{value.numerator}/{value.denominator}"

    def process_result_value(self, value: str | None, dialect: Dialect) -> Fraction | None:
        """Return the exact value."""
        return None if value is None else Fraction(value)


class HorizonText(TypeDecorator[Horizon]):
    """A viewpoint's horizon, stored as degrees in text or `sea`."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Horizon | None, dialect: Dialect) -> str | None:
        """Store the degrees, or the word."""
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Horizon | None:
        """Return the horizon."""
        return None if value is None else horizon_kept(value)


class Word(TypeDecorator[StrEnum]):
    """One word of a vocabulary."""

    impl = Text
    cache_ok = True

    def __init__(self, vocabulary: type[StrEnum]) -> None:
        super().__init__()
        self.vocabulary = vocabulary

    def process_bind_param(self, value: StrEnum | None, dialect: Dialect) -> str | None:
        """Store the word."""
        return None if value is None else str(self.vocabulary(value))

    def process_result_value(self, value: str | None, dialect: Dialect) -> StrEnum | None:
        """Return the word's enum member."""
        return None if value is None else self.vocabulary(value)


class Listed(TypeDecorator[tuple[Any, ...]]):
    """A tuple of words or text, stored as a JSON array; NULL is unknown, `[]` is none."""

    impl = Text
    cache_ok = True

    def __init__(self, item: Callable[[str], Any] = str) -> None:
        super().__init__()
        self.item = item

    def process_bind_param(self, value: tuple[Any, ...] | None, dialect: Dialect) -> str | None:
        """Store the items in order."""
        return None if value is None else json.dumps([str(item) for item in value], ensure_ascii=False)

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[Any, ...] | None:
        """Return the items in order."""
        return None if value is None else tuple(self.item(item) for item in json.loads(value))


class ProvenanceMap(TypeDecorator[Mapping[str, Provenance]]):
    """Where a record's values came from, by field, stored as a JSON object."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Mapping[str, Provenance] | None, dialect: Dialect) -> str:
        """Store the map with its fields in order."""
        return json.dumps({name: str(word) for name, word in sorted((value or {}).items())})

    def process_result_value(self, value: str | None, dialect: Dialect) -> dict[str, Provenance]:
        """Return the map."""
        return {name: Provenance(word) for name, word in json.loads(value or "{}").items()}
