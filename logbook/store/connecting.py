"""How a SQLite file is opened so that nothing in it can run, with the driver alone.

One surprising decision: it stands apart from the engine, because a look at the names in a book, while
somebody types, has no time to load the library of queries.
"""

import sqlite3
from enum import StrEnum
from pathlib import Path

TRIGGER_DEPTH = 8  # triggers within triggers; ours never call another one


class Mode(StrEnum):
    """How a file is opened: to write, also where it is missing, to read, or to read what cannot change."""

    WRITE = "mode=rw"
    MAKE = "mode=rwc"
    READ = "mode=ro"
    UNCHANGING = "mode=ro&immutable=1"


def connect(path: Path, mode: Mode) -> sqlite3.Connection:
    """Open a SQLite file so that its schema can run nothing but SQLite's own harmless functions.

    Defensive mode, and views shut off, where the driver can say so (from Python 3.12 on).
    """
    uri = f"{path.absolute().as_uri()}?{mode}"
    connection = sqlite3.connect(uri, uri=True, check_same_thread=False)
    connection.execute("PRAGMA trusted_schema = OFF").close()
    connection.execute("PRAGMA cell_size_check = ON").close()
    connection.setlimit(sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH, TRIGGER_DEPTH)
    set_defensive(connection, on=True)
    _configure(connection, "SQLITE_DBCONFIG_ENABLE_VIEW", on=False)
    return connection


def set_defensive(connection: sqlite3.Connection, *, on: bool) -> None:
    """Forbid SQL that could damage the file, or allow it for a repair; nothing where the driver cannot."""
    _configure(connection, "SQLITE_DBCONFIG_DEFENSIVE", on=on)


def _configure(connection: sqlite3.Connection, name: str, *, on: bool) -> None:
    configure, option = getattr(connection, "setconfig", None), getattr(sqlite3, name, None)
    if configure is not None and option is not None:
        configure(option, on)


def mode_to_read(file: Path) -> Mode:
    """How to read a file without writing anything beside it, unless somebody else has it open."""
    return Mode.READ if Path(f"{file}-wal").exists() else Mode.UNCHANGING
