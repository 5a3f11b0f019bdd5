"""Everything particular to SQLite: how a book is opened, locked, copied, and how its complaints read.

One surprising decision: transactions begin with BEGIN IMMEDIATE when they mean to write, so that two windows
queue up politely instead of failing half-way with a lock that cannot be upgraded.
"""

import errno
import logging
import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from tempfile import TemporaryFile
from time import monotonic
from uuid import uuid4

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from logbook.domain.errors import BookError
from logbook.store.outputs import give_new_name
from logbook.store.rights import make_file, of_copy

APPLICATION_ID = 0x53484F54  # "SHOT" in ASCII; marks a SQLite file as a shoot logbook
CACHE_KIB = 32_768  # KiB of pages kept in memory; SQLite's own 2 MiB make a large book re-read its indexes
BUSY_TIMEOUT_MS = 10_000  # ms another window is waited for
SQLITE_MAGIC = b"SQLite format 3\x00"  # SQLite file format, section 1.3.1

# The library logs an interrupt that hits it while it closes a connection, as a traceback on the screen; the
# interrupt itself goes on to the person's own sentence.
logging.getLogger("sqlalchemy").addHandler(logging.NullHandler())


def engine_for(path: Path) -> Engine:
    """Return an engine for the SQLite file; nothing is opened yet."""
    engine = create_engine(URL.create("sqlite", database=str(path)), poolclass=NullPool)

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


def use_write_ahead_log(engine: Engine) -> None:
    """Let readers and a writer work side by side; the file itself remembers it, so only a book gets it."""
    with engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA journal_mode = WAL")


def version_of(connection: Connection) -> tuple[int, int, bool]:
    """Return the book's application id, its schema version, and whether it holds any table."""
    application_id = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    version = connection.exec_driver_sql("PRAGMA user_version").scalar_one()
    tables = connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one()
    return int(application_id), int(version), bool(tables)


def mark_version(connection: Connection, version: int) -> None:
    """Write the application id and the schema version; part of the running transaction."""
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {int(version)}")


def copy_book(source: Path, target: Path, *, even_damaged: bool = False) -> Path:
    """Copy a book while it may be in use (SQLite online backup); the target appears whole or not at all.

    The copy is checked, on the disk before it gets its name, and one file that opens from a read-only place.
    """
    partial = target.with_name(f".{uuid4().hex[:8]}.logbook")
    try:
        make_file(partial)
        with closing(_existing(source)) as original, closing(sqlite3.connect(partial)) as copy:
            _copy_pages(original, copy)
            found = copy.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if found != "ok" and not even_damaged:
                raise BookError(
                    f'The book {source} is damaged ({found}); "logbook check" tells more, '
                    '"logbook restore" puts a backup in place.'
                )
            copy.execute("PRAGMA journal_mode = DELETE").fetchone()
        partial.chmod(of_copy(source))
        _flush(partial)
        give_new_name(partial, target)
        _flush(target.parent)
    except (sqlite3.Error, OSError, BookError) as error:
        with suppress(OSError):
            _remove_files(partial)
        if isinstance(error, BookError):
            raise
        raise BookError(
            f"The book could not be copied to {target} ({error}); make room there and try again."
        ) from error
    return target


def write_into(source: Path, book: Path) -> None:
    """Make a book's content that of another file, in one transaction of the book; raises sqlite3.Error."""
    with closing(_existing(source)) as content, closing(_existing(book)) as target:
        target.execute("PRAGMA synchronous = FULL").close()
        _copy_pages(content, target)


def _existing(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True)  # a missing book is an error


def _copy_pages(source: sqlite3.Connection, target: sqlite3.Connection) -> None:
    """Copy all pages at once; the driver would wait for another window for ever, so it is stopped here."""
    until = monotonic() + BUSY_TIMEOUT_MS / 1000

    def look(status: int, _left: int, _total: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    source.backup(target, progress=look, sleep=0.05)


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


def explain(error: DBAPIError | sqlite3.Error, path: Path) -> BookError:
    """Turn SQLite's complaint into one sentence that says what to do."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    text = str(cause).lower()
    if ("locked" in text or "i/o" in text or "protocol" in text) and _has_no_locks(path.parent):
        return BookError(
            f"The folder of {path} has no file locking, as some network folders have none; nothing was "
            "changed. Move the book to a disk of this computer."
        )
    if "locked" in text or "busy" in text:
        return BookError(
            f"The book {path} is being written by another window; wait for it and run this again."
        )
    if "not a database" in text:
        return BookError(f"{path} is not a logbook: it is no SQLite file; name another with --book.")
    if "malformed" in text or "corrupt" in text:
        return BookError(
            f'The book {path} is damaged ({cause}); "logbook restore" puts a backup in its place.'
        )
    if "full" in text:
        return BookError(f"The disk that holds {path} is full; nothing was changed. Make room and run again.")
    if "readonly" in text or "read-only" in text:
        return BookError(
            f"The book {path} is read-only; nothing was changed. Allow writing, or copy it elsewhere."
        )
    if "i/o" in text:
        return BookError(
            f"The disk that holds {path} did not take or give what it should ({cause}); nothing was changed. "
            "Is it full, or was it unplugged?"
        )
    if "unable to open" in text:
        return BookError(
            f"The book {path} cannot be opened; check that its folder exists and can be written to."
        )
    return BookError(f"The book {path} answered: {cause}; nothing was changed.")


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
