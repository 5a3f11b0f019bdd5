"""What fingers do at night: pasting, asking for help, looking, going to the shell and back."""

import sys
from pathlib import Path

import pexpect
import pytest

from logbook.domain.words import Provenance
from logbook.services.night.screens import ScreenOf
from tests.faces.commands.windows import ESCAPES, PATIENCE_S, Opened, environment_of, until
from tests.services.night.sittings import LAST_DAY, TRIP


@pytest.mark.slow
def test_every_line_of_what_is_pasted_is_an_answer_and_is_said_back(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.DAY)
    window.press("\x1b[200~road closed\r\nrain from 3pm\x1b[201~\r")
    window.child.expect_exact("closure: road closed")
    window.child.expect_exact("weather at 15:00: rain from 3pm")
    with window.night.book.reading() as desk:
        assert [one.note for one in desk.conditions.all(on_date=LAST_DAY)] == ["road closed", "rain from 3pm"]


@pytest.mark.slow
def test_a_paste_without_brackets_is_still_one_answer(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.DAY)
    window.child.send("road closed\rrain from 3pm\rsteps washed away\r")
    window.child.expect_exact("steps washed away stated")
    with window.night.book.reading() as desk:
        notes = [one.note for one in desk.conditions.all(on_date=LAST_DAY)]
    assert notes == ["road closed", "rain from 3pm", "steps washed away"]


@pytest.mark.slow
def test_enter_pressed_ahead_is_an_enter_for_each_screen(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.wait()
    window.child.send("\r\r")
    until(lambda: (screen := window.screen()) is not None and screen.number == 2)
    with window.night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert visit.provenance_of("arrived_at") is Provenance.INFERRED


@pytest.mark.slow
def test_help_and_the_overview_are_there_at_every_screen_and_are_no_answer(
    opened: Opened, book_path: Path
) -> None:
    window = opened(book_path, TRIP)
    seen = set()
    while (screen := window.screen()) is not None:
        window.wait()
        before = window.open_keys()
        window.child.send("help\r")
        window.child.expect_exact("brings you back here")
        window.child.send("o\r")
        window.child.expect_exact("Number to go to")
        window.child.send("\r")
        window.asking = None
        window.wait()
        assert window.open_keys() == before
        seen.add(screen.of)
        window.enter()
    window.closed()
    assert seen == set(ScreenOf) - {ScreenOf.CLOCKS}


@pytest.mark.slow
def test_ctrl_z_goes_to_the_shell_and_fg_back_to_the_screen(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.STAY, 1)
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
        shell.expect_exact("Stay 1>")
        shell.send("14:0")
        shell.send("\x1a")
        shell.expect_exact("Stopped")
        shell.expect_exact("SHELL> ")
        shell.sendline("fg")
        shell.expect_exact("Stay 1>")
        shell.send("0-18:00\r")
        shell.expect_exact("14:00-18:00  stated")
        shell.send("q\r")
        shell.expect_exact("Stopped here")
    finally:
        shell.close(force=True)
    with window.night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert f"{visit.arrived_at} {visit.departed_at}" == "14:00:00 18:00:00"


@pytest.mark.slow
def test_a_stay_is_cut_and_joined_at_its_screen(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.STAY, 2)
    window.line("cut at 17:00")
    assert "Traceback" not in ESCAPES.sub("", str(window.child.before))
    screen = window.wait()
    assert screen.plan is not None
    assert len(screen.plan.visits) == 3
    window.line("join next")
    screen = window.wait()
    assert screen.plan is not None
    assert len(screen.plan.visits) == 2


@pytest.mark.slow
def test_v_shows_copies_of_the_pictures_in_the_named_viewer(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.STAY, 2)
    window.child.send("v\r")
    window.asking = None
    window.wait()
    assert "could not be run" not in ESCAPES.sub("", str(window.child.before))
