"""Colours repeat what words say, on terminals that know them and where nobody asked for none."""

import os
import pty
from collections.abc import Iterator
from typing import TextIO

import pytest

from logbook.faces.ink import Ink, inked, is_coloured, marks_in


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Iterator[TextIO]:
    """A terminal that knows colours."""
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    ours, its = pty.openpty()
    with os.fdopen(its, "w") as stream:
        yield stream
    os.close(ours)


def test_a_colour_stands_around_the_words_and_changes_none(terminal: TextIO) -> None:
    assert inked("made", Ink.GOOD, terminal) == "\x1b[32mmade\x1b[0m"
    assert inked("made", None, terminal) == "made"


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_no_colour_where_it_is_not_wanted(
    terminal: TextIO, monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    assert is_coloured(terminal)
    monkeypatch.setenv(name, value)
    assert inked("made", Ink.GOOD, terminal) == "made"


def test_no_colour_in_a_file(tmp_path_factory: pytest.TempPathFactory) -> None:
    with (tmp_path_factory.mktemp("out") / "answer").open("w") as file:
        assert inked("made", Ink.GOOD, file) == "made"


def test_a_status_that_begins_a_cell_and_a_doubt_behind_a_value_have_a_colour() -> None:
    assert list(marks_in("missed")) == [(0, 6, Ink.BAD)]
    assert list(marks_in("missed (light)")) == [(0, 6, Ink.BAD)]
    assert list(marks_in("doubtful, 0.3 stops too bright")) == [(0, 8, Ink.DOUBT)]
    assert list(marks_in("a missed bus")) == list(marks_in("missed the bus")) == []
    assert list(marks_in("nd8 (inferred)")) == [(4, 14, Ink.DOUBT)]
