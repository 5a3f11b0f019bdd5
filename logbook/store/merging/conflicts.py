"""Where two copies stand against each other, and who decides."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from logbook.store.merging.copies import Row, content


class Side(StrEnum):
    """One of the two copies: this book, or the other one that is merged into it."""

    THIS = "this"
    OTHER = "other"

    @property
    def opposite(self) -> "Side":
        """The copy on the other side."""
        return Side.OTHER if self is Side.THIS else Side.THIS


class Clash(StrEnum):
    """In which way two copies stand against each other."""

    EDITED = "edited in both"
    REMOVED = "removed in one, edited in the other"
    TWICE = "added in both"
    NEEDED = "removed in one, needed in the other"


@dataclass(frozen=True, slots=True)
class Conflict:
    """One record on which two copies differ; None is a record that is gone there.

    `this_at` and `other_at` say when each side was last written, or removed.
    """

    clash: Clash
    table: str
    id: str
    this: Row | None
    other: Row | None
    this_at: str
    other_at: str
    needed_by: tuple[str, str] | None = None  # table and name of what needs it

    @property
    def key(self) -> tuple[Clash, str, str]:
        """What tells a conflict from the others."""
        return (self.clash, self.table, self.id)

    @property
    def name(self) -> str:
        """What people call the record."""
        row = self.this or self.other or {}
        return str(row.get("slug") or row.get("on_date") or row.get("file") or row.get("body") or self.id)

    @property
    def fields(self) -> tuple[tuple[str, Any, Any], ...]:
        """The fields in which both differ, with the values of this book and of the other."""
        if self.this is None or self.other is None:
            return ()
        without = ("id", "created", "slug") if self.clash is Clash.TWICE else ()
        this, other = (content(self.table, row, without=without) for row in (self.this, self.other))
        found = [(name, this[name], other[name]) for name in this if this[name] != other[name]]
        return tuple([one for one in found if one[0] != "provenance"] or found)


Decide = Callable[[Conflict], Side | None]


def newer(conflict: Conflict) -> Side:
    """Return the side that was written last; where none was, the same one whoever asks."""
    this = (conflict.this_at, repr(sorted((conflict.this or {}).items())))
    other = (conflict.other_at, repr(sorted((conflict.other or {}).items())))
    return Side.THIS if this >= other else Side.OTHER
