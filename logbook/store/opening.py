"""Before a book is opened: what lies beside its file, and whether anybody can write there.

One surprising decision: a rollback journal that names a file of its own choice is refused unseen, because
SQLite would delete that file while it tidies up. Nothing of ours ever writes such a journal.
"""

import os
import shutil
import stat
from pathlib import Path

from logbook.domain.errors import BookError

SUFFIXES = ("-wal", "-shm", "-journal")  # of the files that SQLite lays beside a book
JOURNAL_MAGIC = bytes.fromhex("d9d505f920a163d7")  # SQLite file format, section 3, "The rollback journal"


def check_beside(path: Path) -> None:
    """Raise BookError if a file beside the book is not a journal that SQLite made for it."""
    for suffix in SUFFIXES:
        beside = Path(f"{path}{suffix}")
        try:  # one look: another window may tidy the file away between two
            is_ours = stat.S_ISREG(beside.lstat().st_mode)
        except (FileNotFoundError, NotADirectoryError):
            continue
        if not is_ours:
            raise BookError(f"{beside} does not belong to the book; move it elsewhere. Nothing was opened.")
    journal = Path(f"{path}-journal")
    if _names_a_file(journal):
        raise BookError(
            f"{journal} was not made by this program, and following it would delete another file; move "
            f"it away. Nothing was opened."
        )


def _names_a_file(journal: Path) -> bool:
    """Whether a rollback journal ends with the name of a super-journal (SQLite's source, pager.c)."""
    try:
        with journal.open("rb") as file:
            if file.seek(0, os.SEEK_END) < len(JOURNAL_MAGIC):
                return False
            file.seek(-len(JOURNAL_MAGIC), os.SEEK_END)
            return file.read() == JOURNAL_MAGIC and file.tell() > len(JOURNAL_MAGIC)
    except OSError:  # none there
        return False


def is_read_only(path: Path) -> bool:
    """Whether this person cannot write to a book that is there, or not beside it."""
    return path.exists() and not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))


def has_pending(path: Path) -> bool:
    """Whether what was written last still lies beside a book and not in it."""
    beside = (Path(f"{path}{suffix}") for suffix in ("-wal", "-journal"))
    return any(one.is_file() and one.stat().st_size for one in beside)


def copy_files(path: Path, copy: Path) -> Path:
    """Copy a book's files as they lie there, with what is pending, so that the copy can be opened."""
    for suffix in ("", "-wal", "-journal"):
        if Path(f"{path}{suffix}").is_file():
            shutil.copyfile(f"{path}{suffix}", f"{copy}{suffix}")
    return copy
