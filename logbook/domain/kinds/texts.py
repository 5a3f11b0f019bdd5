"""Kinds of text: free text, names of records, words of a vocabulary, zones, filters."""

import re
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from typing import Any

from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.kinds.kind import DocumentError, Kind, ListOf, Names, Schema, Stored, a_text, shown
from logbook.domain.words import Priority, Support


class Text(Kind[str]):
    """Free text, as it stands."""

    stored = Stored.TEXT

    @property
    def schema(self) -> Schema:
        """Any text."""
        return {"type": "string"}

    def decoded(self, text: str) -> str:
        """Return the text, as an item of a list."""
        return str(text)

    def from_json(self, data: Any, where: str) -> str:
        """Return a text."""
        return a_text(data, where)

    def typed(self, text: str) -> str:
        """Return what was typed."""
        return text


class Id(Text):
    """The id of a record."""

    _SHAPE = "[0-9A-Za-z_-]{1,64}"

    @property
    def schema(self) -> Schema:
        """Letters, digits, - and _."""
        return {"type": "string", "pattern": f"^{self._SHAPE}$"}

    def from_json(self, data: Any, where: str) -> str:
        """Return an id."""
        text = a_text(data, where)
        if not re.fullmatch(self._SHAPE, text):
            raise DocumentError(where, f'"{shown(text)}" is not an id; ids are letters, digits, - and _.')
        return text


class Slug(Text):
    """The short name of a record."""

    @property
    def schema(self) -> Schema:
        """Small letters and digits, in parts."""
        return {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$", "maxLength": 60}

    def from_json(self, data: Any, where: str) -> str:
        """Return a short name."""
        from logbook.domain.names import check_slug

        text = a_text(data, where)
        try:
            return check_slug(text)
        except LogbookError as error:
            raise DocumentError(where, str(error)) from None


class Zone(Text):
    """A time zone, as the book writes it."""

    def typed(self, text: str) -> str:
        """Read a zone as `Asia/Dushanbe`, in any case, or by its city."""
        from logbook.domain.written.moments import zone_written

        return zone_written(text)


class Direction(Text):
    """Where a wind comes from."""

    def typed(self, text: str) -> str:
        """Read a compass word or degrees."""
        from logbook.domain.written.conditions import direction_written

        return direction_written(text)


class FilterName(Text):
    """One filter, as filters are written."""

    def typed(self, text: str) -> str:
        """Read one filter in any of its spellings."""
        from logbook.domain.written.filters import filter_written

        return filter_written(text)


class Stack(ListOf[str]):
    """The filters on a lens, from its front; none is an empty list."""

    def typed(self, text: str) -> Any:
        """Read filters as `nd64,pol`; `none` is an empty tuple, `unknown` None."""
        from logbook.domain.written.filters import stack_written

        return stack_written(text)


class Word(Kind[StrEnum]):
    """One word of a vocabulary."""

    stored = Stored.CODED

    def __init__(self, vocabulary: type[StrEnum]) -> None:
        self.vocabulary = vocabulary

    @property
    def schema(self) -> Schema:
        """One of its words."""
        return {"enum": [str(word) for word in self.vocabulary]}

    def coded(self, value: StrEnum) -> str:
        """Return the word; ValueError where the vocabulary has none such."""
        return str(self.vocabulary(value))

    def decoded(self, text: str) -> StrEnum:
        """Return the word's member of the vocabulary."""
        return self.vocabulary(text)

    def to_json(self, value: StrEnum) -> str:
        """Return the word."""
        return str(value)

    def from_json(self, data: Any, where: str) -> StrEnum:
        """Return one of its words."""
        try:
            return self.vocabulary(a_text(data, where))
        except ValueError:
            words = ", ".join(self.vocabulary)
            raise DocumentError(where, f'"{shown(data)}" is not one of {words}.') from None

    def typed(self, text: str) -> StrEnum:
        """Read one of its words, in full, by another name or by its beginning."""
        from logbook.domain.written.choices import word_written

        found = word_written(text, self.vocabulary)
        if found is None:
            raise InvalidValueError(
                f'"{text}" is not a choice here; write one of {", ".join(self.vocabulary)}.'
            )
        return found


class SupportWord(Word):
    """What supported the camera."""

    def typed(self, text: str) -> StrEnum:
        """Read what held the camera: `tripod`, `hand-held`."""
        from logbook.domain.written.choices import support_written

        return support_written(text)


class PriorityWord(Word):
    """How much a shot matters."""

    def typed(self, text: str) -> StrEnum:
        """Read how much it matters: `essential`, `must have`."""
        from logbook.domain.written.choices import priority_written

        return priority_written(text)


TEXT = Text()
ID = Id()
SLUG = Slug()
ZONE = Zone()
DIRECTION = Direction()
FILTER = FilterName()
FILTERS = Stack(FILTER)
NAMES = Names(TEXT)
IDS = ListOf(ID)


_OF_WORDS: Mapping[type[StrEnum], type[Word]] = {Support: SupportWord, Priority: PriorityWord}


@cache
def word_of(vocabulary: type[StrEnum]) -> Word:
    """Return the kind of a word of a vocabulary."""
    return _OF_WORDS.get(vocabulary, Word)(vocabulary)
