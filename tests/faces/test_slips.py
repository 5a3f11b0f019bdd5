"""A slip on the command line is answered with the word that was meant."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]
CHOICES: dict[str, tuple[list[str], str]] = {
    "misspelt": (["site", "add", "X", "--kind", "groge"], "did you mean gorge? It can be bridge, "),
    "two letters turned": (["report", "high", "--for", "stduents", "--into", "x"], "did you mean students? "),
    "in place": (["condition", "add", "crowed", "--on", "2031-10-14"], "did you mean crowd? "),
    "of a list": (["shot", "edit", "x", "--outcome", "missed", "--reason", "lihgt"], "did you mean light?"),
    "nothing near": (["shot", "list", "--outcome", "xyz"], "it can be open, made, "),
}
COMMANDS: dict[str, tuple[list[str], str]] = {
    "turned round": (["list", "shots"], 'did you mean "logbook shot list"? See "logbook --help".'),
    "turned round behind the book": (["--book", "x", "show", "trip"], 'did you mean "logbook trip show"?'),
    "misspelt": (["shot", "lst"], 'There is no command "lst"; did you mean list? See "logbook shot --help".'),
    "an option": (
        ["shot", "list", "--outcom", "made"],
        "There is no option --outcom; did you mean --outcome? See",
    ),
    "nothing near": (["xyzzy"], 'There is no command "xyzzy"; see "logbook --help".'),
}


@pytest.mark.parametrize("what", CHOICES)
def test_a_word_of_no_list_names_the_nearest_before_the_list(stocked: Run, what: str) -> None:
    line, sentence = CHOICES[what]
    answer = stocked(*line)
    assert answer.status == 2
    assert sentence in answer.err
    assert answer.err.count("\n") == 1


@pytest.mark.parametrize("what", COMMANDS)
def test_a_command_that_is_none_names_the_nearest(stocked: Run, what: str) -> None:
    line, sentence = COMMANDS[what]
    answer = stocked(*line)
    assert answer.status == 2
    assert sentence in answer.err


def test_a_slip_in_the_beginning_of_a_name_finds_the_name(logbook: Run) -> None:
    logbook("trip", "add", "Valley in autumn")
    logbook("trip", "add", "The long slate coast")
    assert "the nearest name is valley-in-autumn" in logbook("trip", "show", "valey").err
    assert "the nearest name is the-long-slate-coast" in logbook("trip", "show", "slaet").err
    assert '"logbook trip list" lists them all' in logbook("trip", "show", "xyzzy").err
