"""Undo: taking back the last command that changed the book."""

from contextlib import suppress
from dataclasses import dataclass
from itertools import chain, islice, repeat
from pathlib import Path

from logbook.domain.errors import ConflictError, LogbookError, NotFoundError
from logbook.store import backups
from logbook.store.book import Book
from logbook.store.changes.journal import Change
from logbook.store.desk import Desk

NOTHING = (
    "There is nothing to undo: no changes are remembered. For earlier versions of the book: "
    "logbook backup --list."
)


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The change that was taken back, or would be; where the book as it was before lies; what comes next."""

    change: Change
    backup: Path | None
    next: Change | None


def changes(book: Book) -> tuple[Change, ...]:
    """Return the changes that can be taken back, the last one first."""
    with book.deriving() as desk:  # changes by another program is counted first
        return desk.journal.all()


def newest_change(book: Book) -> tuple[int, int]:
    """Return what tells two moments of a book apart: its last change."""
    with book.reading() as desk:
        return desk.journal.newest()


@dataclass(frozen=True, slots=True)
class LastChange:
    """The command that would be taken back, empty for another program's and None where none is; its mark."""

    command: str | None
    mark: str


def last_change(book: Book) -> LastChange:
    """Return what would be taken back now, with a mark that `undo` knows it by."""
    with book.reading() as desk:
        return LastChange(desk.journal.last_command(), desk.journal.mark())


def undo(book: Book, *, dry_run: bool = False, shown: str | None = None) -> TakenBack:
    """Take the last change back, after a backup; raises NotFoundError where none is remembered.

    `shown` is the mark of the change that is meant; raises ConflictError where another is the last by now.
    """
    with book.deriving() as desk:
        would_be = _taken_back(desk, None, shown)
    if dry_run:
        return would_be
    backup = backups.make(book.path, book.now(), backups.Why.UNDO, is_proven=book.soundness.is_whole)
    try:
        with book.writing() as desk:
            taken = _taken_back(desk, backup, shown)  # another window may have been faster
            desk.journal.take_back()
    except LogbookError:
        with suppress(OSError):
            backup.unlink()  # nothing was taken back, so there is nothing to go back to
        raise
    return taken


def _taken_back(desk: Desk, backup: Path | None, shown: str | None) -> TakenBack:
    """Return what taking back the last change does; raises NotFoundError where none is remembered."""
    last, following = islice(chain(desk.journal.from_last(), repeat(None)), 2)
    if last is None:
        raise NotFoundError(NOTHING)
    if shown is not None and shown != desk.journal.mark():
        raise ConflictError(
            "Nothing was undone: the book has changed since this page was opened. The last change is now: "
            f"{last.command or 'a change by another program'}."
        )
    return TakenBack(last, backup, following)
