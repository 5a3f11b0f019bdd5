"""A shell completes commands, words and names out of a book, changing none; words read as in day files."""

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest
import typer
from typer.core import TyperGroup

from logbook.domain.words import ConditionKind, Priority, Reason, SubjectKind, TripodRule
from logbook.faces.completion import vocabulary_of
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


@pytest.mark.parametrize(
    ("annotation", "vocabulary"),
    [
        (Priority, Priority),
        (Priority | None, Priority),
        (list[SubjectKind] | None, SubjectKind),
        (str | None, None),
        (bool, None),
        (Priority | Reason, None),
    ],
)
def test_a_vocabulary_is_found_in_what_a_parameter_may_be(annotation: object, vocabulary: object) -> None:
    assert vocabulary_of(annotation) is vocabulary


def test_what_people_write_is_read_and_said(stocked: Run) -> None:
    added = stocked("site", "add", "Mill", "--kind", "village", "--kind", "bridge", "--json")
    assert added.data["kinds"] == [SubjectKind.TOWN, SubjectKind.BRIDGE]
    assert '"village" is read as town.' in added.err
    assert "bridge" not in added.err
    shown = stocked("viewpoint", "add", "Weir", "--site", "mill", "--tripod", "Not allowed", "--json")
    assert (shown.data["tripod_rule"], shown.status) == (TripodRule.FORBIDDEN, 0)


def test_what_means_nothing_is_refused_with_the_words(stocked: Run) -> None:
    refused = stocked("viewpoint", "add", "Weir", "--site", "nowhere", "--tripod", "no")
    assert refused.status == 2
    assert refused.err.startswith(
        'logbook: "no" is not a choice for --tripod; it can be allowed, awkward, forbidden, unknown; see '
    )


def test_an_argument_reads_them_too_and_its_help_lists_them(stocked: Run) -> None:
    listed = stocked("condition", "add", "--help").out
    for word in ConditionKind:
        assert word in listed
    refused = stocked("condition", "add", "moonrise")
    assert refused.status == 2
    assert '"moonrise" is not a choice for KIND; it can be crowd, ' in refused.err


def test_what_was_seen_can_stand_behind_its_kind(stocked: Run) -> None:
    where = ("--viewpoint", "quarry-ledge", "--on", "2031-10-14", "--json")
    crowd = stocked("condition", "add", "crowd", "dozens", *where)
    assert (crowd.data["level"], crowd.status) == ("dozens", 0)
    closure = stocked("condition", "add", "closure", "north rim road, rockfall", *where)
    assert (closure.data["level"], closure.data["note"]) == (None, "north rim road, rockfall")
    twice = stocked("condition", "add", "crowd", "dozens", "--level", "few", *where)
    assert (twice.status, "given twice" in twice.err) == (2, True)


def test_days_are_counted_from_today_and_said(stocked: Run) -> None:
    planned = stocked("shot", "add", "Later", "--viewpoint", "quarry-ledge", "--on", "tomorrow")
    said = re.match(r'"tomorrow" is read as ([0-9-]{10})\.', planned.err)
    assert said is not None
    assert [one["planned"]["on_date"] for one in stocked("shot", "list", "--on", said[1], "--json").data] == [
        said[1]
    ]
    refused = stocked("shot", "add", "Some day", "--viewpoint", "quarry-ledge", "--on", "4 March")
    assert (refused.status, "needs a year" in refused.err) == (2, True)
