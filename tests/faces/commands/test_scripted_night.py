"""The scripted day through a real terminal: how many answers it takes, and what the book says then."""

import sys
from pathlib import Path

import pytest

from logbook.services.night.screens import ScreenOf
from tests.faces.commands.windows import Opened
from tests.services.night.scripted_day import CLOCK, TRIP, TRUTH, truth_in

MOST_PROMPTS = 25
STAYS = (
    "tripod; dozens; all: none; 0475-0476: nd1000; learned: come before the coaches",
    "braced; all: none",
    "ferry stage; handheld; all: none",
    "poplar row; handheld; all: none",
    "tripod; all: none",
)
OUTCOMES = "1,3,5 made; 2 partly, crowd; 4 missed, light; 6 missed, closure"


@pytest.mark.slow
def test_the_scripted_day_takes_at_most_25_answers_and_becomes_what_is_true(
    opened: Opened, scripted_book: Path
) -> None:
    path = scripted_book
    window = opened(path, TRIP)
    window.wait()
    window.line(CLOCK)
    window.go_to(ScreenOf.DAY)
    window.line("north gate, gate locked; cut 3 at 14:20")
    for number, said in enumerate(STAYS, 1):
        window.go_to(ScreenOf.STAY, number)
        window.line(said)
        window.enter("y")
    window.go_to(ScreenOf.PLANS)
    window.line(OUTCOMES)
    window.go_to(ScreenOf.AFTER)
    window.line(TRUTH.journal)
    screen = window.finish()
    sys.stdout.write(f"\nanswers of the scripted day: {window.prompts}, keystrokes: {window.keystrokes}\n")
    assert f"{window.prompts} answers" in screen
    assert window.prompts <= MOST_PROMPTS
    assert truth_in(path) == TRUTH
