"""What takes long to make is made once a run, also where several processes share the tests, and copied."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock

from logbook.store.proven import Proven, note


def copied_book(book: Path, to: Path) -> Path:
    """Copy a sound book that nobody has open; the copy is remembered as sound, too."""
    shutil.copyfile(book, to)
    note(to, Proven(records=True, index=True, tallies=True))
    return to


@dataclass(frozen=True)
class Once:
    """Folders in a folder that all processes of a run share."""

    shared: Path

    def __call__(self, name: str, fill: Callable[[Path], object]) -> Path:
        """Return a folder that whoever asked first has filled; it is read and copied, never changed."""
        folder, whole = self.shared / name, self.shared / f"{name}.whole"
        with FileLock(self.shared / f"{name}.lock"):
            if not whole.exists():
                shutil.rmtree(folder, ignore_errors=True)  # of a process that failed half-way
                folder.mkdir()
                fill(folder)
                whole.touch()
        return folder
