"""Whether what lies in a book's file is what was written there, and what can be rebuilt where it is not.

One surprising decision: SQLite's own check is asked once for the whole file and, only where that finds
something, once more for each table of records. So damage is told apart: in records, in what is derived from
them, or in the list of free pages, from which nothing may be written any more.
"""

from dataclasses import dataclass

from sqlalchemy import Connection

from logbook.domain.nouns import NOUNS
from logbook.store import known_files, seals
from logbook.store.changes import objects as changes
from logbook.store.engine import COMPLAINTS, one_line
from logbook.store.expected import SchemaFound
from logbook.store.tables import all_tables

MOST_LINES = 200  # lines of SQLite's own check that are read; more say no more


@dataclass(frozen=True, slots=True)
class Soundness:
    """What was found in a file: SQLite's lines, and what they concern."""

    lines: tuple[str, ...]
    records: tuple[str, ...]  # tables whose rows cannot all be read
    indexes: tuple[str, ...]  # tables whose rows can be read, and whose own indexes are damaged
    index: bool  # the text index is damaged or not there
    free_pages: bool  # the list of free pages is damaged, or damage that could not be placed: write nothing
    changed: tuple[tuple[str, str], ...] = ()  # records, table and id, that are changed from outside, or gone
    seals: bool = False  # the seals are damaged, so that not all records could be compared
    missing: tuple[str, ...] = ()  # triggers and indexes of the records that are not there

    @property
    def is_whole(self) -> bool:
        """Whether all of it is as it was written."""
        return not (self.lines or self.index or self.changed or self.seals or self.missing)

    @property
    def may_read(self) -> bool:
        """Whether what is read is what was written."""
        return not (self.records or self.indexes or self.changed)

    @property
    def may_write(self) -> bool:
        """Whether writing cannot do more damage, the text index set aside."""
        return self.may_read and not (self.free_pages or self.missing)


WHOLE = Soundness((), (), (), index=False, free_pages=False)


def soundness(connection: Connection, schema: SchemaFound) -> Soundness:
    """Look through a whole file, within one transaction that has begun; its schema must be known as ours."""
    lines = _check(connection, f"({MOST_LINES})")
    if not lines:
        compared = seals.compare(connection)
        return Soundness(
            (),
            (),
            (),
            index=not schema.index_is_whole,
            free_pages=False,
            changed=compared.changed,
            seals=not compared.are_whole,
            missing=schema.missing_derived,
        )
    sealed = not any(_check(connection, f"({table})") for table in seals.TABLES)
    records: list[str] = []
    indexes: list[str] = []  # of which tables
    for table in record_tables():
        if told := _check(connection, f"({table})"):
            (indexes if _can_be_read(connection, table, told, sealed=sealed) else records).append(table)
    compared = seals.compare(connection) if sealed and not records else seals.Compared((), are_whole=sealed)
    searched = [name for name in _names(connection, "search_") if _check(connection, f"({name})")]
    unexplained = [line for line in lines if "never used" not in line and not line.startswith("***")]
    unplaced = bool(unexplained) and sealed and not (records or indexes or searched)
    free = any("freelist" in line.lower() for line in unexplained)
    return Soundness(
        tuple(lines),
        tuple(records),
        tuple(indexes),
        index=bool(searched) or not schema.index_is_whole,
        free_pages=free or unplaced or not sealed,
        changed=compared.changed,
        seals=not compared.are_whole,
        missing=schema.missing_derived,
    )


def record_tables() -> tuple[str, ...]:
    """Return the tables that hold what cannot be rebuilt."""
    nouns = [table.name for table in all_tables()]
    return (*nouns, *changes.TABLES, *known_files.TABLES_SQL)


def _check(connection: Connection, what: str) -> list[str]:
    try:
        found = connection.exec_driver_sql(f"PRAGMA integrity_check{what}").scalars().all()
    except COMPLAINTS as error:
        return [one_line(error)]
    return [str(line) for one in found if one != "ok" for line in str(one).splitlines()]


def _can_be_read(connection: Connection, table: str, told: list[str], *, sealed: bool) -> bool:
    """Whether the rows themselves are whole, and what is damaged are only the indexes over them.

    Where each record is as its seal says, it is, whatever else SQLite met; else SQLite's words must say so.
    """
    if sealed and table in NOUNS:
        try:
            found = seals.compare(connection, [table])
        except COMPLAINTS:
            return False
        return found.are_whole and not found.changed
    return all(" missing from index " in line or "wrong # of entries in index" in line for line in told)


def _names(connection: Connection, prefix: str) -> list[str]:
    found = connection.exec_driver_sql(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND sql NOT LIKE 'CREATE VIRTUAL%%'"
        " AND substr(name, 1, ?) = ?",
        (len(prefix), prefix),
    )
    return [str(name) for name in found.scalars()]
