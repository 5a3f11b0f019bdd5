"""The book: one SQLite file, opened for one transaction at a time.

One surprising decision: each transaction that writes opens, commits and closes its own connection, so that a
killed program leaves nothing open and a second window never waits for a first one that idles.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import uuid4

from sqlalchemy import Connection

from logbook.domain.errors import BookError, InvalidValueError
from logbook.store.aside import is_of_content, set_index_aside
from logbook.store.changes.journal import ELSEWHERE, Journal, Run
from logbook.store.connecting import Mode
from logbook.store.connections import Connections, Sharing
from logbook.store.desk import Desk
from logbook.store.engine import COMPLAINTS, SQLITE_MAGIC, engine_for, explain, uses_write_ahead_log
from logbook.store.opening import check_beside, copy_files, has_pending, is_read_only
from logbook.store.proven import Proven, note, proven_of, state_of
from logbook.store.rights import make_file
from logbook.store.schema import Stand, look, make_or_update
from logbook.store.seals import seal_changes
from logbook.store.soundness import WHOLE, Soundness, soundness


class Book:
    """An opened book, current in its schema; `copy_made` names the copy of an older one.

    One that cannot be written, on a read-only disk, is read as it lies there, or from a copy in the folder
    for temporary files where reading it needs more: an update, or what still lies beside it.
    """

    def __init__(
        self,
        path: Path,
        now: Callable[[], datetime],
        *,
        create: bool,
        run: Run | None = None,
        even_damaged: bool = False,
        sharing: Sharing = Sharing.NONE,
    ) -> None:
        """Open the book, or make one where `create` allows it; raises BookError with one sentence.

        `run` is the command that opens it: what it changes is taken back as one. A file that something else
        has touched since it was last found whole is looked through first, and refused where what is read
        from it would not be what was written; `even_damaged` is for whoever looks for the damage. `sharing`
        says which readings share a connection; whoever asks for it calls `let_go` in the end.
        """
        self.path = path
        self.now = now
        self.run = run or Run(uuid4().hex, "logbook")
        self.copy_made: Path | None = None
        self.soundness = WHOLE
        self.is_new = not (path.exists() and path.stat().st_size)
        self.has_changed = False  # what somebody wrote was changed, by this run, and is kept
        _check_file(path, create=create)
        check_beside(path)
        self.is_read_only = is_read_only(path)
        self._apart: TemporaryDirectory[str] | None = None
        self._noted: tuple[list[int], Proven] | None = None
        self._unchanged: tuple[int, int] | None = None  # how a file that is read in place looked at first
        try:
            mode = Mode.UNCHANGING if self.is_read_only else Mode.MAKE if create else Mode.WRITE
            self._connections = Connections(engine_for(path, mode), path, sharing)
            if self.is_read_only:
                self._open_to_read()
            elif not self._is_ready():
                self._connections.close()
                self.copy_made = make_or_update(self._connections.engine, path, now)
            proven = proven_of(path)
            self._index_is_proven = proven.index or self.is_new
            self._tallies_are_proven = proven.tallies or self.is_new
            if not proven.records and not self.is_new:
                self.look_through()
        except COMPLAINTS as error:
            raise explain(error, path) from error
        if not self.soundness.may_read and not even_damaged:
            raise BookError(f"The book {path} is damaged ({self._damage()}); {self._way_out()}")
        self._keep_proven()

    def look_through(self) -> Soundness:
        """Look through the whole file, and go on from what is found there."""
        try:
            # Closed and never committed: SQLite refuses even to end a transaction in which it met damage.
            with self._connections.engine.connect().execution_options(writing=False) as connection:
                schema = look(connection, self.path).schema
                self.soundness = WHOLE if schema is None else soundness(connection, schema)
        except COMPLAINTS as error:
            raise explain(error, self.path) from error
        self._keep_proven()
        return self.soundness

    def prove_index(self) -> None:
        """Compare the text index with the records, where something else has touched the file since it was."""
        if self._index_is_proven or self.soundness.index:
            return
        with self.deriving() as desk:
            in_step = desk.index.compared().in_step
        self._index_is_proven = self._tallies_are_proven = in_step
        if not in_step:
            self.soundness = replace(self.soundness, index=True)
        self._keep_proven()

    def prove_tallies(self) -> None:
        """Compare the tallies with the records, where something else has touched the file since they were."""
        if self._tallies_are_proven or self.soundness.index:
            return
        with self.reading() as desk:
            self._tallies_are_proven = not self.soundness.index and desk.tallies.are_in_step()
        if not self._tallies_are_proven:
            self.soundness = replace(self.soundness, index=True)
        self._keep_proven()

    def _damage(self) -> str:
        found = self.soundness
        if found.records or found.indexes:
            return f"its table {[*found.records, *found.indexes][0]}"
        table, record_id = found.changed[0]
        more = f" and {len(found.changed) - 1} more" if len(found.changed) > 1 else ""
        return f"the {table.replace('_', ' ')} with id {record_id}{more}: changed from outside, or gone"

    def _way_out(self) -> str:
        if self.soundness.records or self.soundness.changed:
            return '"logbook check" says more, and "logbook restore" puts a backup in its place.'
        return '"logbook check --repair" puts that right: no record is lost.'

    def _keep_proven(self) -> None:
        """Remember how the file was left, so that the next command need not look through it again."""
        whole = self.soundness.is_whole
        proven = Proven(whole, whole and self._index_is_proven, whole and self._tallies_are_proven)
        with suppress(OSError):
            stands = (state_of(self.path), proven)
            if stands != self._noted:  # else it says so already
                note(self.path, proven)
                self._noted = stands

    @property
    def index_is_damaged(self) -> bool:
        """Whether the text index is damaged or set aside: everything but finding goes on without it."""
        return self.soundness.index

    def make_anew(self, *, keep_seals: bool = True) -> None:
        """Rebuild all that follows from the records, the text index among it; no record changes."""
        self._refuse_where_read_only()
        if self.soundness.records:
            raise BookError(f"The book {self.path} is damaged ({self._damage()}); {self._way_out()}")
        from logbook.store.remake import make_anew

        self._connections.close()
        make_anew(
            self._connections.engine, self.path, self.now, keep_seals=keep_seals and not self.soundness.seals
        )
        self._index_is_proven = self._tallies_are_proven = True
        self.look_through()
        self._keep_proven()

    def let_go(self) -> None:
        """Close what its readings share; from here on each has a connection of its own."""
        if self._connections.let_go():
            self._keep_proven()  # the last one to close it may have tidied up what lay beside the file

    def _is_ready(self) -> bool:
        """Whether the file is a current book, kept as this program keeps one."""
        with self._connections.begun(writing=False) as connection:
            return look(connection, self.path).is_current and uses_write_ahead_log(connection)

    def _refuse_where_read_only(self) -> None:
        if self.is_read_only:
            raise BookError(
                f"The book {self.path} is read-only, so nothing was changed; it can be read and exported. "
                "To change it, copy it to a folder of your own."
            )

    def _open_to_read(self) -> None:
        if has_pending(self.path):
            self._go_apart()
            return
        self._unchanged = _look_of(self.path)
        with self._connections.begun(writing=False) as connection:
            stand = look(connection, self.path)
        if not stand.is_current:
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
                f"The book {self.path} is read-only, and there is not enough space to copy it for reading "
                f"({error.strerror}); copy it to another disk."
            ) from error
        self._unchanged = None
        self._connections.close()
        self._connections = Connections(engine_for(copy, Mode.WRITE), copy, Sharing.NONE)
        make_or_update(self._connections.engine, copy, self.now)

    @contextmanager
    def writing(self, *, taken_in: bool = False) -> Iterator[Desk]:
        """Open a transaction that writes: all of it is kept, or none.

        `taken_in` is for versions that come from another book: undo then forgets that they were ever here.
        """
        self._refuse_where_read_only()
        with self._transaction(writing=True, taken_in=taken_in) as desk:
            yield desk

    @contextmanager
    def deriving(self) -> Iterator[Desk]:
        """Open a transaction that may bring up to date what is derived, and nothing that somebody wrote."""
        if self.is_read_only:
            self._go_apart()
        with self._transaction(writing=True, deriving=True) as desk:
            yield desk

    @contextmanager
    def reading(self) -> Iterator[Desk]:
        """Open a transaction that only reads: it sees the book as it stood at one moment."""
        with self._transaction(writing=False) as desk:
            yield desk
        if self._unchanged not in (None, _look_of(self.path)):
            raise BookError(f"The book {self.path} was changed while it was being read; run this again.")

    @contextmanager
    def _transaction(
        self, *, writing: bool, taken_in: bool = False, deriving: bool = False
    ) -> Iterator[Desk]:
        is_changed = False
        if writing and not self.soundness.may_write:
            raise BookError(
                f"The book {self.path} has a damaged search index, so nothing was changed; "
                '"logbook check --repair" puts that right.'
            )
        try:
            with self._connections.begun(writing=writing) as connection:
                stand = look(connection, self.path)  # the file may be another one by now
                self._note_index(connection, stand, writing=writing and not deriving)
                journal = Journal(connection, self.now)
                before = (0, 0)
                if writing:
                    journal.settle(ELSEWHERE)
                    marks = journal.marks() if taken_in else None
                    before = journal.newest()
                desk = Desk(connection, self.now, index_is_whole=not self.soundness.index, since=before[1])
                yield desk
                # What came from another book stands as it is there.
                if writing and not deriving and not taken_in:
                    desk.follow_places()
                if writing:
                    self._refresh(connection, deriving=deriving)
                    seal_changes(connection)
                    journal.settle(self.run, marks)
                    is_changed = journal.newest() != before
            self.has_changed |= is_changed
            self._keep_proven()
        except COMPLAINTS as error:  # the second where a statement went past the library
            if is_of_content(error):
                note(self.path, Proven())  # the next command looks through it
            raise explain(error, self.path) from error
        except UnicodeEncodeError as error:
            raise InvalidValueError(
                "A text holds bytes that are not UTF-8, so nothing was changed; type it again as plain text."
            ) from error

    def _note_index(self, connection: Connection, stand: Stand, *, writing: bool) -> None:
        """Notice an index that is gone or damaged, and let nothing of it run in a transaction that writes."""
        if stand.schema is not None and not stand.schema.index_is_whole:
            self.soundness = replace(self.soundness, index=True)
        if writing and self.soundness.index:
            set_index_aside(connection)

    def _refresh(self, connection: Connection, *, deriving: bool) -> None:
        """Bring the index up to date, or set it aside where it is damaged: what was written is kept.

        Where nothing was written, a damaged one stays as it is, for whoever looks for the damage.
        """
        if self.soundness.index:
            return
        from logbook.store.text_index.keeping import refresh

        try:
            with connection.begin_nested():
                refresh(connection)
        except COMPLAINTS as error:
            if not is_of_content(error) or deriving:
                raise
            self.soundness = replace(self.soundness, index=True)
            set_index_aside(connection)


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
                raise BookError(
                    f"{path} is not a logbook: it is not an SQLite file; name another with --book."
                )
            return
    except OSError as error:
        raise BookError(
            f"The book {path} cannot be read ({error.strerror}); check its permissions."
        ) from error
    if not create:
        raise BookError(
            f'There is no book at {path} yet. Start one with "logbook trip add TITLE", or build a sample '
            'with "logbook demo".'
        )
    if not path.parent.is_dir():
        raise BookError(
            f"The folder {path.parent} does not exist; create it, or name another book with --book."
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
