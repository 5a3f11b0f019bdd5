"""Where an answer cannot be written, what is true of the book is said, and prints into no other file."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
Shell = Callable[[str], "subprocess.CompletedProcess[str]"]


@pytest.fixture
def shell(tmp_path: Path) -> Shell:
    """Run a command line in a shell; LOGBOOK is the program on a book in a folder of its own."""

    def run(line: str) -> "subprocess.CompletedProcess[str]":
        program = f"{sys.executable} -m logbook --book {tmp_path / 'book.sqlite'}"
        return subprocess.run(
            line.replace("LOGBOOK", program),
            shell=True,  # what is redirected is what is tried
            executable="/bin/sh",
            capture_output=True,
            text=True,
            cwd=ROOT,
            timeout=120,
        )

    assert run("LOGBOOK trip add Valley").returncode == 0
    return run


@pytest.mark.slow
@pytest.mark.parametrize("where", [">&-", ">/dev/full"])
def test_what_is_stored_is_said_to_be_stored(shell: Shell, where: str) -> None:
    done = shell(f"LOGBOOK lesson add keep 'Go early' --trip valley {where}")
    assert done.returncode == 1
    assert "the book was changed anyway, so do not run this again" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert "Go early" in shell("LOGBOOK lesson list --json").stdout
    undone = shell(f"LOGBOOK undo --json {where}")
    assert "the book was changed anyway" in undone.stderr
    assert "Go early" not in shell("LOGBOOK lesson list --json").stdout


@pytest.mark.slow
@pytest.mark.parametrize("where", [">&-", ">/dev/full"])
def test_an_answer_that_is_lost_is_an_error_and_nothing_else(shell: Shell, where: str) -> None:
    done = shell(f"LOGBOOK trip list --json {where}")
    assert done.returncode == 1
    assert "the book was not changed" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.slow
def test_closed_streams_are_no_door_into_the_book(shell: Shell) -> None:
    assert shell("LOGBOOK trip add Ridge <&- >&- 2>&-").returncode == 1
    assert shell("LOGBOOK trip list 2>&-").returncode == 0
    assert "Ridge" in shell("LOGBOOK trip list").stdout
    assert shell("LOGBOOK check").returncode == 0
