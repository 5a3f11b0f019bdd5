"""`logbook` alone: where one stands, and a next command that can be run as it is."""

import shlex
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.faces.conftest import OnTerminal, Run


def _next(run: Run) -> str:
    (line,) = (line for line in run().out.splitlines() if line.startswith("Next: "))
    return line.removeprefix("Next: ")


@pytest.mark.slow
def test_the_last_trip_the_days_that_wait_and_the_next_command(on_demo: Run) -> None:
    answer = on_demo()
    assert (answer.status, answer.err) == (0, "")
    told = " ".join(answer.out.split())
    assert told.startswith(
        "Last trip: High valley in autumn, 13–18 October 2025: 25 keepers, 20 planned shots."
    )
    assert "2 days still to write up: 2025-10-16, 2025-10-17." in told
    line = shlex.split(_next(on_demo))
    assert line == ["logbook", "night", "--trip", "high-valley-autumn", "--on", "2025-10-16"]
    assert on_demo(*line[1:]).status == 0


def test_an_empty_book_asks_for_a_trip(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    logbook("trip", "remove", "high-valley")
    assert _next(logbook).startswith("logbook trip add")


def test_a_trip_without_pictures_asks_for_them(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    assert _next(logbook) == "logbook keeper import FOLDER --trip high-valley"


def test_what_is_written_down_asks_for_its_report(on_demo: Run) -> None:
    for shot in (one["slug"] for one in on_demo("shot", "list", "--json").data if one["outcome"] == "open"):
        assert on_demo("shot", "edit", shot, "--outcome", "missed", "--reason", "time").status == 0
    assert "Every day is written up." in on_demo().out
    assert _next(on_demo) == "logbook report high-valley-autumn --for client --into FOLDER"


def test_a_trip_that_is_ahead_is_not_the_last_one(on_demo: Run) -> None:
    soon = datetime.now(UTC).date() + timedelta(days=40)
    on_demo("trip", "add", "Far islands", "--from", str(soon))
    told = " ".join(on_demo().out.split())
    assert told.startswith("Last trip: High valley")
    assert f"Ahead: Far islands, from {soon}, The wave shelf" in told


@pytest.mark.slow
def test_it_fits_a_terminal_and_makes_no_book(on_demo: Run, on_terminal: OnTerminal, tmp_path: Path) -> None:
    assert on_demo().status == 0
    assert max(map(len, on_terminal())) <= 80
    (tmp_path / "book.sqlite").unlink()
    answer = on_demo()
    assert (answer.status, answer.out) == (2, "")
    assert "Usage: logbook" in answer.err
    assert not (tmp_path / "book.sqlite").exists()
