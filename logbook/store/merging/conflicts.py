"""Where two copies stand against each other, and who decides."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from logbook.store.merging.copies import Row, content


class Side(StrEnum):
    """One of the two copies."""

    OURS = "ours"
    THEIRS = "theirs"

    @property
    def other(self) -> "Side":
        """The other copy."""
        return Side.THEIRS if self is Side.OURS else Side.OURS


class Clash(StrEnum):
    """In which way two copies stand against each other."""

    EDITED = "edited in both"
    REMOVED = "removed in one, edited in the other"
    TWICE = "written down in both"
    NEEDED = "removed in one, needed in the other"


@dataclass(frozen=True, slots=True)
class Conflict:
    """One record on which two copies differ; None is a record that is gone there.

    `ours_at` and `theirs_at` say when each side was last written, or removed.
    """

    clash: Clash
    table: str
    id: str
    ours: Row | None
    theirs: Row | None
    ours_at: str
    theirs_at: str
    needed_by: tuple[str, str] | None = None  # table and name of what needs it

    @property
    def key(self) -> tuple[Clash, str, str]:
        """What tells a conflict from the others."""
        return (self.clash, self.table, self.id)

    @property
    def name(self) -> str:
        """What people call the record."""
        row = self.ours or self.theirs or {}
        return str(row.get("slug") or row.get("on_date") or row.get("file") or row.get("body") or self.id)

    @property
    def fields(self) -> tuple[tuple[str, Any, Any], ...]:
        """The fields in which both differ, with the values of ours and of theirs."""
        if self.ours is None or self.theirs is None:
            return ()
        without = ("id", "created", "slug") if self.clash is Clash.TWICE else ()
        ours, theirs = (content(self.table, row, without=without) for row in (self.ours, self.theirs))
        found = [(name, ours[name], theirs[name]) for name in ours if ours[name] != theirs[name]]
        return tuple([one for one in found if one[0] != "provenance"] or found)


Decide = Callable[[Conflict], Side | None]


def newer(conflict: Conflict) -> Side:
    """Return the side that was written last; where none was, the same one whoever asks."""
    ours = (conflict.ours_at, repr(sorted((conflict.ours or {}).items())))
    theirs = (conflict.theirs_at, repr(sorted((conflict.theirs or {}).items())))
    return Side.OURS if ours >= theirs else Side.THEIRS
