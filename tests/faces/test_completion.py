"""A shell completes commands, words and names out of a book; it never makes, changes or refuses one."""

import os
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest
import typer
from typer.core import TyperGroup

from logbook.faces.main import application
from tests.faces.conftest import Run
from tests.store.older import older_book

Complete = Callable[..., list[str]]
HERE = Path(sys.executable).parent


@pytest.fixture
def complete(on_demo: Run, monkeypatch: pytest.MonkeyPatch) -> Complete:
    """Ask for what may stand in the place of the last word, as bash asks."""

    def asked(*words: str) -> list[str]:
        monkeypatch.setenv("COMP_WORDS", " ".join(("logbook", *words)))
        monkeypatch.setenv("COMP_CWORD", str(len(words)))
        monkeypatch.setenv("_LOGBOOK_COMPLETE", "complete_bash")
        answer = on_demo()
        assert (answer.status, answer.err) == (0, "")
        return answer.out.split()

    return asked


def test_commands_are_completed(complete: Complete) -> None:
    assert complete("ke") == ["keeper"]
    assert {"trip", "worked", "undo"} <= set(complete(""))
    assert "propose" in complete("keeper", "")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("trip", "show", ""), "high-valley-autumn"),
        (("site", "join", "slip-harbour", "--into", "s"), "slate-coast"),
        (("light", "dune-"), "dune-foot"),
        (("shot", "show", "bri"), "bridge-smooth"),
        (("shot", "edit", "bridge-smooth", "--replaced-by", "bridge-r"), "bridge-rough"),
        (("keeper", "note", "trn-04"), "trn-0412"),
        (("visit", "show", "dune"), "dune-foot-2025-10-16"),
        (("lesson", "show", "standing"), "standing-on-green-stones"),
        (("kit", "show", ""), "nd1000"),
        (("report", "high"), "high-valley-autumn"),
        (("keeper", "list", "--trip", "sl"), "slate-coast-winter"),
        (("alike", "lo"), "long-dune"),
    ],
)
def test_names_are_completed_out_of_the_book(complete: Complete, words: tuple[str, ...], name: str) -> None:
    found = complete(*words)
    assert name in found
    assert all(one.startswith(words[-1]) for one in found)


def test_names_are_those_of_the_trip_that_was_named(complete: Complete) -> None:
    assert complete("keeper", "show", "--trip", "slate", "trn-04") == []
    assert len(complete("keeper", "show", "--trip", "high", "trn-04")) > 10


def test_words_that_an_option_lists_are_completed(complete: Complete) -> None:
    assert complete("worked", "--by", "") == ["support", "filters", "technique", "phase", "crowd", "reason"]
    assert complete("shot", "edit", "x", "--reason", "c") == ["closure", "crowd", "cost"]
    assert complete("report", "high", "--for", "") == ["client", "students", "archive"]


def test_the_book_that_is_named_on_the_line_is_looked_into(
    complete: Complete, tmp_path: Path, stocked_book: Path
) -> None:
    shutil.copy(stocked_book, tmp_path / "other.sqlite")
    for line in (
        ("--book", "other.sqlite", "trip", "show", ""),
        ("trip", "show", "--book", "other.sqlite", ""),
    ):
        assert complete(*line) == ["high-valley"]


def test_a_missing_a_damaged_and_an_older_book_complete_silently_and_stay_as_they_are(
    complete: Complete, tmp_path: Path
) -> None:
    asked = ("trip", "show", "--book")
    assert complete(*asked, "none.sqlite", "") == []
    (tmp_path / "torn.sqlite").write_bytes((tmp_path / "book.sqlite").read_bytes()[:5000])
    older_book(tmp_path / "older.sqlite", 1)
    (tmp_path / "text.sqlite").write_text("no book")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    for name in ("torn.sqlite", "older.sqlite", "text.sqlite"):
        complete(*asked, name, "")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()} == before


NAMELESS = {("body", "NAME"), ("also_called", "NAME"), ("not_also", "NAME"), ("filter_name", "NAME")}
NAMELESS |= {("private_names", "NAME"), ("host", "NAME")}
NAMING = ("NAME", "TRIP", "SITE", "VIEWPOINT", "SHOT", "KEEPER", "KEPT", "OLD")


def test_whatever_takes_a_name_completes_it() -> None:
    def commands(group: TyperGroup) -> Iterator[typer.core.TyperCommand]:
        for name in group.list_commands(None):  # type: ignore[arg-type]
            one = group.get_command(None, name)  # type: ignore[arg-type]
            yield from commands(one) if isinstance(one, TyperGroup) else (one,)  # type: ignore[misc]

    program = typer.main.get_command(application())
    assert isinstance(program, TyperGroup)
    taking = [
        (param.name, label, param)
        for command in commands(program)
        for param in command.params
        if (label := str(param.metavar or "").strip("[].")) in NAMING and (param.name, label) not in NAMELESS
    ]
    assert len(taking) > 80
    assert not [(name, label) for name, label, param in taking if param._custom_shell_complete is None]


def shell(path: Path, *line: str) -> "pexpect.spawn[str]":
    environment = {
        **os.environ,
        "PATH": f"{HERE}{os.pathsep}{os.environ['PATH']}",
        "TERM": "dumb",
        "PS1": "> ",
    }
    environment["LOGBOOK_BOOK"] = str(path)
    return pexpect.spawn(line[0], list(line[1:]), env=environment, encoding="utf-8", timeout=60, echo=False)


@pytest.mark.slow
def test_bash_completes_what_is_typed(demo_book: Path) -> None:
    if shutil.which("bash") is None:
        pytest.skip("bash is not installed")
    typing = shell(demo_book, "bash", "--norc", "--noprofile", "-i")
    typing.sendline('eval "$(_LOGBOOK_COMPLETE=source_bash logbook)"; echo rea""dy')
    typing.expect("ready")
    typing.send("logbook trip show hi\t\x01echo \r")  # Ctrl-A: what was completed is shown and not run
    typing.expect("logbook trip show high-valley-autumn")
    typing.close(force=True)


@pytest.mark.slow
def test_zsh_completes_what_is_typed(demo_book: Path, tmp_path: Path) -> None:
    if shutil.which("zsh") is None:
        pytest.skip("zsh is not installed")
    typing = shell(demo_book, "zsh", "-f", "-i")
    typing.sendline(
        f"autoload -Uz compinit; compinit -u -d {tmp_path}/dump; "
        "eval \"$(_LOGBOOK_COMPLETE=source_zsh logbook)\"; echo 'rea''dy'"
    )
    typing.expect("ready")
    typing.send("logbook trip show hi\t")
    typing.expect("high-valley-autumn")
    typing.close(force=True)
