"""The same answers by page and by terminal leave equal books."""

import random
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from logbook.domain.words import Provenance
from logbook.services.night.questions import Asks, Question
from logbook.services.night.screens import Screen, screens_of
from logbook.services.night.session import STATED_TOGETHER, Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.book import Book
from tests.faces.commands.windows import as_typed
from tests.faces.private.visitor import Visitor
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/evening/2025-10-18"
TYPED = {
    Asks.CLOCK: ("7 min slow", "right", "+60"),
    Asks.CHANGES: ("north rim road closed, said the warden", "rain from 3pm", "nothing"),
    Asks.CROWD: ("few dozens none", "~20 people", "?"),
    Asks.CONDITIONS: ("wind: 4 from west", "crowd: dozens at 17:20", "?"),
    Asks.SUPPORT: ("braced", "tripod", "?"),
    Asks.TRIES: ("14", "about 20", "?"),
    Asks.TIMES: ("16:05-17:40", "?"),
    Asks.IN_THE_WAY: ("a coach", "?"),
    Asks.LEARNED: ("come before the coaches", "keep: the low spot"),
    Asks.FILTERS: ("nd8 + pol", "none", "nd64", "?"),
    Asks.SHARPNESS: ("sharp", "soft"),
    Asks.SHOT: ("?",),
    Asks.OUTCOME: ("made", "partly, light", "missed: closed", "open"),
    Asks.KEEP: ("come before the coaches", "nothing"),
    Asks.CHANGE: ("bring the longer lens",),
    Asks.JOURNAL: ("A long day.", "Ice at six."),
    Asks.SHOWN: ("withheld", "exact"),
}
Say = Callable[[str, str], None]  # the key of a question, and a line


def line_for(question: Question, chance: random.Random) -> str:
    """Something that a person may say there."""
    known = [*TYPED.get(question.asks, ()), "?"]
    if question.default:
        known += ["y", "y"]
    return chance.choice(known)


def screens(night: Night) -> tuple[Screen, ...]:
    """The screens as the book stands."""
    return screens_of(whole_evening(night))


def an_evening(night: Night, say: Say, chance: random.Random) -> list[str]:
    """Write a day down by the page; return what is typed in a terminal to say the same."""
    typed: list[str] = []
    for key in [one.key for one in screens(night)]:
        for question in [item.question for one in screens(night) if one.key == key for item in one.items]:
            known = TYPED.get(question.asks, ())
            if known and (question.asks is Asks.CLOCK or chance.random() < 0.6):
                typed += said_of(night, question, chance.choice(known), say, chance)
        screen = next((one for one in screens(night) if one.key == key), None)
        if screen is None:
            continue  # a clock that was stated is in doubt no more
        for item in screen.items:
            shown = item.value or (item.question.default if item.is_open else "")
            word = item.word if item.value else item.question.came_from
            if shown and item.question.asks in STATED_TOGETHER and word is not Provenance.STATED:
                say(item.question.key, shown)
        typed.append("y")
    return typed


def said_of(night: Night, question: Question, line: str, say: Say, chance: random.Random) -> list[str]:
    """Answer one question, and the one whether that may be."""
    typed = [as_typed(night, question, line)]
    say(question.key, line)
    with night.book.reading() as desk:
        sure = [one for one in night.stand(desk).questions if one.asks is Asks.SURE]
    for one in sure:
        word = chance.choice(("y", "n"))
        say(one.key, word)
        typed.append(word)
    return typed


def rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row without its own id, which is drawn by lot for some, and without its instants.

    Where one stands in the evening is left out: the terminal knows which screens were taken.
    """
    found = dump_of(path, "night_answer")
    return {name: sorted((row[3:] for row in of), key=repr) for name, of in found.items()}


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_the_same_answers_by_page_and_by_terminal_give_equal_books(
    visitor: Visitor, book_path: Path, tmp_path: Path, seed: int
) -> None:
    by_terminal = Path(shutil.copyfile(book_path, tmp_path / "terminal.sqlite"))
    book = Book(book_path, now, create=False)

    def by_page(key: str, line: str) -> None:
        answer = visitor.send_pairs(PAGE, [(f"line:{key}", line)])
        assert answer.status == 303, answer.text

    typed = an_evening(Night(book, *day_to_write(book, TRIP, None)), by_page, random.Random(seed))
    assert len(typed) > 20
    done = subprocess.run(
        [sys.executable, "-m", "logbook", "--book", str(by_terminal), "night", "--trip", TRIP],
        input="".join(f"{line}\n" for line in typed),
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    assert "is not understood" not in done.stderr
    assert "The day is in the book" in done.stdout
    assert rows(book_path) == rows(by_terminal)
