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

from logbook.services.night.questions import Asks, Question
from logbook.services.night.screens import Screen, ScreenOf, screens_of
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
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
    prompts: int = 0  # that were answered here
    asking: str | None = None  # the screen whose prompt was seen and is answered next, by its key

    def screen(self) -> Screen | None:
        """The first screen on which something is open, as the book stands."""
        screens = screens_of(whole_evening(self.night))
        return next((one for one in screens if one.open_keys), None)

    def open_keys(self) -> tuple[str, ...]:
        """All that is open, by key."""
        return tuple(key for one in screens_of(whole_evening(self.night)) for key in one.open_keys)

    def wait(self) -> Screen:
        """Wait until the screen that the book stands at asks; one on which nothing is open is left."""
        screen = self.screen()
        assert screen is not None
        if self.asking not in (None, screen.key):
            self.press("\r")
        self._see(screen)
        return screen

    def _see(self, screen: Screen) -> None:
        if self.asking is None:
            self.child.expect_exact(prompt_of(screen))
        self.asking = screen.key

    def press(self, keys: str) -> None:
        """Type, and count."""
        self.keystrokes += len(keys)
        self.prompts += keys.count("\r")
        self.child.send(keys)
        self.asking = None

    def enter(self, keys: str = "") -> None:
        """Answer a screen as a whole, and wait until the book holds the answer."""
        before = self.open_keys()
        self.press(f"{keys}\r")
        self.go_on_from(before)

    def line(self, text: str) -> Screen:
        """Put parts of a screen right, and wait until it asks again; return the screen as it was."""
        screen = self.screen()
        assert screen is not None
        self.press(f"{text}\r")
        understood = r"(?:\n|2004l)   \S"  # what was understood, or why not
        if self.child.expect([understood, "y or n"]) == 1:
            self.asking = screen.key
            return screen
        self.child.expect(r"y or n|(?:Clocks|The day|Stay \d+|Plans|Looking back)>")
        screens = [
            screen,
            *screens_of(whole_evening(self.night)),
        ]  # a screen of which nothing is left is gone
        self.asking = next((one.key for one in screens if prompt_of(one) == self.child.after), screen.key)
        return screen

    def confirm(self, word: str) -> None:
        """Answer the question whether an answer may be."""
        screen = self.screen()
        assert screen is not None
        assert screen.to_confirm is not None
        self.press(f"{word}\r")
        self._see(screen)

    def leave(self) -> None:
        """Leave the last screen, and wait until the session is over."""
        if self.asking is not None:
            self.press("\r")
        self.closed()

    def go_to(self, of: ScreenOf, number: int = 0) -> Screen:
        """Take screens up to one of a kind, or one stay."""
        while True:
            screen = self.wait()
            if screen.of is of and number in (0, screen.number):
                return screen
            self.enter()

    def go_on_from(self, before: tuple[str, ...]) -> None:
        """Wait until other things are open than before."""
        seen: tuple[int, ...] = ()
        looks = 0

        def stands_elsewhere() -> bool:
            """To ask the book costs more than to look at its files, whose times may stand still a while."""
            nonlocal seen, looks
            last, seen, looks = seen, self._written(), looks + 1
            return (last != seen or looks % 25 == 0) and self.open_keys() != before

        until(stands_elsewhere)

    def _written(self) -> tuple[int, ...]:
        """When and how much was last written into the book, as far as its files tell."""
        path = self.night.book.path
        found = [one.stat() for one in (path, path.with_name(f"{path.name}-wal")) if one.exists()]
        return tuple(number for one in found for number in (one.st_mtime_ns, one.st_size))

    def finish(self) -> str:
        """Press Enter to the end and return the last screen."""
        while self.screen() is not None:
            self.wait()
            self.enter()
        if self.asking is not None:
            self.press("\r")
        return self.closed()

    def closed(self) -> str:
        """Wait until the session is over and return its last screen."""
        self.child.expect(pexpect.EOF)
        self.child.close()
        assert self.child.exitstatus == 0
        return ESCAPES.sub("", str(self.child.before))


def prompt_of(screen: Screen) -> str:
    """What a screen asks with."""
    names = {
        ScreenOf.CLOCKS: "Clocks",
        ScreenOf.DAY: "The day",
        ScreenOf.PLANS: "Plans",
        ScreenOf.AFTER: "Looking back",
    }
    return f"{names.get(screen.of, f'Stay {screen.number}')}>"


LEADS = {
    Asks.VIEWPOINT: "place",
    Asks.TIMES: "times",
    Asks.CROWD: "crowd",
    Asks.CONDITIONS: "conditions",
    Asks.SUPPORT: "support",
    Asks.TRIES: "tries",
    Asks.IN_THE_WAY: "in the way",
    Asks.LEARNED: "learned",
    Asks.KEEP: "keep",
    Asks.CHANGE: "change",
    Asks.JOURNAL: "journal",
    Asks.SHOWN: "shown",
}


def as_typed(night: Night, question: Question, text: str) -> str:
    """An answer to a question as it is typed at its screen."""
    if question.asks in LEADS:
        return f"{LEADS[question.asks]}: {text}"
    if question.asks is Asks.CLOCK:
        return f"{question.about}: {text}"
    if question.asks is Asks.OUTCOME:
        return f"shot {question.about}: {text}"
    if question.asks is Asks.WHY:
        return f"shot {question.about}: {text}"
    if question.asks in (Asks.CHANGES, Asks.SURE, Asks.NEW_VIEWPOINT):
        return text
    with night.book.reading() as desk:
        found = [desk.keepers.get(one) for one in question.about.partition(";")[0].split(",")]
    files = ", ".join(Path(one.file).stem for one in found if one)
    if text == "?":
        text = "filters unknown" if question.asks is Asks.FILTERS else "for ?"
    elif question.asks is Asks.SHOT:
        text = f"for {text}"
    return f"keepers {files}: {text}"


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
        "LOGBOOK_VIEWER": "true",
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
