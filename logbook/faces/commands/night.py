"""`logbook night`: the day into the book in five minutes, offline and tired; a screen for each stay.

One surprising decision: what is shown is taken whole, as what it is. A line puts parts of it right, and the
screen is asked again until Enter, so that nobody answers what is right already.
"""

import os
import shlex
import subprocess
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import LogbookError
from logbook.domain.said import figured
from logbook.faces import options, typed
from logbook.faces.asking import KEYS, StoppedHereError, asker
from logbook.faces.opened import open_book
from logbook.faces.terminal import PROSE_WIDTH, answer, answer_prose, clean, say

if TYPE_CHECKING:
    from logbook.domain.keeper import Keeper
    from logbook.domain.trip import Trip
    from logbook.services.night.cards import EveningItem
    from logbook.services.night.days_waiting import DayWaiting
    from logbook.services.night.screens import Screen
    from logbook.services.night.session import Night

app = typer.Typer()

Ask = Callable[[str, Sequence[str]], str]
INDENT = "   "
LONGEST_NIGHT = 10_000  # questions; beyond it something is wrong


@options.command(
    app,
    "night",
    "logbook night --trip high-valley --on 2025-10-18",
    short="Write up a day, one screen for each stay.",
)
def night(
    trip: options.TripName = None,
    on: options.On = None,
    again: Annotated[bool, typer.Option("--again", help="Ask everything again.")] = False,
    book: options.Book = None,
) -> None:
    """Write up a day, one screen for each stay. Stop at any point, and continue from there later.

    Enter keeps a screen as shown, y confirms it, and a line you type corrects it. v shows the pictures
    in the system's viewer, or in the program named by LOGBOOK_VIEWER.
    """
    from logbook.services.night.session import Night, day_to_write

    opened = open_book(book)
    of_trip, on_date = day_to_write(opened, trip, typed.a_date(on))
    session = Night(opened, of_trip, on_date)
    if again:
        session.restart()
    started = time.monotonic()
    answer(f"{of_trip.title}, {on_date:%A} {on_date}")
    answer(KEYS)
    waiting = _waiting(session)
    if earlier := [one for one in waiting if one.on_date < on_date]:
        listed = ", ".join(f"{one.on_date} ({one.keepers})" for one in earlier)
        answer_prose(f"Still to write up, with keeper counts: {listed}. The first:")
        answer(_command(of_trip, earlier[0]))
    with ExitStack() as stack:
        sitting = _Sitting(session, asker(), stack)
        try:
            sitting.go_through()
        except StoppedHereError:
            say("Stopped here; all answers are in the book. The same command continues from here.")
            return
    _close(session, sitting.asked, time.monotonic() - started)
    if waiting := _waiting(session):
        answer(f"Still to write up: {waiting[0].on_date}, with {figured(waiting[0].keepers, 'keeper')}:")
        answer(_command(of_trip, waiting[0]))


def _waiting(session: "Night") -> "list[DayWaiting]":
    """Return the other days that have keepers and no evening."""
    from logbook.services.night.days_waiting import days_of_trip

    days = days_of_trip(session.book, session.trip.slug)
    return [
        one
        for one in days
        if one.keepers and not (one.is_begun or one.is_done) and one.on_date != session.on_date
    ]


def _command(trip: "Trip", day: "DayWaiting") -> str:
    return f"{INDENT}logbook night --trip {trip.slug} --on {day.on_date}"


@dataclass(slots=True)
class _Sitting:
    """One sitting at the screens of an evening."""

    session: "Night"
    ask: Ask
    stack: ExitStack
    asked: int = 0
    wanted: str | None = None  # the screen that somebody went to

    def go_through(self) -> None:
        """Show and ask until nothing is open; where nothing is, a screen can still be gone to."""
        screens = self.screens()
        if not any(one.open_keys for one in screens):
            answer("Everything has been answered.")
            self.wanted = self._chosen(screens)
        while self.asked < LONGEST_NIGHT:
            screens = self.screens()
            screen = next((one for one in screens if one.key == self.wanted), None)
            screen = screen or next((one for one in screens if one.open_keys), None)
            if screen is None:
                return
            self.wanted = None
            self._show(screens, screen)
            self._at(screen)

    def screens(self) -> "Sequence[Screen]":
        """The screens as the book stands."""
        from logbook.services.night.screens import screens_of
        from logbook.services.night.whole import whole_evening

        return screens_of(whole_evening(self.session))

    def _show(self, screens: "Sequence[Screen]", screen: "Screen", *, whole: bool = False) -> None:
        from logbook.faces.night_screens import ROOM, heading, hint_of, lines_of, title_of

        keys = [one.key for one in screens]
        answer("\n" + heading(title_of(screen), keys.index(screen.key) + 1, len(keys)))
        lines = lines_of(screen)
        shown = lines if whole or len(lines) <= ROOM else lines[: ROOM - 1]
        for line in shown:
            answer(clean(line))
        if len(shown) < len(lines):
            answer(f"{INDENT}… {len(lines) - len(shown)} more lines; m shows them all")
        answer_prose(hint_of(screen), indent=INDENT)

    def _at(self, screen: "Screen") -> None:
        """Ask at a screen until it is taken or left."""
        key = screen.key
        while True:
            screens = self.screens()
            now = next((one for one in screens if one.key == key), None)
            if now is None:
                return  # its stay was joined with another
            if now.to_confirm is not None:
                self._confirm(now.to_confirm)
                continue
            line = self._asked(f"{_name(now)}> ")
            if self._went(line, screens, now):
                return
            if self._did(line, screens, now):
                continue
            if line.lower() in ("", "y", "yes", "?"):
                self._take(now, line.lower())
                return
            if not self._said(now, line):
                return

    def _asked(self, prompt: str, words: Sequence[str] = ()) -> str:
        line = self.ask(clean(prompt), words).strip()
        self.asked += 1
        if line.lower() == "q":
            raise StoppedHereError
        return line

    def _went(self, line: str, screens: "Sequence[Screen]", screen: "Screen") -> bool:
        """Whether a line leads to another screen."""
        keys = [one.key for one in screens]
        if line.lower() == "b":
            at = keys.index(screen.key)
            if at == 0:
                say("This is the first screen.")
            self.wanted = keys[max(0, at - 1)]
            return True
        if line.lower() == "o":
            self.wanted = self._chosen(screens) or screen.key
            return True
        return False

    def _chosen(self, screens: "Sequence[Screen]") -> str | None:
        from logbook.faces.night_screens import overview

        for line in overview(screens):
            answer(clean(line))
        number = self._asked("Number to go to, or Enter: ")
        if number.isdecimal() and 1 <= int(number) <= len(screens):
            return screens[int(number) - 1].key
        if number:
            say(f'{INDENT}"{number}" is not the number of a screen.')
        return None

    def _did(self, line: str, screens: "Sequence[Screen]", screen: "Screen") -> bool:
        """Whether a line asked for something that is no answer."""
        from logbook.services.night.screens import ScreenOf

        word = line.lower()
        if word == "help":
            _help(screen)
        elif word == "m":
            self._show(screens, screen, whole=True)
        elif word == "v":
            self._tried(lambda: self._view(screen))
        elif word == "e" and screen.of is ScreenOf.AFTER:
            self._tried(lambda: _print_told(self.session.say("journal", _edited())))
        else:
            return False
        return True

    def _tried(self, act: Callable[[], None]) -> None:
        try:
            act()
        except LogbookError as error:
            _refuse(str(error))

    def _take(self, screen: "Screen", line: str) -> None:
        """Take what is shown: as what it is, as stated, or with what is missing as unknown."""
        from logbook.services.night.session import WholeTaking

        ways = {"": WholeTaking.AS_SHOWN, "?": WholeTaking.MISSING_UNKNOWN}
        stated = [item.question.key for item in screen.items] if line not in ways else screen.open_keys
        self.session.take(stated, ways.get(line, WholeTaking.STATED))

    def _said(self, screen: "Screen", line: str) -> bool:
        """Write down a line and show what was understood; False where the stays are others now."""
        from logbook.faces.night_screens import lines_of_rows, rows_of
        from logbook.services.night.screen_lines import say_at

        before = rows_of(screen)
        stays = screen.plan.visits if screen.plan else ()
        said = say_at(self.session, screen, line)
        for sentence in said.told:
            answer_prose(sentence, indent=INDENT)
        for sentence in said.refused:
            _refuse(sentence)
        now = next((one for one in self.screens() if one.key == screen.key), None)
        if now is None or [one.id for one in (now.plan.visits if now.plan else ())] != [
            one.id for one in stays
        ]:
            self.wanted = screen.key
            return False
        for text in lines_of_rows([row for row in rows_of(now) if row not in before]):
            answer(clean(text))
        return True

    def _confirm(self, item: "EveningItem") -> None:
        """Ask for the yes that an answer waits for."""
        question = item.question
        for why in question.why:
            answer_prose(why, indent=INDENT)
        ends = f" [{question.default}]" if question.default else ""
        hint = question.hint or f"Enter: {question.enter}"
        line = self._asked(f"{question.text}, y or n ({hint}){ends}: ", question.choices)
        if not line:
            self.session.take([question.key])
            return
        self._tried(lambda: _print_told(self.session.say(question.key, line)))

    def _view(self, screen: "Screen") -> None:
        from logbook.faces.viewing import show_pictures

        folder = Path(self.stack.enter_context(tempfile.TemporaryDirectory(prefix="logbook-")))
        missing = show_pictures(self._pictures(screen), folder)
        if missing:
            say(f"{INDENT}{missing} of them could not be shown; their originals are not at hand.")

    def _pictures(self, screen: "Screen") -> "Sequence[Keeper]":
        """The pictures of a screen: those of its stay, else all of the day."""
        groups = screen.groups or (screen.plan.groups if screen.plan else ())
        with self.session.book.reading() as desk:
            found = [desk.keepers.get(one) for group in groups for one in group.keeper_ids]
        return [one for one in found if one is not None]


def _name(screen: "Screen") -> str:
    from logbook.services.night.screens import ScreenOf

    names = {
        ScreenOf.CLOCKS: "Clocks",
        ScreenOf.DAY: "The day",
        ScreenOf.PLANS: "Plans",
        ScreenOf.AFTER: "Looking back",
    }
    return names.get(screen.of, f"Stay {screen.number}")


def _print_told(told: Sequence[str]) -> None:
    for sentence in told:
        answer_prose(sentence, indent=INDENT)


def _refuse(sentence: str) -> None:
    say(fill(sentence, PROSE_WIDTH, initial_indent=INDENT, subsequent_indent=INDENT))


def _help(screen: "Screen") -> None:
    """Say what can be typed at a screen."""
    from logbook.faces.night_screens import help_of

    lines = help_of(screen)
    margin = len(INDENT) + max(len(line) for line, _ in lines) + 2
    for line, says in lines:
        first = f"{INDENT}{line}".ljust(margin)
        answer(fill(says, PROSE_WIDTH, initial_indent=first, subsequent_indent=" " * margin))
    answer_prose("Several answers go on one line with ; between them, or one after the other.", indent=INDENT)


def _edited() -> str:
    """Let the person write in their editor; an editor that cannot be run leaves the answer empty."""
    editor = os.environ.get("VISUAL") or os.environ.get("EDITOR") or "nano"
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "journal.md"
        file.touch()
        try:
            subprocess.run([*shlex.split(editor), str(file)], check=True)
        except (OSError, subprocess.CalledProcessError, ValueError):
            raise LogbookError(
                f'The editor "{editor}" could not be run; set EDITOR, or type the line here.'
            ) from None
        return file.read_text(encoding="utf-8", errors="replace").strip()


def _close(session: "Night", asked: int, seconds: float) -> None:
    from logbook.faces.commands.day import print_day
    from logbook.services.days import show_day

    answer("")
    print_day(show_day(session.book, session.trip.slug, session.on_date))
    copy = session.copy()
    minutes, rest = divmod(round(seconds), 60)
    answer(f"\nThe day is in the book: {figured(asked, 'answer')}, {minutes} min {rest} s. A copy is in")
    answer(str(copy))
