"""Backups: making one, listing them, and putting one in place of the book.

One surprising decision: restoring never needs the present book to be whole; it is the way out when it is not.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.store import backups
from logbook.store.backups import Backup, Why
from logbook.store.book import Book
from logbook.store.engine import copy_book
from logbook.store.outputs import check_new
from logbook.store.schema import version_in

LATEST = "latest"


@dataclass(frozen=True, slots=True)
class Restored:
    """What restoring did, or would do: which file, where the book as it was lies, how much is in it.

    `before_is_damaged` says that what lies there is no book any more, but may be rescued by somebody.
    """

    file: Path
    before: Path | None
    before_is_damaged: bool
    trips: int
    keepers: int
    dry_run: bool


def back_up(book: Book, into: Path | None = None) -> Path:
    """Copy a book into its folder of backups, or to a file of its own, which is never dropped."""
    if into is None:
        return backups.make(book.path, book.now(), Why.ASKED)
    return copy_book(book.path, check_new(into, "backup"))


def list_backups(path: Path) -> tuple[Backup, ...]:
    """Return the backups of a book, the newest first."""
    return backups.listed(path)


def restore(path: Path, which: str, now: Callable[[], datetime], *, dry_run: bool = False) -> Restored:
    """Put a backup in place of a book; the book as it was is backed up first, even a damaged one.

    Raises BookError where the file is no sound logbook or a newer program wrote it; nothing changes then.
    """
    file = _meant(path, which)
    version_in(file)
    if path.exists() and file.resolve() == path.resolve():
        raise WrongUseError(f"{file} is the book itself; name a backup, or a copy of it.")
    trips, keepers = backups.counted(file)
    before = damaged = None
    if not dry_run:
        if path.exists() and backups.is_sound(path):
            before = backups.make(path, now(), Why.RESTORE)
        damaged = backups.put_in_place(file, path, now())
        book = Book(path, now, create=False)  # a backup from before an update is brought up to date
        with book.writing() as desk:
            desk.journal.forget()  # the last command is this one: nobody means to take back an older one
    return Restored(file, damaged or before, damaged is not None, trips, keepers, dry_run)


def _meant(path: Path, which: str) -> Path:
    found = backups.listed(path)
    if which == LATEST:
        if not found:
            raise NotFoundError(f"{path} has no backups yet; name a file to restore.")
        return found[0].path
    named = [one.path for one in found if which in (one.path.name, one.path.stem)]
    return named[0] if named else Path(which).expanduser()
