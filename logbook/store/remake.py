"""Rebuilding a book from its records: the way out where something that follows from them is damaged.

One surprising decision: nothing is mended in place. The records go into a new file, everything else is worked
out there, and the whole is written into the book as one transaction, so that a kill on the way leaves the
book as it was, and another window that wrote meanwhile stops it.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy import Connection, Engine

from logbook.domain.errors import BookError
from logbook.domain.nouns import NOUNS
from logbook.store import seals
from logbook.store.connecting import Mode, connect
from logbook.store.engine import COMPLAINTS, engine_for, explain, write_into
from logbook.store.schema import make_or_update
from logbook.store.seals import seal_all
from logbook.store.soundness import record_tables
from logbook.store.text_index.keeping import rebuild

ROWS_AT_ONCE = 500


def make_anew(engine: Engine, book: Path, now: Callable[[], datetime], *, keep_seals: bool) -> None:
    """Rebuild all that follows from a book's records; raises BookError where the records cannot be read.

    `keep_seals` goes on with the seals as they are; else every record is sealed as it is now.
    """
    try:
        with TemporaryDirectory(prefix="logbook-") as folder:
            fresh = Path(folder) / "book.sqlite"
            new = engine_for(fresh)
            make_or_update(new, fresh, now)
            with closing(connect(book, Mode.READ)) as watching:
                before = _changes_of(watching)
                with (
                    engine.connect().execution_options(writing=False) as old,
                    old.begin(),
                    new.connect().execution_options(writing=True) as made,
                    _as_it_lies(made),
                    made.begin(),
                ):
                    _copy_records(old, made, with_seals=keep_seals)
                    rebuild(made)
                    if not keep_seals:
                        seal_all(made)
                write_into(fresh, book, unless=lambda: _changes_of(watching) != before)
    except COMPLAINTS as error:
        raise explain(error, book) from error
    except OSError as error:
        raise BookError(
            f"The book {book} could not be rebuilt ({error.strerror}) and is unchanged; make room in "
            f"its folder for temporary files."
        ) from error


@contextmanager
def _as_it_lies(made: Connection) -> Iterator[None]:
    """Take rows as they are, even one that refers to nothing: it is reported and mended afterwards."""
    raw = made.connection.dbapi_connection
    assert isinstance(raw, sqlite3.Connection)
    raw.execute("PRAGMA foreign_keys = OFF").close()  # which SQLite takes only outside a transaction
    yield


def _changes_of(connection: sqlite3.Connection) -> int:
    """A number that is another one whenever another window has written to the file."""
    connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    return int(connection.execute("PRAGMA data_version").fetchone()[0])


def _copy_records(old: Connection, made: Connection, *, with_seals: bool) -> None:
    triggers = made.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").all()
    for name, _ in triggers:
        made.exec_driver_sql(f"DROP TRIGGER {name}")  # what they would note is copied, or rebuilt
    for table in (*record_tables(), *(seals.TABLES if with_seals else ())):
        made.exec_driver_sql(f"DELETE FROM {table}")
        kept = [str(row[1]) for row in made.exec_driver_sql(f"PRAGMA table_info({table})")]
        # The number of a row is its order; where a key is that number, or there is none, it is not asked for.
        columns = [*(["rowid"] if table in NOUNS else []), *kept]
        listed = ", ".join(f'"{name}"' for name in columns)
        marks = ", ".join("?" * len(columns))
        found = old.exec_driver_sql(f"SELECT {listed} FROM {table} NOT INDEXED")
        while rows := found.fetchmany(ROWS_AT_ONCE):
            made.exec_driver_sql(
                f"INSERT INTO {table} ({listed}) VALUES ({marks})", [tuple(row) for row in rows]
            )
    for _, statement in triggers:
        made.exec_driver_sql(statement)
