"""Setting the text index aside: a book goes on without it where it is damaged, until it is rebuilt.

One surprising decision: its entries are taken out of the schema and its tables are never touched, because
SQLite must read what is damaged to drop it. The pages stay unused in the file until a repair makes the file
again.
"""

import sqlite3

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from logbook.store.connecting import set_defensive
from logbook.store.text_index.objects import PREFIX

# What SQLite says where it is not the content that is wrong (SQLite, "Result and Error Codes"): these pass.
_PASSING = frozenset(
    (
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_NOMEM,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_INTERRUPT,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PROTOCOL,
    )
)


def set_index_aside(connection: Connection) -> None:
    """Take the index and its triggers out of the schema; part of the running transaction."""
    raw = connection.connection.dbapi_connection
    assert isinstance(raw, sqlite3.Connection)
    set_defensive(raw, on=False)
    try:
        raw.execute("PRAGMA writable_schema = ON").close()
        raw.execute("DELETE FROM sqlite_master WHERE substr(name, 1, ?) = ?", (len(PREFIX), PREFIX))
        raw.execute(
            "DELETE FROM sqlite_master WHERE substr(tbl_name, 1, ?) = ?", (len(PREFIX), PREFIX)
        )  # the indexes that SQLite made behind its keys
        raw.execute("PRAGMA writable_schema = RESET").close()
        (version,) = raw.execute("PRAGMA schema_version").fetchone()
        raw.execute(f"PRAGMA schema_version = {version + 1}").close()  # other windows read it again
    finally:
        raw.execute("PRAGMA writable_schema = OFF").close()
        set_defensive(raw, on=True)


def is_of_content(error: DBAPIError | sqlite3.Error | UnicodeDecodeError) -> bool:
    """Whether an error of SQLite speaks of what lies in the file, and not of the disk or another window."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    return (getattr(cause, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF) not in _PASSING
