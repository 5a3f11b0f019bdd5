"""Everything particular to SQLite: how a book is opened, locked, copied, and how its complaints read.

One surprising decision: transactions begin with BEGIN IMMEDIATE when they mean to write, so that two windows
queue up politely instead of failing half-way with a lock that cannot be upgraded.
"""

import errno
import logging
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from tempfile import TemporaryFile
from time import monotonic, sleep
from typing import Any
from uuid import uuid4

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.dialects import registry
from sqlalchemy.dialects.sqlite import pysqlite
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.pool import NullPool
from sqlalchemy.util import LRUCache

from logbook.domain.errors import BookError
from logbook.store.connecting import Mode, connect, mode_to_read
from logbook.store.opening import is_read_only
from logbook.store.outputs import give_new_name
from logbook.store.rights import make_file, of_copy

APPLICATION_ID = 0x53484F54  # "SHOT" in ASCII; marks a SQLite file as a shoot logbook
CACHE_KIB = 32_768  # KiB of pages kept in memory; SQLite's own 2 MiB make a large book re-read its indexes
BUSY_TIMEOUT_MS = 10_000  # ms another window is waited for
COMPILED_STATEMENTS = 1000  # a page of the private ones asks some dozens
PAGES_AT_ONCE = 64  # pages of a copy between two looks; even an empty book has more
WAIT_S = 0.05  # s between two looks at whether another window is done
SQLITE_MAGIC = b"SQLite format 3\x00"  # SQLite file format, section 1.3.1

# The library logs an interrupt that hits it while it closes a connection, as a traceback on the screen; the
# interrupt itself goes on to the person's own sentence.
logging.getLogger("sqlalchemy").addHandler(logging.NullHandler())


class BookDialect(pysqlite.dialect):
    """SQLite as all engines of this process speak it: a statement is compiled for the first of them alone."""

    supports_statement_cache = True

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self)

    def __hash__(self) -> int:
        return hash(type(self))


registry.register("sqlite.logbook", __name__, BookDialect.__name__)
_COMPILED: LRUCache[Any, Any] = LRUCache(COMPILED_STATEMENTS)


def engine_for(path: Path, mode: Mode = Mode.MAKE) -> Engine:
    """Return an engine for the SQLite file; nothing is opened yet."""
    engine = create_engine(
        "sqlite+logbook://",
        creator=lambda: connect(path, mode),
        poolclass=NullPool,
        execution_options={"compiled_cache": _COMPILED},
    )

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None  # we say BEGIN ourselves; the driver's own habit splits DDL off
        for pragma in (
            f"busy_timeout = {BUSY_TIMEOUT_MS}",
            "foreign_keys = ON",
            "synchronous = FULL",
            f"cache_size = {-CACHE_KIB}",
        ):
            connection.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing")
        if writing is not None:
            connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def uses_write_ahead_log(connection: Connection) -> bool:
    """Whether readers and a writer can work side by side in this file."""
    return str(connection.exec_driver_sql("PRAGMA journal_mode").scalar_one()) == "wal"


def use_write_ahead_log(engine: Engine) -> None:
    """Let readers and a writer work side by side; the file itself remembers it, so only a book gets it."""
    until = monotonic() + BUSY_TIMEOUT_MS / 1000
    while True:  # for this one change SQLite itself does not wait for another window
        try:
            with engine.connect() as connection:
                connection.exec_driver_sql("PRAGMA journal_mode = WAL")
        except OperationalError as error:
            if "locked" not in str(error.orig) or monotonic() > until:
                raise
            sleep(WAIT_S)
        else:
            return


def version_of(connection: Connection) -> tuple[int, int, bool]:
    """Return the book's application id, its schema version, and whether it holds any table.

    The three are of one moment only within a transaction.
    """
    application_id = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    version = connection.exec_driver_sql("PRAGMA user_version").scalar_one()
    tables = connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one()
    return int(application_id), int(version), bool(tables)


def mark_version(connection: Connection, version: int) -> None:
    """Write the application id and the schema version; part of the running transaction."""
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {int(version)}")


def copy_book(source: Path, target: Path, *, even_damaged: bool = False, is_proven: bool = False) -> Path:
    """Copy a book while it may be in use (SQLite online backup); the target appears whole or not at all.

    The copy is checked, on the disk before it gets its name, and one file that opens from a read-only place.
    Where the book is proven whole as it lies there, every page and row of the copy is looked at; otherwise
    each index is compared with its rows too, which takes three times as long.
    """
    partial = target.with_name(f".{uuid4().hex[:8]}.logbook")
    mode = mode_to_read(source) if is_read_only(source) else Mode.WRITE
    try:
        make_file(partial)
        with closing(connect(source, mode)) as original, closing(connect(partial, Mode.WRITE)) as copy:
            _copy_pages(original, copy)
            if not even_damaged and (found := _damage_in(copy, is_proven)) is not None:
                raise BookError(
                    f'The book {source} is damaged ({found}); "logbook check" says more, and '
                    '"logbook restore" puts a backup in place.'
                )
            copy.execute("PRAGMA journal_mode = DELETE").fetchone()
        partial.chmod(of_copy(source))
        _flush(partial)
        give_new_name(partial, target)
        _flush(target.parent)
    except (sqlite3.Error, UnicodeDecodeError, OSError, BookError) as error:
        with suppress(OSError):
            _remove_files(partial)
        if isinstance(error, BookError):
            raise
        raise BookError(
            f"The book could not be copied to {target} ({error}); make room there and try again."
        ) from error
    return target


def _damage_in(connection: sqlite3.Connection, is_proven: bool) -> str | None:
    """What SQLite's own check finds first; pages that nothing uses are none, a damaged index left them."""
    try:
        check = "quick_check" if is_proven else "integrity_check"
        lines = [str(row[0]) for row in connection.execute(f"PRAGMA {check}(200)")]
    except sqlite3.DatabaseError as error:
        return one_line(error)
    return next((one for one in lines if one != "ok" and "never used" not in one), None)


def write_into(source: Path, book: Path, unless: Callable[[], bool] = lambda: False) -> None:
    """Make a book's content that of another file, in one transaction of the book; raises sqlite3.Error.

    `unless` is asked while nobody else can write: where it is true, the book stays as it is.
    """
    with (
        closing(connect(source, mode_to_read(source))) as content,
        closing(connect(book, Mode.WRITE)) as target,
    ):
        target.execute("PRAGMA synchronous = FULL").close()
        _copy_pages(content, target, unless)


def _copy_pages(
    source: sqlite3.Connection, target: sqlite3.Connection, unless: Callable[[], bool] = lambda: False
) -> None:
    """Copy all pages; the driver would wait for another window for ever, so it is stopped here."""
    asked = False
    until = monotonic() + BUSY_TIMEOUT_MS / 1000

    def look(status: int, left: int, _total: int) -> None:
        nonlocal asked
        if status == sqlite3.SQLITE_OK and left and not asked:
            asked = True
            if unless():
                raise sqlite3.OperationalError("database is locked")
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    source.backup(target, pages=PAGES_AT_ONCE, progress=look, sleep=WAIT_S)


def _flush(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk; where a folder cannot, that is all."""
    try:
        handle = os.open(path, os.O_RDONLY)
    except OSError:
        if path.is_dir():
            return
        raise
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _remove_files(database: Path) -> None:
    for suffix in ("", "-wal", "-shm", "-journal"):
        Path(f"{database}{suffix}").unlink(missing_ok=True)


def explain(error: DBAPIError | sqlite3.Error | UnicodeDecodeError, path: Path) -> BookError:
    """Turn SQLite's complaint into one sentence that says what to do."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(cause, UnicodeDecodeError):
        cause = sqlite3.DatabaseError("malformed: a text is not valid UTF-8")
    text = str(cause).lower()
    if ("locked" in text or "i/o" in text or "protocol" in text) and _has_no_locks(path.parent):
        return BookError(
            f"The folder that holds {path} does not support file locking (some network folders do not); "
            f"nothing was changed. Move the book to a disk on this computer."
        )
    if "locked" in text or "busy" in text:
        return BookError(
            f"The book {path} is being changed in another window; wait until that is done and run this again."
        )
    if "not a database" in text:
        return BookError(f"{path} is not a logbook: it is not an SQLite file; name another with --book.")
    if any(one in text for one in ("malformed", "corrupt", "could not decode", "invalid rootpage")):
        return BookError(
            f'The book {path} is damaged ({one_line(cause)}); "logbook check" says what can be repaired, and '
            '"logbook restore" puts a backup in its place.'
        )
    if "full" in text:
        return BookError(f"The disk that holds {path} is full; nothing was changed. Make room and try again.")
    if "readonly" in text or "read-only" in text:
        return BookError(
            f"The book {path} is read-only; nothing was changed. Allow writing, or copy it elsewhere."
        )
    if "i/o" in text:
        return BookError(
            f"The disk that holds {path} could not be read or written ({cause}); nothing was changed. "
            "Is it full, or was it unplugged?"
        )
    if "unable to open" in text:
        return BookError(
            f"The book {path} cannot be opened; check that its folder exists and can be written to."
        )
    return BookError(f"The book {path} reported an error: {one_line(cause)}; nothing was changed.")


def one_line(cause: object) -> str:
    """Return a complaint in one line that a terminal can show, whatever bytes of a damaged file it quotes."""
    said = cause.orig if isinstance(cause, DBAPIError) else cause
    return "".join(one if one.isprintable() else " " for one in str(said))


# What SQLite and its driver raise; the last where a complaint quotes bytes of a damaged file.
COMPLAINTS = (DBAPIError, sqlite3.Error, UnicodeDecodeError)


def _has_no_locks(folder: Path) -> bool:
    """Whether a folder's file system refuses locks; asked of a file of our own, not of the book."""
    try:
        import fcntl
    except ImportError:  # not POSIX
        return False
    try:
        with TemporaryFile(dir=folder) as file:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno in (errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS)
    return False
