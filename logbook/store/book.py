"""The book: one SQLite file, opened for one transaction at a time.

One surprising decision: opening does not keep a connection; each transaction opens, commits and closes its
own, so that a killed program leaves nothing open and a second window never waits for a first one that idles.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import uuid4

from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from logbook.domain.errors import BookError, InvalidValueError
from logbook.store.changes.journal import ELSEWHERE, Journal, Run
from logbook.store.desk import Desk
from logbook.store.engine import SQLITE_MAGIC, Mode, engine_for, explain
from logbook.store.opening import check_beside, copy_files, has_pending, is_read_only
from logbook.store.rights import make_file
from logbook.store.schema import look, make_or_update
from logbook.store.text_index.keeping import refresh


class Book:
    """An opened book, current in its schema; `copy_made` names the copy of an older one.

    One that cannot be written, on a read-only disk, is read as it lies there, or from a copy in the folder
    for temporary files where reading it needs more: an update, or what still lies beside it.
    """

    def __init__(
        self, path: Path, now: Callable[[], datetime], *, create: bool, run: Run | None = None
    ) -> None:
        """Open the book, or make one where `create` allows it; raises BookError with one sentence.

        `run` is the command that opens it: what it changes is taken back as one.
        """
        self.path = path
        self.now = now
        self.run = run or Run(uuid4().hex, "logbook")
        self.copy_made: Path | None = None
        self.has_changed = False  # what somebody wrote was changed, by this run, and is kept
        _check_file(path, create=create)
        check_beside(path)
        self.is_read_only = is_read_only(path)
        self._apart: TemporaryDirectory[str] | None = None
        self._unchanged: tuple[int, int] | None = None  # how a file that is read in place looked at first
        try:
            if self.is_read_only:
                self._open_to_read()
            else:
                self._engine = engine_for(path, Mode.MAKE if create else Mode.WRITE)
                self.copy_made = make_or_update(self._engine, path, now)
        except (DBAPIError, sqlite3.Error) as error:
            raise explain(error, path) from error

    def _open_to_read(self) -> None:
        if has_pending(self.path):
            self._go_apart()
            return
        self._unchanged = _look_of(self.path)
        self._engine = engine_for(self.path, Mode.UNCHANGING)
        with self._engine.connect().execution_options(writing=False) as connection, connection.begin():
            stand = look(connection, self.path)
        if stand.schema is None or stand.is_behind:
            self._go_apart()

    def _go_apart(self) -> None:
        """Go on with a copy that only this program sees, and that goes when it ends."""
        if self._apart is not None:
            return
        self._apart = TemporaryDirectory(prefix="logbook-")
        try:
            copy = copy_files(self.path, Path(self._apart.name) / self.path.name)
        except OSError as error:
            raise BookError(
                f"The book {self.path} is read-only, and there is no room for a copy to read "
                f"({error.strerror}); copy it to another disk."
            ) from error
        self._unchanged = None
        self._engine = engine_for(copy, Mode.WRITE)
        make_or_update(self._engine, copy, self.now)

    @contextmanager
    def writing(self, *, taken_in: bool = False) -> Iterator[Desk]:
        """Open a transaction that writes: all of it is kept, or none.

        `taken_in` is for versions that come from another book: undo then forgets that they were ever here.
        """
        if self.is_read_only:
            raise BookError(
                f"The book {self.path} is read-only, so nothing was changed; it can be read and exported. "
                "Copy it to a folder of yours to write in it."
            )
        with self._transaction(writing=True, taken_in=taken_in) as desk:
            yield desk

    @contextmanager
    def deriving(self) -> Iterator[Desk]:
        """Open a transaction that may bring up to date what is derived, and nothing that somebody wrote."""
        if self.is_read_only:
            self._go_apart()
        with self._transaction(writing=True) as desk:
            yield desk

    @contextmanager
    def reading(self) -> Iterator[Desk]:
        """Open a transaction that only reads: it sees the book as it stood at one moment."""
        with self._transaction(writing=False) as desk:
            yield desk
        if self._unchanged not in (None, _look_of(self.path)):
            raise BookError(f"The book {self.path} was written while it was read; run this again.")

    @contextmanager
    def _transaction(self, *, writing: bool, taken_in: bool = False) -> Iterator[Desk]:
        is_changed = False
        try:
            with (
                self._engine.connect().execution_options(writing=writing) as connection,
                connection.begin(),
                Session(connection) as session,
            ):
                look(connection, self.path)  # the file may be another one by now
                journal = Journal(connection, self.now)
                if writing:
                    journal.settle(ELSEWHERE)
                    marks = journal.marks() if taken_in else None
                    before = journal.newest()
                yield Desk(session, self.now)
                if writing:
                    refresh(connection)
                    journal.settle(self.run, marks)
                    is_changed = journal.newest() != before
            self.has_changed |= is_changed
        except (DBAPIError, sqlite3.Error) as error:  # the second where a statement went past the library
            raise explain(error, self.path) from error
        except UnicodeEncodeError as error:
            raise InvalidValueError(
                "A text holds bytes that are no UTF-8, so nothing was changed; type it again as plain text."
            ) from error


def _look_of(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def is_sqlite(path: Path) -> bool:
    """Whether a file is there, can be read and begins as SQLite files do."""
    with suppress(OSError), path.open("rb") as file:
        return file.read(len(SQLITE_MAGIC)) == SQLITE_MAGIC
    return False


def _check_file(path: Path, *, create: bool) -> None:
    try:
        if path.is_dir():
            raise BookError(f"{path} is a folder, not a book; name a file with --book.")
        if path.exists() and not path.is_file():
            raise BookError(f"{path} is a device, a pipe or a socket, not a book; name a file with --book.")
        if path.exists() and path.stat().st_size:
            with path.open("rb") as file:
                magic = file.read(len(SQLITE_MAGIC))
            if magic != SQLITE_MAGIC:
                raise BookError(f"{path} is not a logbook: it is no SQLite file; name another with --book.")
            return
    except OSError as error:
        raise BookError(
            f"The book {path} cannot be read ({error.strerror}); check its permissions."
        ) from error
    if not create:
        raise BookError(
            f'There is no book at {path} yet; "logbook trip add TITLE" starts one, "logbook demo" shows one.'
        )
    if not path.parent.is_dir():
        raise BookError(
            f"The folder {path.parent} does not exist; make it, or name another book with --book."
        )
    try:
        make_file(path)  # its journals get the rights that it has (SQLite, "Temporary Files", section 2)
    except FileExistsError:
        pass  # another window was faster
    except OSError as error:
        raise BookError(
            f"The book {path} cannot be opened ({error.strerror}); check that its folder exists and can be "
            "written to."
        ) from error
