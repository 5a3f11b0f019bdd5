"""Where reports lie before they are sent: a folder of this run in the cache, gone when the book is closed.

One surprising decision: the folder is locked while its run lives. A run that was killed leaves its reports
behind; the next one that builds something finds the lock free and clears them.
"""

import shutil
from contextlib import suppress
from pathlib import Path
from secrets import token_hex
from threading import Lock

from filelock import FileLock, Timeout

from logbook.store.rights import make_folder

_LOCK = "lock"


class Bench:
    """The folder of one run, made when it is first asked for."""

    def __init__(self, among: Path) -> None:
        """Choose a name among the folders of other runs; nothing is made yet."""
        self._among = among
        self._own = among / token_hex(8)
        self._held = FileLock(self._own / _LOCK, thread_local=False)
        self._making = Lock()

    def place(self, *names: str) -> Path:
        """Return a place for something to be built, whose folder is there and its owner's alone."""
        with self._making:
            if not self._held.is_locked:
                self._clear_others()
                make_folder(self._own)
                self._held.acquire()
        folder = self._own.joinpath(*names[:-1])
        make_folder(folder)
        return folder / names[-1]

    def clear(self) -> None:
        """Remove what was built."""
        if self._held.is_locked:
            self._held.release()
            shutil.rmtree(self._own, ignore_errors=True)

    def _clear_others(self) -> None:
        for lock in self._among.glob(f"*/{_LOCK}"):
            with suppress(Timeout, OSError), FileLock(lock, timeout=0):
                shutil.rmtree(lock.parent, ignore_errors=True)
