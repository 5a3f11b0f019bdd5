"""Backups: whole copies of a book in a folder beside it, some of them kept, and putting one in place.

One surprising decision: a backup is put in place by writing it into the book as one transaction, not by
swapping files: a second window that has the book open then sees the restored book and loses nothing it
writes. Only a damaged book is moved out of the way.
"""

import re
import sqlite3
from collections.abc import Iterable
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path

from logbook.domain.errors import BookError
from logbook.store.connecting import Mode, connect, mode_to_read
from logbook.store.engine import copy_book, explain, write_into
from logbook.store.opening import copy_files, has_pending, is_read_only
from logbook.store.rights import OWN_FILE, make_folder

KEPT_LAST = 10  # backups
KEPT_DAYS = 10  # days that have backups; the last one of each is kept
_STAMP = "%Y-%m-%d-%H%M%S"


class Why(StrEnum):
    """What a backup was made for; part of its file name."""

    ASKED = "asked"
    NIGHT = "night"
    UPDATE = "update"
    MERGE = "merge"
    RESTORE = "restore"
    UNDO = "undo"
    REPAIR = "repair"


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup of a book: when it was made (UTC), and before or after what."""

    path: Path
    at: datetime
    why: Why
    size_bytes: int
    turn: int  # counts those of one second, whatever they were made for


def folder_of(book: Path) -> Path:
    """Return the folder that holds a book's backups."""
    return book.with_name(f"{book.name}.backups")


def make(book: Path, now: datetime, why: Why, *, is_proven: bool = False) -> Path:
    """Copy a book into its folder of backups, and drop those that are too many there.

    `is_proven`: the book is known to be whole as it lies there.
    """
    folder = folder_of(book)
    try:
        make_folder(folder)
    except OSError as error:
        raise BookError(
            f"The book could not be copied to {folder} ({error.strerror}); nothing was changed. "
            "Make room there, or allow writing."
        ) from error
    stamp = f"{now.astimezone(UTC):{_STAMP}}"
    turn = max((one.turn for one in listed(book) if f"{one.at:{_STAMP}}" == stamp), default=0)
    target = None
    while target is None or target.exists():
        turn += 1
        again = f"-{turn}" if turn > 1 else ""
        target = folder / f"{book.stem}-{stamp}-{why}{again}{book.suffix}"
    copy_book(book, target, even_damaged=why is Why.REPAIR, is_proven=is_proven)
    for one in too_many(listed(book)):
        if one.path != target:
            with suppress(OSError):
                one.path.unlink()
    return target


def listed(book: Path) -> tuple[Backup, ...]:
    """Return a book's backups, the newest first; other files in the folder are not ours and are left out."""
    whys = "|".join(Why)
    pattern = re.compile(
        rf"{re.escape(book.stem)}-(\d{{4}}-\d\d-\d\d-\d{{6}})-({whys})(?:-(\d+))?{re.escape(book.suffix)}"
    )
    found = []
    folder = folder_of(book)
    for path in folder.iterdir() if folder.is_dir() else ():
        name = pattern.fullmatch(path.name)
        if name and path.is_file():
            with suppress(ValueError, OSError):
                at = datetime.strptime(name[1], _STAMP).replace(tzinfo=UTC)
                found.append(Backup(path, at, Why(name[2]), path.stat().st_size, int(name[3] or 1)))
    return tuple(sorted(found, key=lambda one: (one.at, one.turn), reverse=True))


def too_many(backups: Iterable[Backup]) -> list[Backup]:
    """Return those that need not be kept: not among the last, nor the last of a late day or of a month."""
    days: set[str] = set()
    months: set[str] = set()
    result = []
    for number, one in enumerate(backups):
        day, month = f"{one.at:%Y-%m-%d}", f"{one.at:%Y-%m}"
        is_last_of_day = day not in days and len(days) < KEPT_DAYS
        if number >= KEPT_LAST and not is_last_of_day and month in months:
            result.append(one)
        days.add(day)
        months.add(month)
    return result


def counted(file: Path) -> tuple[int, int]:
    """Return how many trips and keepers a sound logbook holds."""
    with closing(connect(file, mode_to_read(file))) as connection:
        trips, keepers = (
            connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in ("trip", "keeper")
        )
    return int(trips), int(keepers)


def put_in_place(file: Path, book: Path, now: datetime) -> Path | None:
    """Make a book what a sound file is; return where a damaged or newer book was moved, if it was.

    Nobody can write meanwhile, and a killed program leaves the book as it was.
    """
    try:
        if book.exists() and is_sound(book):
            write_into(file, book)
            return None
        moved = _moved_away(book, now) if book.exists() else None
        copy_book(file, book)
        book.chmod(OWN_FILE)  # a backup that nobody may write to becomes a book again
        return moved
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise explain(error, book) from error
    except OSError as error:
        raise BookError(
            f"The book {book} could not be put in place ({error.strerror}); its backups are unchanged."
        ) from error


def snapshot(file: Path, target: Path) -> Path:
    """Copy a logbook of somebody else to a place of ours, writing nothing beside it."""
    try:
        if is_read_only(file) and has_pending(file):
            return copy_files(file, target)
        with (
            closing(connect(file, mode_to_read(file))) as content,
            closing(connect(target, Mode.MAKE)) as copy,
        ):
            content.backup(copy)
    except (sqlite3.Error, UnicodeDecodeError, OSError) as error:
        raise BookError(f"{file} could not be read ({error}); nothing was changed.") from error
    return target


def is_sound(book: Path) -> bool:
    """Whether SQLite finds a book's file whole; read only, so that what lies beside it stays for a rescue."""
    try:
        with closing(connect(book, Mode.READ)) as connection:
            return bool(connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        if isinstance(error, sqlite3.OperationalError):  # locked, read-only: no word about its content
            raise explain(error, book) from error
        return False


def _moved_away(book: Path, now: datetime) -> Path:
    """Move a damaged book and what belongs to it aside, so that somebody may still rescue words from it."""
    folder = folder_of(book)
    make_folder(folder)
    target = folder / f"{book.stem}-{now.astimezone(UTC):{_STAMP}}-damaged{book.suffix}"
    for suffix in ("-wal", "-shm", "-journal", ""):
        part = Path(f"{book}{suffix}")
        if part.exists():
            part.replace(f"{target}{suffix}")
    return target
