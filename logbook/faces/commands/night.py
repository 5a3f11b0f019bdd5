"""`logbook night`: the day into the book in five minutes, offline and tired.

One surprising decision: the session asks and the book remembers; stopping anywhere, even by pulling the plug,
loses nothing that was answered.
"""

import os
import shlex
import subprocess
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from textwrap import fill, shorten
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import LogbookError
from logbook.domain.words import Provenance
from logbook.faces import options, typed
from logbook.faces.asking import KEYS, StoppedHereError, asker
from logbook.faces.opened import open_book
from logbook.faces.terminal import PROSE_WIDTH, answer, answer_prose, clean, say

if TYPE_CHECKING:
    from logbook.services.night.questions import Question
    from logbook.services.night.session import Night, SessionStep

app = typer.Typer()

Ask = Callable[[str, Sequence[str]], str]
LONGEST_DEFAULT = 40  # characters of a proposal that a prompt shows
HEADING_WIDTH = 72  # columns
LONGEST_NIGHT = 10_000  # questions; beyond it something is wrong


@options.command(
    app,
    "night",
    "logbook night --trip high-valley --on 2025-10-18",
)
def night(
    trip: options.TripName = None,
    on: options.On = None,
    again: Annotated[bool, typer.Option("--again", help="Ask everything again.")] = False,
    book: options.Book = None,
) -> None:
    """Write down a day, question by question; stop anywhere, it resumes there."""
    from logbook.services.night.session import Night, day_to_write

    opened = open_book(book)
    of_trip, on_date = day_to_write(opened, trip, typed.a_date(on))
    session = Night(opened, of_trip, on_date)
    if again:
        session.restart()
    started = time.monotonic()
    answer(f"{of_trip.title}, {on_date:%A} {on_date}")
    answer(KEYS)
    if came := session.newcomers():
        answer(f"{came} keepers came in since these questions were made; --again asks about them too.")
    asked = 0
    try:
        asked = _ask_all(session, asker())
    except StoppedHereError:
        say("Stopped here; all answers are in the book. The same command goes on from here.")
        return
    _close(session, asked, time.monotonic() - started)


def _ask_all(session: "Night", ask: Ask) -> int:
    chapter = shown = ""
    before: Question | None = None
    hints: set[str] = set()  # those shown in this chapter
    asked = 0
    while (step := session.step()) is not None and asked < LONGEST_NIGHT:
        question = step.question
        if question.chapter != chapter:
            chapter = question.chapter
            shown = ""
            hints.clear()
            answer(_heading(step))
        if question.shows and question.shows != shown:
            answer_prose(question.shows, indent="   ")
        shown = question.shows
        for line in question.why if question != before else ():
            if line:
                answer_prose(line, indent="   ")
        if question.enter and question != before:
            answer_prose(f"Enter: {question.enter}", indent="   ")
        before = question
        if question.hint and question.hint not in hints:
            answer_prose(question.hint, indent="   ")
            hints.add(question.hint)
        line = ask(_prompt(question), question.choices).strip()
        asked += 1
        if line.lower() == "q":
            raise StoppedHereError
        if line.lower() == "b":
            chapter, before = "", None
            if not session.back():
                say("This is the first question.")
            continue
        if line.lower() == "help":
            _help(question)
            continue
        try:
            for sentence in _take(session, question, line):
                answer_prose(sentence, indent="   ")
        except LogbookError as error:
            say(fill(str(error), PROSE_WIDTH, initial_indent="   ", subsequent_indent="   "))
    return asked


def _help(question: "Question") -> None:
    """Say what can be typed at a question."""
    takes = f"takes {question.default}" if question.default else "goes on; nothing is claimed by it"
    hint = question.hint or ", ".join(question.choices) or "your own words"
    for line in (
        f"Here: {hint}",
        f"Enter {takes}",
        "y: the proposal in brackets is right, and you say so",
        "?: you do not know",
        "b: back to the question before; q: stop, all answers are kept",
        "Ctrl-Z: to the shell and, with fg, back to this question",
    ):
        answer_prose(line, indent="   ")


def _heading(step: "SessionStep") -> str:
    """Return the line over a chapter: what it is about, and how far one is."""
    progress = f" {step.number} of {step.total}" if step.total else ""
    title = f"── {shorten(step.question.chapter, HEADING_WIDTH - 20, placeholder=' …')} "
    return "\n" + title.ljust(HEADING_WIDTH - len(progress), "─") + progress


def _prompt(question: "Question") -> str:
    if not question.default:
        return clean(f"{question.text}: ")
    came_from = f", {question.came_from}" if question.came_from else ""
    default = shorten(question.default, LONGEST_DEFAULT, placeholder=" …")
    return clean(f"{question.text} [{default}{came_from}]: ")


def _take(session: "Night", question: "Question", line: str) -> tuple[str, ...]:
    """Give an answer to the session; return what it was taken for, where that differs from what was typed."""
    from logbook.services.night.questions import Asks

    if line.lower() == "e" and question.asks is Asks.JOURNAL:
        return session.answer(question, _edited(), Provenance.STATED)
    return session.say(question.key, line)


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
    answer(f"\nThe day is in the book: {asked} questions, {minutes} min {rest} s. A copy lies in")
    answer(str(copy))
