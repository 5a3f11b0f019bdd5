"""Undo: taking back the last command that changed the book."""

from contextlib import suppress
from dataclasses import dataclass
from itertools import chain, islice, repeat
from pathlib import Path

from logbook.domain.errors import LogbookError, NotFoundError
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


def last_command(book: Book) -> str | None:
    """Return the command that would be taken back, empty for another program's; None where none is."""
    with book.reading() as desk:
        return desk.journal.last_command()


def undo(book: Book, *, dry_run: bool = False) -> TakenBack:
    """Take the last change back, after a backup; raises NotFoundError where none is remembered."""
    with book.deriving() as desk:
        would_be = _taken_back(desk, None)
    if dry_run:
        return would_be
    backup = backups.make(book.path, book.now(), backups.Why.UNDO, is_proven=book.soundness.is_whole)
    try:
        with book.writing() as desk:
            taken = _taken_back(desk, backup)  # another window may have been faster
            desk.journal.take_back()
    except LogbookError:
        with suppress(OSError):
            backup.unlink()  # nothing was taken back, so there is nothing to go back to
        raise
    return taken


def _taken_back(desk: Desk, backup: Path | None) -> TakenBack:
    """Return what taking back the last change does; raises NotFoundError where none is remembered."""
    last, following = islice(chain(desk.journal.from_last(), repeat(None)), 2)
    if last is None:
        raise NotFoundError(NOTHING)
    return TakenBack(last, backup, following)
