"""The connections that one opened book has: one for each transaction, or one that readings share.

SQLite reads a book's whole schema at each opening, which takes longer than many a question. So the first
reading of a command goes on with the connection that looked at the file, and the readings of one page share
theirs. Between two readings nothing may wait for a person: SQLite keeps files beside a book in use, and a
person copies the one file.

One surprising decision: a writing never uses the shared one, which is closed before. Where this program opens
and closes the file in another way, the system forgets the shared one's lock, and another window may take the
write-ahead log from under it. A reading would then see what was; a writing would be lost.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from enum import Enum, auto
from pathlib import Path

from sqlalchemy import Connection, Engine

_File = tuple[int, ...]  # device, number, size and when it was written, in ns


class Sharing(Enum):
    """Which transactions leave their connection to the reading after them."""

    NONE = auto()
    OPENING = auto()  # the look at the file that opens it, and no other
    READINGS = auto()  # that look and every reading, until the connection is let go


class Connections:
    """How the transactions of one book reach its file."""

    def __init__(self, engine: Engine, path: Path, sharing: Sharing) -> None:
        self.engine = engine
        self._path = path
        self._sharing = sharing
        self._shared: tuple[Connection, _File] | None = None

    @contextmanager
    def begun(self, *, writing: bool) -> Iterator[Connection]:
        """Begin a transaction and end it; what went wrong in one leaves no connection to the next."""
        connection, file = self._taken(writing=writing)
        try:
            with connection.begin():
                yield connection
        except BaseException:
            connection.close()
            raise
        if self._sharing is Sharing.NONE or writing or self._shared is not None:
            connection.close()
        else:
            self._shared = (connection, file)
        if self._sharing is Sharing.OPENING:
            self._sharing = Sharing.NONE

    def let_go(self) -> bool:
        """Close the shared one and share no more; return whether there was one."""
        self._sharing = Sharing.NONE
        return self.close()

    def close(self) -> bool:
        """Close the shared one, as another way of opening the file asks for; return whether there was one."""
        shared, self._shared = self._shared, None
        if shared is not None:
            shared[0].close()
        return shared is not None

    def _taken(self, *, writing: bool) -> tuple[Connection, _File]:
        shared, self._shared = self._shared, None  # at once: a page's work may go on in a second thread
        file = self._file()
        if shared is not None:
            if not writing and shared[1] == file:
                return shared
            shared[0].close()
        return self.engine.connect().execution_options(writing=writing), file

    def _file(self) -> _File:
        """How the file that has the book's name lies there; SQLite does not see when another one gets it."""
        with suppress(OSError):
            found = self._path.stat()
            return found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns
        return ()
