"""What fingers do at night: pasting, asking for help, going to the shell and back."""

import sys
from pathlib import Path

import pexpect

from logbook.domain.words import Provenance
from logbook.services.night.questions import Asks
from tests.faces.commands.windows import ESCAPES, PATIENCE_S, Opened, Window, environment_of, until
from tests.services.night.sittings import LAST_DAY, TRIP


def go_to(window: Window, asks: Asks) -> None:
    """Press Enter up to a kind of question."""
    while (step := window.night.step()) is not None and step.question.asks is not asks:
        window.wait()
        window.enter()
    window.wait()


def test_every_line_of_what_is_pasted_is_an_answer_and_is_said_back(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    go_to(window, Asks.CHANGES)
    window.enter("\x1b[200~road closed\r\nrain from 3pm\x1b[201~")
    window.child.expect_exact("closure: road closed")
    window.child.expect_exact("weather at 15:00: rain from 3pm")
    with window.night.book.reading() as desk:
        assert [one.note for one in desk.conditions.all(on_date=LAST_DAY)] == ["road closed", "rain from 3pm"]


def test_a_paste_without_brackets_is_still_one_answer(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    go_to(window, Asks.CHANGES)
    before = window.night.step()
    window.child.send("road closed\rrain from 3pm\rsteps washed away\r")
    until(lambda: window.night.step() != before)
    with window.night.book.reading() as desk:
        notes = [one.note for one in desk.conditions.all(on_date=LAST_DAY)]
    assert notes == ["road closed", "rain from 3pm", "steps washed away"]
    after = window.night.step()
    assert after is not None
    assert after.number == (before.number if before else 0) + 1


def test_enter_pressed_ahead_is_an_enter_for_each_question(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    go_to(window, Asks.TIMES)
    before = window.night.step()
    assert before is not None
    window.child.send("16:00-18:00\r\r\r")
    until(lambda: (now := window.night.step()) is not None and now.number >= before.number + 3)
    with window.night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert visit.provenance_of("arrived_at") is Provenance.STATED


def test_help_is_given_at_every_question_and_is_no_answer(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    seen = set()
    while (step := window.night.step()) is not None:
        window.wait()
        if step.question.asks not in seen:
            window.child.send("help\r")
            window.child.expect_exact("back to this question")
            window.wait()
            assert window.night.step() == step
            seen.add(step.question.asks)
        window.enter()
    window.child.expect(pexpect.EOF)
    assert seen >= set(Asks) - {Asks.ZONE, Asks.NEW_VIEWPOINT, Asks.CHANGED, Asks.SURE, Asks.WHY}


def test_ctrl_z_goes_to_the_shell_and_fg_back_to_the_question(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    go_to(window, Asks.TIMES)
    window.child.close(force=True)
    shell = pexpect.spawn(
        "/bin/bash",
        ["--norc", "--noprofile", "-i"],
        dimensions=(24, 80),
        env=environment_of(book_path) | {"PS1": "SHELL> "},
        encoding="utf-8",
        timeout=PATIENCE_S,
    )
    try:
        shell.expect_exact("SHELL> ")
        shell.sendline(f"{sys.executable} -m logbook night --trip {TRIP}")
        shell.expect_exact("There from-to")
        shell.send("16:0")
        shell.send("\x1a")
        shell.expect_exact("Stopped")
        shell.expect_exact("SHELL> ")
        shell.sendline("fg")
        shell.expect_exact("There from-to")
        before = window.night.step()
        shell.send("0-18:00\r")
        until(lambda: window.night.step() != before)
        shell.expect_exact("Crowd on arrival")
        shell.send("q\r")
        shell.expect_exact("Stopped here")
    finally:
        shell.close(force=True)
    with window.night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert f"{visit.arrived_at} {visit.departed_at}" == "16:00:00 18:00:00"


def test_stays_are_cut_in_the_window(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    go_to(window, Asks.CHANGES)
    window.child.send("cut 2 at 17:00\r")
    window.child.expect_exact("3  17:")
    window.wait()
    assert "Traceback" not in ESCAPES.sub("", str(window.child.before))
    step = window.night.step()
    assert step is not None
    assert step.question.asks is Asks.CHANGES
