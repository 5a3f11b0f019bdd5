"""Windows: a session in a real terminal of 80 by 24, and its book seen from beside it."""

import os
import re
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pexpect

from logbook.services.night.session import Night, SessionStep, day_to_write
from logbook.store.book import Book
from tests.services.night.sittings import now

ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[=>]|[\x00-\x08\x0e-\x1f]")
PATIENCE_S = 30


@dataclass
class Window:
    """A terminal with a session in it, and the book seen from beside it."""

    child: Any
    night: Night
    keystrokes: int = 0

    def wait(self) -> None:
        """Wait until the question that the book stands at is on the screen."""
        step = self.night.step()
        assert step is not None
        self.child.expect_exact(step.question.text[:40])

    def press(self, keys: str) -> None:
        """Type, and count."""
        self.keystrokes += len(keys)
        self.child.send(keys)

    def enter(self, keys: str = "") -> None:
        """Answer a question, and wait until the book holds the answer."""
        before = self.night.step()
        self.press(f"{keys}\r")
        self.go_on_from(before)

    def go_on_from(self, before: SessionStep | None) -> None:
        """Wait until the book stands at another question than before."""
        seen: tuple[int, ...] = ()
        looks = 0

        def stands_elsewhere() -> bool:
            """To ask the book costs more than to look at its files, whose times may stand still a while."""
            nonlocal seen, looks
            last, seen, looks = seen, self._written(), looks + 1
            return (last != seen or looks % 25 == 0) and self.night.step() != before

        until(stands_elsewhere)

    def _written(self) -> tuple[int, ...]:
        """When and how much was last written into the book, as far as its files tell."""
        path = self.night.book.path
        found = [one.stat() for one in (path, path.with_name(f"{path.name}-wal")) if one.exists()]
        return tuple(number for one in found for number in (one.st_mtime_ns, one.st_size))

    def finish(self) -> str:
        """Press Enter to the end and return the last screen."""
        while self.night.step() is not None:
            self.wait()
            self.enter()
        self.child.expect(pexpect.EOF)
        self.child.close()
        assert self.child.exitstatus == 0
        return ESCAPES.sub("", str(self.child.before))


def until(true: Callable[[], bool]) -> None:
    """Wait for something."""
    deadline = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < deadline
        time.sleep(0.01)


def environment_of(path: Path) -> dict[str, str]:
    """The environment of a session with a book."""
    return os.environ | {
        "LOGBOOK_BOOK": str(path),
        "TERM": "xterm",
        "PROMPT_TOOLKIT_NO_CPR": "1",
        "EDITOR": "true",
    }


def open_window(path: Path, trip: str) -> Window:
    """Open a window on the night of a trip."""
    book = Book(path, now, create=False)
    child = pexpect.spawn(
        sys.executable,
        ["-m", "logbook", "night", "--trip", trip],
        dimensions=(24, 80),
        env=environment_of(path),
        encoding="utf-8",
        timeout=PATIENCE_S,
    )
    return Window(child, Night(book, *day_to_write(book, trip, None)))


Opened = Callable[[Path, str], Window]
