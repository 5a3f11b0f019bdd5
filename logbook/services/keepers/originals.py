"""Originals on this machine: whether a file is what the book recorded, and the very bytes of one that is.

One surprising decision: where a picture lies is only ever a claim, also in the person's own book. A record
may have come in a file from somebody else, and any file may have been overwritten since; so a picture is used
only where its content was compared, and what is shown is made of the bytes that were compared.
"""

import os
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.domain.errors import BookError
from logbook.domain.keeper import Keeper, KnownFile
from logbook.intake.plain_files import (
    CHANGED,
    NOT_THERE,
    NotPlainError,
    hash_of,
    kind_of,
    open_plain,
    size_differs,
    state_of,
)
from logbook.services.keepers.picture_files import real_path

if TYPE_CHECKING:
    from logbook.store.book import Book

Progress = Callable[[int, int], None]


class Standing(StrEnum):
    """How a file stands to what the book recorded of it."""

    HERE = "here"  # the content was compared, now or when the file was last in this state
    CHANGED = "changed"
    MISSING = "missing"
    UNREADABLE = "unreadable"
    UNREAD = "unread"  # of the right size; its content was never compared on this machine


@dataclass(frozen=True, slots=True)
class Looked:
    """How a file stands, why not `here`, and what is known of it since now."""

    standing: Standing
    why: str = ""
    known: KnownFile | None = None


def look_at(
    path: str,
    hashed: str,
    size_bytes: int | None = None,
    known: KnownFile | None = None,
    *,
    reads_unknown: bool = True,
) -> Looked:
    """Return how a file stands to a content; it is read where its state is not the known one.

    With `reads_unknown` False a file of which nothing is known is not read.
    """
    real = real_path(path)
    try:
        status = real.stat()
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return Looked(Standing.MISSING, NOT_THERE)
    except OSError as error:
        return _refused(error)
    if not stat.S_ISREG(status.st_mode):
        return Looked(Standing.CHANGED, f"a {kind_of(status)} is there now")
    if size_bytes is not None and status.st_size != size_bytes:
        return Looked(Standing.CHANGED, size_differs(status.st_size, size_bytes))
    if known is not None and known.state == state_of(status):
        return Looked(Standing.HERE) if known.hash == hashed else Looked(Standing.CHANGED, CHANGED)
    if known is None and not reads_unknown:
        return Looked(Standing.UNREAD)
    try:
        with open_plain(real) as file:
            state = state_of(os.fstat(file.fileno()))
            found = hash_of(file)
            is_still = state == state_of(os.fstat(file.fileno()))
    except NotPlainError as error:
        return Looked(Standing.CHANGED, str(error))
    except FileNotFoundError:
        return Looked(Standing.MISSING, NOT_THERE)
    except OSError as error:
        return _refused(error)
    seen = KnownFile(path, found, state) if is_still else None
    return Looked(Standing.HERE, "", seen) if found == hashed else Looked(Standing.CHANGED, CHANGED, seen)


def _refused(error: OSError) -> Looked:
    return Looked(Standing.UNREADABLE, f"the original cannot be read ({str(error.strerror).lower()})")


def look_at_all(
    keepers: Iterable[Keeper],
    known: Mapping[str, KnownFile] | None = None,
    progress: Progress = lambda _done, _total: None,
) -> dict[str, Looked]:
    """Return how the shown files of keepers stand, by keeper id."""
    keepers = list(keepers)
    found: dict[str, Looked] = {}
    for done, one in enumerate(keepers, 1):
        found[one.id] = look_at(one.path, one.hash, one.size_bytes, (known or {}).get(one.path))
        progress(done, len(keepers))
    return found


def survey(
    book: "Book", keepers: Iterable[Keeper], progress: Progress = lambda _done, _total: None
) -> dict[str, Looked]:
    """Return how the shown files of keepers stand, by keeper id; files unchanged since are not read again."""
    keepers = list(keepers)
    with book.reading() as desk:
        known = desk.known_files.of(one.path for one in keepers)
    found = look_at_all(keepers, known, progress)
    note(book, (one.known for one in found.values() if one.known))
    return found


def note(book: "Book", files: Iterable[KnownFile]) -> None:
    """Keep what was seen of files; where the book cannot be written, they are read again the next time."""
    files = list(files)
    if files:
        with suppress(BookError), book.writing() as desk:
            desk.known_files.note(files)


def is_there(path: Path) -> bool:
    """Whether a plain file lies there, whatever it holds."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


@dataclass(frozen=True, slots=True)
class OriginalFinding:
    """A file of a keeper that is not where it was, not what it was, or was never read on this machine."""

    keeper: Keeper
    path: str
    looked: Looked

    @property
    def is_wrong(self) -> bool:
        """Whether it is missing or changed; one that was never read is neither, as far as anybody knows."""
        return self.looked.standing is not Standing.UNREAD

    @property
    def words(self) -> str:
        """What is wrong with it."""
        is_changed = self.looked.standing is Standing.CHANGED
        return f"{self.path} {'has changed' if is_changed else 'is missing'}: {self.looked.why}"


def check_originals(
    keepers: Iterable[Keeper],
    known: Mapping[str, KnownFile],
    *,
    by_hash: bool,
    progress: Progress = lambda _done, _total: None,
) -> Iterator[OriginalFinding]:
    """Yield what is missing, changed or was never read: every file is read with `by_hash`.

    Without it those are read whose state is not the known one, and of unknown ones only the size is compared.
    """
    keepers = list(keepers)
    for done, keeper in enumerate(keepers, 1):
        files: list[tuple[str, str, int | None]] = [(keeper.path, keeper.hash, keeper.size_bytes)]
        files += [(one.path, one.hash, None) for one in keeper.companions if not one.is_sidecar]
        for path, wanted, size_bytes in files:
            before = None if by_hash else known.get(path)
            looked = look_at(path, wanted, size_bytes, before, reads_unknown=by_hash)
            if looked.standing is not Standing.HERE:
                yield OriginalFinding(keeper, path, looked)
        progress(done, len(keepers))
