"""Undo: taking back the last command that changed the book."""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from logbook.domain.errors import LogbookError, NotFoundError
from logbook.store import backups
from logbook.store.book import Book
from logbook.store.changes.journal import Change

NOTHING = "There is nothing to take back: no change is remembered. Backups go further: logbook backup --list."


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The change that was taken back, or would be; where the book as it was before lies; what comes next."""

    change: Change
    backup: Path | None
    next: Change | None


def changes(book: Book) -> tuple[Change, ...]:
    """Return the changes that can be taken back, the last one first."""
    with book.deriving() as desk:  # what another program wrote is counted first
        return desk.journal.all()


def undo(book: Book, *, dry_run: bool = False) -> TakenBack:
    """Take the last change back, after a backup; raises NotFoundError where none is remembered."""
    found = changes(book)
    if not found:
        raise NotFoundError(NOTHING)
    if dry_run:
        return TakenBack(found[0], None, next(iter(found[1:]), None))
    backup = backups.make(book.path, book.now(), backups.Why.UNDO)
    try:
        with book.writing() as desk:
            found = desk.journal.all()
            if not found:  # another window was faster
                raise NotFoundError(NOTHING)
            desk.journal.take_back()
    except LogbookError:
        with suppress(OSError):
            backup.unlink()  # nothing was taken back, so there is nothing to go back to
        raise
    return TakenBack(found[0], backup, next(iter(found[1:]), None))
