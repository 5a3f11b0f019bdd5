"""The book's schema and its versions: making a new book, and bringing an old one up to date.

One surprising decision: a new book is made from the rows directly and marked as current; migrations run only
when a book is behind, so that Alembic is not loaded on an ordinary evening. A test proves both ways equal.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine
from sqlmodel import SQLModel

from logbook.domain.errors import BookError
from logbook.store import backups, known_files, rows
from logbook.store.changes import objects as changes
from logbook.store.engine import APPLICATION_ID, mark_version, use_write_ahead_log, version_of
from logbook.store.text_index import objects

# In order; a book's user_version counts how many of them it has.
REVISIONS = tuple(f"{number:04}" for number in range(1, 14))
CURRENT = len(REVISIONS)
MIGRATIONS = Path(__file__).with_name("migrations")

assert rows.TripRow.__table__ is not None  # type: ignore[attr-defined]  # the rows are registered by import


def make_or_update(engine: Engine, path: Path, now: Callable[[], datetime]) -> Path | None:
    """Bring the file to the current schema; return the copy that was made of an older book, if any.

    Raises BookError for a SQLite file that is no logbook, or a book that a newer program wrote.
    """
    with engine.connect() as connection:
        state = version_of(connection)
    application_id, version, has_tables = state
    if application_id != APPLICATION_ID and (has_tables or application_id):
        raise BookError(
            f"{path} is not a logbook: it is the SQLite file of another program; name another with --book."
        )
    if version > CURRENT:
        raise BookError(
            f"The book {path} was written by a newer version of this program (book version {version}, "
            f"this program knows {CURRENT}); update the program. Nothing was changed."
        )
    use_write_ahead_log(engine)
    if not has_tables:
        _make(engine)
    elif version < CURRENT:
        return _migrate(engine, path, now)
    return None


def _make(engine: Engine) -> None:
    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        if version_of(connection)[2]:
            return  # another window was faster
        SQLModel.metadata.create_all(connection)
        changes.create_tables(connection)
        known_files.create_table(connection)
        changes.create_triggers(connection)
        objects.create(connection)
        connection.exec_driver_sql(
            "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL PRIMARY KEY)"
        )
        connection.exec_driver_sql("INSERT INTO alembic_version VALUES (?)", (REVISIONS[-1],))
        mark_version(connection, CURRENT)


def _migrate(engine: Engine, path: Path, now: Callable[[], datetime]) -> Path | None:
    from alembic import command
    from alembic.config import Config

    from logbook.store.text_index.keeping import rebuild

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        if version_of(connection)[1] >= CURRENT:
            return None  # another window was faster
        # While the book is locked: nobody can write between the copy and the change.
        copy = backups.make(path, now(), backups.Why.UPDATE)
        config.attributes["connection"] = connection
        objects.drop(connection)  # triggers name columns that a migration may change
        changes.drop_triggers(connection)
        command.upgrade(config, "head")
        changes.create_triggers(connection)
        changes.forget(connection)
        objects.create(connection)
        rebuild(connection)
        mark_version(connection, CURRENT)
    return copy
