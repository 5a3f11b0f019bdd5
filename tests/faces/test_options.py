"""What is asked for in place by one command and by an option by another may be typed either way."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]
TRIP, DAY = "high-valley-autumn", "2025-10-14"
SAME: dict[str, tuple[list[str], list[str]]] = {
    "sheet": (["sheet", TRIP, "--on", DAY], ["sheet", "--trip", TRIP, "--on", DAY]),
    "report": (
        ["report", TRIP, "--for", "client", "--into", "client"],
        ["report", "--for", "client", "--into", "client", "-t", TRIP],
    ),
    "export": (["export", TRIP, "--private"], ["export", "--trip", TRIP, "--private"]),
    "day show": (["day", "show", DAY, "-t", TRIP], ["day", "show", "--on", DAY, "-t", TRIP]),
    "light": (["light", "quarry-ledge", "--on", DAY], ["light", "--on", DAY, "--viewpoint", "quarry-ledge"]),
    "before": (["before", "long-dune"], ["before", "--site", "long-dune"]),
    "alike": (["alike", "long-dune"], ["alike", "--site", "long-dune"]),
}
TWICE = [
    ["sheet", TRIP, "--trip", TRIP, "--on", DAY],
    ["export", TRIP, "--trip", "other"],
    ["day", "show", DAY, "--on", DAY],
    ["light", "quarry-ledge", "--viewpoint", "north-rim", "--on", DAY],
    ["before", "long-dune", "--site", "long-dune"],
]
NEITHER = [["sheet", "--on", DAY], ["day", "show"], ["before"]]


@pytest.mark.slow
@pytest.mark.parametrize("command", SAME)
def test_in_place_or_by_an_option_is_the_same(command: str, on_report: Run) -> None:
    placed, named = (on_report(*line) for line in SAME[command])
    assert (named.status, named.out) == (0, placed.out), named.err
    assert named.out


@pytest.mark.parametrize("line", TWICE, ids=" ".join)
def test_both_are_wrong_use_in_one_sentence(line: list[str], on_demo: Run) -> None:
    answer = on_demo(*line)
    assert (answer.status, answer.out) == (2, "")
    assert "is given twice" in answer.err
    assert answer.err.count("\n") == 1


@pytest.mark.parametrize("line", NEITHER, ids=" ".join)
def test_neither_says_what_to_type(line: list[str], on_demo: Run) -> None:
    answer = on_demo(*line)
    assert answer.status == 2
    assert f"logbook {' '.join(line[:1])}" in answer.err


def test_a_trip_that_only_narrows_a_list_says_so(logbook: Run) -> None:
    for noun in ("shot", "keeper", "kit", "visit", "condition", "lesson"):
        shown = " ".join(logbook(noun, "list", "--help").out.split())
        assert "Only in this trip." in shown, noun
        assert "needed if there are several" not in shown, noun
    assert "needed if there are several" in " ".join(logbook("night", "--help").out.split())
