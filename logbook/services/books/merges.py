"""Merging another copy of the book into this one.

One surprising decision: the other book is copied into a temporary folder, and that copy is read; whatever
happens, the other book itself is never written. Conflicts are decided before anything is written, because
nobody may keep the book locked while they think.
"""

import tempfile
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from logbook.domain.errors import BookError, ConflictError, WrongUseError
from logbook.services.keepers.originals import Standing, look_at
from logbook.store import backups
from logbook.store.book import Book
from logbook.store.checks import Unreadable
from logbook.store.merging.copies import Conflict, Copy, Decide, Side, newer
from logbook.store.merging.joining import Renamed
from logbook.store.merging.merged import Difference, Merged, differences, is_news, merged
from logbook.store.schema import version_in


@dataclass(frozen=True, slots=True)
class MergeResult:
    """What a merge did, or would do."""

    differences: tuple[Difference, ...]
    renamed: tuple[Renamed, ...]
    decided: tuple[tuple[Conflict, Side], ...]
    undecided: tuple[Conflict, ...]
    not_here: int  # pictures of keepers taken in that are not where they were on the other computer
    backup: Path | None
    is_done: bool

    @property
    def counts(self) -> Mapping[tuple[str, str], int]:
        """How many rows of which table are added, changed or removed, by verb and table."""
        return Counter((one.verb, one.table) for one in self.differences)


def undecided(_conflict: Conflict) -> None:
    """Leave every conflict open."""


def always(side: Side) -> Decide:
    """Return a decision for one side in every conflict."""
    return lambda _conflict: side


PREFERRED: Mapping[str, Decide] = {
    "newer": newer,
    "this": always(Side.THIS),
    "other": always(Side.OTHER),
}


def merge(book: Book, other: Path, decide: Decide, *, dry_run: bool = False) -> MergeResult:
    """Merge another book into this one, all of it or, where a conflict is left open, nothing.

    Raises BookError where the other file is no sound logbook, and ConflictError where this book was changed
    while somebody decided.
    """
    if other.exists() and other.resolve() == book.path.resolve():
        raise WrongUseError(f"{other} is this book itself; name the other book.")
    other_copy = _read_other(other, book.now)
    with book.reading() as desk:
        this_copy = desk.copy()
    result = merged(this_copy, other_copy, decide)
    if dry_run or result.undecided or not is_news(this_copy, result):
        return _told(this_copy, result, None, is_done=not dry_run and not result.undecided)
    backup = backups.make(book.path, book.now(), backups.Why.MERGE)
    settled = {_as_seen(conflict): side for conflict, side in result.decided}
    with book.writing(taken_in=True) as desk:
        this_copy = desk.copy()
        result = merged(this_copy, other_copy, lambda conflict: settled.get(_as_seen(conflict)))
        if result.undecided:
            raise ConflictError("Another window changed the book during the merge; merge again.")
        desk.become(this_copy, result)
    return _told(this_copy, result, backup, is_done=True)


def _as_seen(conflict: Conflict) -> tuple[object, ...]:
    """A conflict as somebody decided it: whatever either side has become since is another one."""
    return (*conflict.key, conflict.this_at, conflict.other_at)


def _told(this_copy: Copy, result: Merged, backup: Path | None, *, is_done: bool) -> MergeResult:
    found = differences(this_copy, result)
    added = [one.after for one in found if one.table == "keeper" and one.before is None and one.after]
    stands = (look_at(one["path"], one["hash"], one["size_bytes"], reads_unknown=False) for one in added)
    not_here = sum(one.standing is not Standing.UNREAD for one in stands)
    return MergeResult(found, result.renamed, result.decided, result.undecided, not_here, backup, is_done)


def _read_other(other: Path, now: Callable[[], datetime]) -> Copy:
    version_in(other)
    with tempfile.TemporaryDirectory(prefix="logbook-merge-") as folder:
        copy = Book(backups.snapshot(other, Path(folder) / "other.sqlite"), now, create=False)
        with copy.reading() as desk:
            records = (one for shelf in desk.shelves() for one in desk.checks.records(shelf))
            if any(isinstance(one, Unreadable) for one in records) or desk.checks.broken_references():
                raise BookError(
                    f"{other} is damaged, so nothing was merged; "
                    f'"logbook check --book {other}" says what is wrong with it.'
                )
            return desk.copy()
