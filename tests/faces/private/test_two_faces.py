"""The same answers by page and by terminal leave equal books."""

import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from logbook.domain.errors import LogbookError
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.examples import slow
from tests.faces.private.visitor import Visitor
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/evening/2025-10-18"
TYPED = {
    Asks.CHANGES: (
        "north rim road closed, said the warden",
        "light on the lower path; rain from 3pm",
        "nothing",
    ),
    Asks.CROWD: ("few dozens none", "~20 people", "?"),
    Asks.SUPPORT: ("braced", "tripod"),
    Asks.TRIES: ("14", "about 20"),
    Asks.TIMES: ("16:05-17:40",),
    Asks.FILTERS: ("nd8 + pol", "none", "nd64"),
    Asks.SHARPNESS: ("sharp", "soft"),
    Asks.OUTCOME: ("made", "partly, light", "missed: closed", "open"),
    Asks.WHY: ("crowd", "the gate was locked"),
    Asks.KEEP: ("come before the coaches", "nothing"),
    Asks.CHANGE: ("bring the longer lens",),
    Asks.JOURNAL: ("A long day; ice at six.",),
    Asks.SURE: ("y", "n"),
}


def line_for(question: Question, chance: random.Random) -> str:
    """Something that a person may say there."""
    known = [*TYPED.get(question.asks, ()), "?"]
    if question.default:
        known += ["y", "y"]
    return chance.choice(known)


def an_evening(path: Path, chance: random.Random) -> list[tuple[str, str]]:
    """Answers that lead through a day, by the keys of their questions."""
    book = Book(path, now, create=False)
    trip, day = day_to_write(book, TRIP, None)
    night = Night(book, trip, day)
    said: list[tuple[str, str]] = []
    while (step := night.step()) is not None and len(said) < 200:
        line = line_for(step.question, chance)
        try:
            night.say(step.question.key, line)
        except LogbookError:
            continue
        said.append((step.question.key, line))
    return said


def rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row without its own id, which is drawn by lot for some, and without its instants."""
    return {name: sorted((row[3:] for row in found), key=repr) for name, found in dump_of(path).items()}


@pytest.mark.parametrize("seed", [0, *slow(*range(1, 6))])
def test_the_same_answers_by_page_and_by_terminal_give_equal_books(
    visitor: Visitor, book_path: Path, tmp_path: Path, seed: int
) -> None:
    by_terminal = Path(shutil.copyfile(book_path, tmp_path / "terminal.sqlite"))
    said = an_evening(Path(shutil.copyfile(book_path, tmp_path / "draft.sqlite")), random.Random(seed))
    assert len(said) > 20
    typed = "".join(f"{line}\n" for _, line in said)
    done = subprocess.run(
        [sys.executable, "-m", "logbook", "--book", str(by_terminal), "night", "--trip", TRIP],
        input=typed,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    for key, line in said:
        answer = visitor.send_pairs(PAGE, [(f"line:{key}", line)])
        assert answer.status == 303, answer.text
    assert rows(book_path) == rows(by_terminal)
