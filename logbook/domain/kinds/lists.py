"""Lists of values: a tuple in a record, a JSON array in a book and in a document."""

import json
from functools import cache
from typing import Any, TypeVar

from logbook.domain.kinds.kind import Kind, Schema, Stored, a_list

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
