"""What a kind of value is, what refuses data that cannot be of it, and lists of such values.

One surprising decision: an exposure is `1/125` where another program takes a book over and 0.008 where a
script asks for it, and a time has seconds for the one and none for the other: `to_json` and `to_answer` are
the two spellings of one value, and all but these two kinds have one for both.
"""

import json
import re
from collections.abc import Callable
from enum import Enum
from functools import cache
from typing import Any, ClassVar, Generic, TypeVar

from logbook.domain.errors import InvalidValueError, UnreadableFileError

Schema = dict[str, Any]
Value = TypeVar("Value")
Parsed = TypeVar("Parsed")

_SHOWN = 40  # characters of a wrong value that a sentence repeats


class Stored(Enum):
    """How values lie in a book; the words are those of its tables."""

    TEXT = "VARCHAR"  # as they are
    CODED = "TEXT"  # as the text that `coded` makes and `decoded` reads
    WHOLE = "INTEGER"
    REAL = "FLOAT"
    TRUTH = "BOOLEAN"
    DATE = "DATE"
    TIME = "TIME"


class DocumentError(UnreadableFileError):
    """A document that cannot be what it claims to be; the text says where in it and why."""

    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where}: {why}" if where else why)


class Kind(Generic[Value]):
    """One kind of value; None is no value of any kind, and left to whoever knows that it may be unknown."""

    stored: ClassVar[Stored]

    @property
    def schema(self) -> Schema:
        """How the published schema describes it."""
        raise NotImplementedError

    def coded(self, value: Value) -> str:
        """Return the text that lies in a book, where that is not the value itself."""
        return str(value)

    def decoded(self, text: str) -> Value:
        """Return the value that lies in a book as text."""
        raise NotImplementedError

    def to_json(self, value: Value) -> Any:
        """Return the value as JSON holds it."""
        return value

    def to_answer(self, value: Value) -> Any:
        """Return the value as the answer of a command holds it."""
        return self.to_json(value)

    def from_json(self, data: Any, where: str) -> Value:
        """Return the value that JSON data holds; DocumentError says what is wrong and where."""
        raise NotImplementedError

    def typed(self, text: str) -> Value:
        """Return the value that a person typed; InvalidValueError says what to type."""
        raise InvalidValueError(f'"{text}" cannot be entered here.')


def shown(value: Any) -> str:
    """Return the beginning of a wrong value, in one line that any terminal can print."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=True, default=str)
    text = " ".join(text.encode("ascii", "backslashreplace").decode("ascii").split())
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."


def wrong(where: str, data: Any, wanted: str) -> DocumentError:
    """Return the error of data that is something else than what belongs there."""
    found = {dict: "an object", list: "a list", type(None): "null"}.get(type(data)) or f'"{shown(data)}"'
    return DocumentError(where, f"expected {wanted}, found {found}.")


def an_object(data: Any, where: str) -> dict[str, Any]:
    """Return data that is a JSON object; DocumentError where it is something else."""
    if not isinstance(data, dict):
        raise wrong(where, data, "an object in braces")
    return data


def a_list(data: Any, where: str) -> list[Any]:
    """Return data that is a JSON list; DocumentError where it is something else."""
    if not isinstance(data, list):
        raise wrong(where, data, "a list in brackets")
    return data


def a_text(data: Any, where: str) -> str:
    """Return data that is a text; DocumentError where it is something else, or half a character."""
    if not isinstance(data, str):
        raise wrong(where, data, "a text")
    if not data.isascii() and any("\ud800" <= letter <= "\udfff" for letter in data):
        raise DocumentError(where, "the text contains half a character (a lone surrogate).")
    return data


def parsed(shape: str, parse: Callable[[str], Parsed], data: Any, where: str, wanted: str) -> Parsed:
    """Return what a text of a certain shape (a pattern) says; DocumentError where it is something else."""
    try:
        if isinstance(data, str) and re.fullmatch(shape, data):
            return parse(data)
    except (ValueError, OverflowError):
        pass
    raise wrong(where, data, wanted)


Item = TypeVar("Item")


class ListOf(Kind[tuple[Item, ...]]):
    """A list of words or texts; an empty one is none, which is not unknown."""

    stored = Stored.CODED

    def __init__(self, item: Kind[Item]) -> None:
        self.item = item

    @property
    def schema(self) -> Schema:
        """A list of what it holds."""
        return {"type": "array", "items": self.item.schema}

    def coded(self, value: tuple[Item, ...]) -> str:
        """Return a JSON array, the items in their order."""
        return json.dumps([str(one) for one in value], ensure_ascii=False)

    def decoded(self, text: str) -> tuple[Item, ...]:
        """Return the items in their order."""
        if text == "[]":
            return ()  # as most lists are
        return tuple(map(self.item.decoded, json.loads(text)))

    def to_json(self, value: tuple[Item, ...]) -> list[Any]:
        """Return the items in their order."""
        return [self.item.to_json(one) for one in value]

    def from_json(self, data: Any, where: str) -> tuple[Item, ...]:
        """Return the items in their order."""
        return tuple(self.item.from_json(one, f"{where}[{at}]") for at, one in enumerate(a_list(data, where)))


class Names(ListOf[str]):
    """Names to which a person adds and from which they drop."""


@cache
def list_of(item: Kind[Item]) -> ListOf[Item]:
    """Return the kind of a list."""
    return ListOf(item)
