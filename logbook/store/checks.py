"""Checks of a book's file and rows that only SQL can make, and the repairs that SQL can do.

One surprising decision: rows are read one by one where reading them together fails, so that a single bad row
is named instead of hiding all others.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, select, text

from logbook.domain.nouns import NOUNS
from logbook.store.portions import portions
from logbook.store.shelf import Shelf
from logbook.store.tables import table_named


@dataclass(frozen=True, slots=True)
class BrokenReference:
    """A record that refers to one that is not there; `needed`: it means nothing without it."""

    table: str
    id: str
    column: str
    needed: bool


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A row that cannot become a record, and why."""

    table: str
    id: str
    why: str


@dataclass(frozen=True, slots=True)
class Dangling:
    """A set that lists keepers that are not there."""

    id: str
    keeper_ids: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RowChecks:
    """The checks within one transaction."""

    connection: Connection

    def broken_references(self) -> tuple[BrokenReference, ...]:
        """Return the records that refer to nothing."""
        result = []
        for table, rowid, _, key in self.connection.exec_driver_sql("PRAGMA foreign_key_check").all():
            if table not in NOUNS:
                continue
            keys = self.connection.exec_driver_sql(f"PRAGMA foreign_key_list({table})").all()
            column = next(str(one[3]) for one in keys if one[0] == key)
            row_id = self.connection.exec_driver_sql(
                f"SELECT id FROM {table} WHERE rowid = ?", (rowid,)
            ).scalar_one()
            is_needed = not table_named(table).c[column].nullable
            result.append(BrokenReference(table, str(row_id), column, is_needed))
        return tuple(result)

    def dangling_sets(self) -> tuple[Dangling, ...]:
        """Return the sets that list keepers that are not there."""
        keepers = set(self.connection.exec_driver_sql("SELECT id FROM keeper").scalars())
        result = []
        for set_id, listed in self.connection.exec_driver_sql("SELECT id, keeper_ids FROM keeper_set").all():
            try:
                ids = tuple(map(str, json.loads(listed)))
            except (ValueError, TypeError):
                continue  # told as a row that cannot be read
            if missing := tuple(one for one in ids if one not in keepers):
                result.append(Dangling(str(set_id), ids, missing))
        return tuple(result)

    def records(self, shelf: Shelf[Any]) -> Iterator[Any | Unreadable]:
        """Yield every record of a shelf, or why its row cannot become one."""
        table = shelf.table
        ids = [
            str(row_id)
            for row_id in self.connection.exec_driver_sql(
                f"SELECT id FROM {table.name} ORDER BY rowid"
            ).scalars()
        ]
        for some in portions(ids):
            yield from self._some(shelf, table, some)

    def _some(self, shelf: Shelf[Any], table: Table, ids: Sequence[str]) -> Iterator[Any | Unreadable]:
        try:
            rows = self.connection.execute(
                select(table).where(table.c.id.in_(ids)).order_by(text("rowid"))
            ).all()
            yield from [shelf.noun(**row._mapping) for row in rows]
        except Exception as error:  # whatever a value that no program of ours wrote makes of itself
            if len(ids) == 1:
                yield Unreadable(table.name, ids[0], f"{error}".splitlines()[0] if str(error) else "no value")
                return
            middle = len(ids) // 2
            yield from self._some(shelf, table, ids[:middle])
            yield from self._some(shelf, table, ids[middle:])
