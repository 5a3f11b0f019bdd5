"""Every command has help with an example, and every example runs on the demo's book."""

import re
import shlex
from collections.abc import Callable, Iterator
from typing import Any

import pytest
import typer
from typer.core import TyperGroup

from logbook.faces.main import application
from tests.examples import slow


def _commands(group: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    for name in group.list_commands(None):
        command = group.get_command(None, name)
        if isinstance(command, TyperGroup):
            yield from _commands(command, (*path, name))
        else:
            yield " ".join((*path, name)), command


COMMANDS = dict(_commands(typer.main.get_command(application())))


def example_of(command: Any) -> str:
    return str(command.epilog).strip("\b\n").removeprefix("Example: ")


def test_there_are_commands() -> None:
    assert len(COMMANDS) > 40


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_shows_what_it_does_and_an_example(name: str, logbook: Callable[..., Any]) -> None:
    answer = logbook(*name.split(), "--help")
    assert (answer.status, answer.err) == (0, "")
    example = example_of(COMMANDS[name])
    assert example.startswith(f"logbook {name}")
    *lines, last = answer.out.rstrip().splitlines()
    assert last.strip() == f"Example: {example}", "an example can be copied in one piece"
    assert " ".join(COMMANDS[name].help.split()) in " ".join(answer.out.split())
    assert max(map(len, lines)) <= 100


STAYS = (
    "open"  # goes on until somebody closes it; its example runs in tests/faces/private/test_open_command.py
)


BEFORE = {"keeper accept": "logbook keeper propose --trip high-valley"}  # what must have been run first


@pytest.mark.parametrize("name", [*(one for one in COMMANDS if one not in ("demo", STAYS)), *slow("demo")])
def test_every_example_runs_on_the_demos_book(name: str, on_demo: Callable[..., Any]) -> None:
    if name in BEFORE:
        on_demo(*shlex.split(BEFORE[name])[1:])
    answer = on_demo(*shlex.split(example_of(COMMANDS[name]))[1:])
    assert answer.status == 0, answer.err
    assert answer.out.strip(), "an example shows something"


GROUPS = sorted({name.partition(" ")[0] for name in COMMANDS if " " in name})
LONGEST_SHORT = 60  # characters of a command's; those of nouns may be five longer


@pytest.mark.parametrize("group", ["", *GROUPS])
def test_a_list_of_commands_says_what_each_does_in_a_whole_phrase(
    group: str, logbook: Callable[..., Any]
) -> None:
    first = "Commands:" if group else "To begin:"
    listed = logbook(*group.split(), "--help").out.partition(first)[2].partition("Example:")[0]
    lines = [line.split(maxsplit=1) for line in listed.splitlines() if line.startswith("  ") and line.strip()]
    assert lines
    for _, text in lines:
        assert text.endswith("."), text
        assert not text.endswith("..."), text
        assert len(text) <= LONGEST_SHORT + (0 if group else 5), text


@pytest.mark.parametrize("name", COMMANDS)
def test_help_names_no_type_of_a_programming_language(name: str, logbook: Callable[..., Any]) -> None:
    shown = logbook(*name.split(), "--help").out
    assert not re.search(r"<(?:\w+|\w+ range)>|<=|>=", shown)
    usage = shown.partition("\n\n")[0]
    assert not re.search(r"[{}]|\.\.\.\S*\.\.\.", usage), usage
