"""A copy of a book as merging sees it: its rows, which versions it knows to be superseded, and conflicts.

A version of a row is its `updated` text; the version of a row that was removed is `gone ` and the instant.
A conflict is where two copies stand against each other; a person decides.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any, NamedTuple

from sqlalchemy import Connection

from logbook.store.changes.objects import GONE
from logbook.store.tables import all_tables, unique_fields

Row = dict[str, Any]
Rows = dict[str, dict[str, Row]]  # table to id to row
TABLES = tuple(table.name for table in all_tables())  # what is referred to comes first
REFERENCES: Mapping[str, Mapping[str, tuple[str, bool]]] = {  # table to column to target, and whether needed
    table.name: {
        column.name: (key.column.table.name, not column.nullable)
        for column in table.columns
        for key in column.foreign_keys
    }
    for table in all_tables()
}
SLUGS: Mapping[str, tuple[str, ...]] = {  # table to the columns within which a slug is alone
    table.name: fields for table in all_tables() for fields in unique_fields(table) if "slug" in fields
}
_EXTRA: Mapping[str, list[tuple[str, ...]]] = {
    "body_clock": [("trip_id", "body", "since")]
}  # not enforced, and yet one thing
NATURAL: Mapping[str, list[tuple[str, ...]]] = {  # table to what else no second row may share
    table.name: [fields for fields in unique_fields(table) if "slug" not in fields]
    + _EXTRA.get(table.name, [])
    for table in all_tables()
}
IN_TEXT: Mapping[str, tuple[str, ...]] = {  # columns of text that hold ids, which no foreign key tells
    "day_line": ("record_id", "seen"),
    "night_answer": ("answer",),
}
QUIET = frozenset(("night_answer", "day_line", "loose_line"))  # the program's own notes; nobody is asked
_SECOND = timedelta(microseconds=1)


class Removal(NamedTuple):
    """That a record was removed, and what took its place, if anything did."""

    table: str
    at: str
    became: str | None = None

    @property
    def version(self) -> str:
        """The version of a record that is gone."""
        return GONE + self.at


@dataclass(frozen=True, slots=True)
class Copy:
    """All that one copy of a book knows."""

    rows: Rows
    earlier: Mapping[str, frozenset[str]]
    removals: Mapping[str, tuple[Removal, ...]]

    def knows(self, record_id: str, version: str) -> bool:
        """Whether a version is superseded here."""
        return version in self.earlier.get(record_id, frozenset())

    def removal(self, record_id: str) -> Removal | None:
        """Return the removal of a record that is gone; the last one where there were several."""
        found = [one for one in self.removals.get(record_id, ()) if not self.knows(record_id, one.version)]
        return max(found, key=lambda one: one.at, default=None)


def read_copy(connection: Connection) -> Copy:
    """Read a whole copy; memory grows with the book."""
    rows: Rows = {
        table: {
            row["id"]: dict(row)
            for row in connection.exec_driver_sql(f"SELECT * FROM {table} ORDER BY rowid").mappings()
        }
        for table in TABLES
    }
    earlier: dict[str, set[str]] = {}
    for record_id, version in connection.exec_driver_sql("SELECT id, version FROM earlier"):
        earlier.setdefault(record_id, set()).add(version)
    removals: dict[str, list[Removal]] = {}
    for record_id, *removal in connection.exec_driver_sql("SELECT id, table_name, at, became FROM removal"):
        removals.setdefault(record_id, []).append(Removal(*removal))
    return Copy(
        rows,
        {record_id: frozenset(versions) for record_id, versions in earlier.items()},
        {record_id: tuple(found) for record_id, found in removals.items()},
    )


def content(table: str, row: Row, *, without: Iterable[str] = ()) -> Row:
    """Return what a row says: not when it was last written, nor where a picture lies on one computer."""
    left = {"updated", "path", *without} if table == "keeper" else {"updated", *without}
    said = {name: value for name, value in row.items() if name not in left}
    if table == "keeper":
        said["also"] = sorted(line.partition("  ")[0] for line in json.loads(row["also"]))
    return said


def at_home(table: str, row: Row, here: Row | None) -> Row:
    """Return a row with the paths of this computer, where it has the picture too."""
    if table != "keeper" or here is None:
        return row
    same = content(table, row)["also"] == content(table, here)["also"]
    return row | {"path": here["path"]} | ({"also": here["also"]} if same else {})


def after(*instants: str) -> str:
    """Return the instant just after the last of some: a new version that both copies make alike."""
    moment = datetime.fromisoformat(max(instants)) + _SECOND
    return moment.replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def pointed_anew(rows: Rows, became: Mapping[str, str]) -> None:
    """Let everything that refers to a record refer to the one that took its place."""
    if not became:
        return
    for table, columns in REFERENCES.items():
        for row in rows[table].values():
            for column in columns:
                if row[column] in became:
                    row[column] = became[row[column]]
    for row in rows["keeper_set"].values():
        ids = json.loads(row["keeper_ids"])
        row["keeper_ids"] = json.dumps(list(dict.fromkeys(became.get(one, one) for one in ids)))
    for table, names in IN_TEXT.items():
        for row in rows[table].values():
            for name in names:
                for old, new in became.items():
                    row[name] = row[name].replace(old, new)


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
