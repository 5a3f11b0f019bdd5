"""Copying the records out of a book that is not opened, because its schema holds what is foreign.

One surprising decision: only columns that simply lie in a table are read, row after row and by no index, so
that neither a view nor a generated column is asked; and no more steps are taken than the file has room for.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy.exc import DBAPIError

from logbook.domain.errors import BookError
from logbook.store.book import Book
from logbook.store.connecting import connect, mode_to_read
from logbook.store.engine import APPLICATION_ID, COMPLAINTS, one_line
from logbook.store.expected import words_of
from logbook.store.opening import check_beside
from logbook.store.tables import all_tables, table_named

STEPS_A_BYTE, STEPS_AT_LEAST = (
    20,
    10_000_000,
)  # of SQLite's machine; a plain reading takes less than one a byte
STEPS_AT_ONCE = 10_000  # between two looks at how many were taken


@contextmanager
def copied_out(file: Path, now: Callable[[], datetime]) -> Iterator[Book]:
    """Yield a book of ours in the folder for temporary files, with the records that lie in a file's tables.

    Raises BookError where the file is no logbook, is damaged, or has something else in place of a table.
    """
    check_beside(file)
    with TemporaryDirectory(prefix="logbook-import-") as folder:
        book = Book(Path(folder) / "book.sqlite", now, create=True)
        try:
            with closing(connect(file, mode_to_read(file))) as found, book.writing() as desk:
                _limit_steps(found, file)
                (mark,) = found.execute("PRAGMA application_id").fetchone()
                if mark != APPLICATION_ID:
                    raise BookError(f"{file} is not a logbook: it is the SQLite file of another program.")
                tables = [table.name for table in all_tables()]
                desk.take_rows((table, *_rows(found, table)) for table in tables)
        except COMPLAINTS as error:
            cause = error.orig if isinstance(error, DBAPIError) else error
            raise BookError(
                f"The records of {file} cannot be copied out ({one_line(cause)}); use a backup of it."
            ) from error
        yield book


def _limit_steps(connection: sqlite3.Connection, file: Path) -> None:
    left = max(STEPS_AT_LEAST, STEPS_A_BYTE * file.stat().st_size) // STEPS_AT_ONCE

    def is_too_much() -> bool:
        nonlocal left
        left -= 1
        return left < 0

    connection.set_progress_handler(is_too_much, STEPS_AT_ONCE)


def _rows(connection: sqlite3.Connection, table: str) -> tuple[tuple[str, ...], list[tuple[object, ...]]]:
    """Return those of our columns that a table has, and its rows; both empty if the table is missing."""
    made = connection.execute("SELECT type, sql FROM sqlite_master WHERE name = ?", (table,)).fetchone()
    if made is None:
        return (), []  # a book of an older program
    kind, sql = made
    if kind != "table" or words_of(sql or "")[:2] != ("create", "table"):
        raise BookError(f"The table {table} has been replaced by something else, so nothing was imported.")
    lying = {
        str(column[1]).lower()
        for column in connection.execute(f'PRAGMA table_xinfo("{table}")')
        if column[6] == 0  # neither hidden nor generated
    }
    columns = tuple(one.name for one in table_named(table).columns if one.name in lying)
    if not columns:
        raise BookError(f"This program knows none of the columns of the table {table}; nothing was imported.")
    listed = ", ".join(f'"{name}"' for name in columns)
    return columns, connection.execute(f'SELECT {listed} FROM "{table}" NOT INDEXED').fetchall()
