"""The book's schema and its versions: making a new book, and bringing an old one up to date.

One surprising decision: a new book is made from the rows directly and marked as current; the steps of
`migrations` are taken only when a book is behind. A test proves both ways equal.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from logbook.domain.errors import BookError, NotFoundError
from logbook.store import backups, expected, known_files, migrations, seals, tables
from logbook.store.changes import objects as changes
from logbook.store.connecting import mode_to_read
from logbook.store.engine import (
    APPLICATION_ID,
    COMPLAINTS,
    SQLITE_MAGIC,
    engine_for,
    mark_version,
    one_line,
    use_write_ahead_log,
    uses_write_ahead_log,
    version_of,
)
from logbook.store.expected import VERSION_TABLE, SchemaFound
from logbook.store.migrations import CURRENT
from logbook.store.opening import check_beside
from logbook.store.text_index import objects

SAID_TWICE = range(1, 19)  # versions of which a book said in a table of its own, too, which one it is


@dataclass(frozen=True, slots=True)
class Stand:
    """How a file stands: its marks, and how its schema compares; no schema where it holds nothing yet."""

    version: int
    schema: SchemaFound | None

    @property
    def is_behind(self) -> bool:
        """Whether an older program made it."""
        return self.schema is not None and self.version < CURRENT

    @property
    def is_current(self) -> bool:
        """Whether it holds a book as this program makes one."""
        return self.schema is not None and self.version == CURRENT


def look(connection: Connection, path: Path) -> Stand:
    """Return how a file stands, within one transaction that has begun; nothing of its schema runs.

    Raises BookError for a SQLite file that is no logbook, a book that a newer program wrote, and one that
    holds what this program did not make.
    """
    application_id, version, has_tables = version_of(connection)
    if application_id != APPLICATION_ID and (has_tables or application_id):
        raise BookError(
            f"{path} is not a logbook: it is the SQLite file of another program; name another with --book."
        )
    if version > CURRENT:
        raise BookError(
            f"The book {path} was written by a newer version of this program (book version {version}; "
            f"this program knows up to {CURRENT}); update the program. Nothing was changed."
        )
    if not has_tables:
        return Stand(version, None)
    found = expected.compare(connection, is_current=version == CURRENT)
    if found.foreign:
        raise BookError(
            f"The book {path} holds objects that this program did not make "
            f"({expected.named(found.foreign)}), so it was not opened and nothing in it ran; "
            f'"logbook import {path} --book NEW.sqlite" copies its records out.'
        )
    if found.missing_tables:
        raise BookError(
            f"The book {path} is damaged (it has no table {found.missing_tables[0]}); "
            '"logbook restore" puts a backup in its place.'
        )
    said = _versions_said(connection)
    if version < 1 or said != ([f"{version:04}"] if version in SAID_TWICE else []):
        raise BookError(
            f"The book {path} states conflicting version numbers ({version}, and "
            f'{", ".join(said) or "none"}); nothing was changed. "logbook restore" puts a backup in its '
            "place."
        )
    return Stand(version, found)


def _versions_said(connection: Connection) -> list[str]:
    named = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = ?"
    if not connection.exec_driver_sql(named, (VERSION_TABLE,)).scalar_one():
        return []
    return [
        str(one) for one in connection.exec_driver_sql(f"SELECT version_num FROM {VERSION_TABLE}").scalars()
    ]


def version_in(file: Path) -> int:
    """Return the schema version of a file that is a sound logbook; BookError says what else it is."""
    if not file.is_file():
        raise NotFoundError(f'There is no backup {file}; "logbook backup --list" shows them.')
    try:
        with file.open("rb") as content:
            if content.read(len(SQLITE_MAGIC)) != SQLITE_MAGIC:
                raise BookError(f"{file} is not a logbook: it is not an SQLite file; nothing was changed.")
        check_beside(file)
        engine = engine_for(file, mode_to_read(file))
        with engine.connect().execution_options(writing=False) as connection, connection.begin():
            stand = look(connection, file)
            if stand.schema is None:
                raise BookError(f"{file} holds no tables, so there is nothing to take from it.")
            found = connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar_one()
            if found != "ok":
                raise BookError(f"{file} is damaged ({found}); nothing was changed. Choose another backup.")
            return stand.version
    except OSError as error:
        raise BookError(f"{file} cannot be read ({error.strerror}); nothing was changed.") from error
    except COMPLAINTS as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        raise BookError(
            f"{file} is damaged ({one_line(cause)}); nothing was changed. Choose another backup."
        ) from error


def make_or_update(engine: Engine, path: Path, now: Callable[[], datetime]) -> Path | None:
    """Bring the file to the current schema; return the copy that was made of an older book, if any.

    Raises BookError as `look` does, before anything is written.
    """
    with engine.connect().execution_options(writing=False) as connection, connection.begin():
        stand = look(connection, path)
        is_logged = uses_write_ahead_log(connection)
    if not is_logged:
        use_write_ahead_log(engine)
    if stand.schema is None:
        _make(engine)
    elif stand.is_behind:
        return _migrate(engine, path, now)
    return None


def _make(engine: Engine) -> None:
    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        if version_of(connection)[2]:
            return  # another window was faster
        tables.create_tables(connection)
        changes.create_tables(connection)
        known_files.create_tables(connection)
        seals.create_tables(connection)
        changes.create_triggers(connection)
        seals.create_triggers(connection)
        objects.create(connection)
        mark_version(connection, CURRENT)


def _migrate(engine: Engine, path: Path, now: Callable[[], datetime]) -> Path | None:
    from logbook.store.text_index.keeping import rebuild

    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        _, version, _ = version_of(connection)
        if version >= CURRENT:
            return None  # another window was faster
        # While the book is locked: nobody can write between the copy and the change.
        copy = backups.make(path, now(), backups.Why.UPDATE)
        objects.drop(connection)  # triggers name columns that a migration may change
        changes.drop_triggers(connection)
        seals.drop_triggers(connection)
        migrations.apply(connection, version)
        changes.create_triggers(connection)
        seals.create_triggers(connection)
        changes.forget(connection)
        objects.create(connection)
        rebuild(connection)
        seals.seal_all(connection)
        mark_version(connection, CURRENT)
    return copy
