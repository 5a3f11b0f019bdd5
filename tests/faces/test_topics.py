"""Pages to look things up: every command stands in them, their examples run, and both faces show them."""

import re
import shlex
from io import StringIO
from pathlib import Path

import pytest

from logbook.domain.errors import NotFoundError
from logbook.faces.contents import CONTENTS
from logbook.faces.topics import topic, topics
from tests.faces.conftest import OnTerminal, Run
from tests.faces.test_examples import COMMANDS

DAY = "---\ntrip: high-valley-autumn\ndate: 2025-10-14\n---\n\n## Quarry ledge 05:00-05:30 shooting\n"


def commands_told() -> set[str]:
    """Every `logbook …` of the page of commands, and what follows it after a dot or a comma, in words."""
    told = set()
    for cell in re.findall(r"^\| (.*?) \| ", topic("commands").text, re.MULTILINE):
        first = ""
        for code in re.findall(r"`([^`]+)`", cell.replace(r"\|", "|")):
            words = [word for word in code.removeprefix("logbook ").split() if re.fullmatch(r"[a-z|]+", word)]
            if code.startswith("logbook "):
                first = words[0] if words else ""
            for name in (words[0] if words else "").split("|"):
                told |= {name, f"{first} {name}", *(f"{name} {word}" for word in words[1:2])}
    return told


def test_every_command_stands_on_the_page_of_commands() -> None:
    told = commands_told()
    assert set(CONTENTS) <= told
    nouns = {"trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson", "keeper", "track"}
    usual = {f"{noun} {verb}" for noun in nouns for verb in ("add", "list", "show", "edit", "remove")}
    missing = {name for name in COMMANDS if " " in name} - usual
    assert not {name for name in missing if name not in told and name.partition(" ")[2] not in told}


def test_no_page_names_a_command_or_an_option_that_is_not_there() -> None:
    options = {option for command in COMMANDS.values() for param in command.params for option in param.opts}
    options |= {"--book", "--help", "--plain", "--install-completion", "--no-measure"}
    for one in topics():
        for code in re.findall(r"`([^`]+)`", one.text):
            assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", code)) <= options, (one.name, code)
            if code.startswith("logbook ") and (word := re.match(r"logbook ([a-z]+)\b", code)):
                assert word[1] in CONTENTS, (one.name, code)


TYPED: dict[str, list[str]] = {  # the lines that each page shows to be typed
    one.name: lines
    for one in topics()
    if (lines := re.findall(r"^ {4}\$ logbook (.*)$", one.text, re.MULTILINE))
}


@pytest.mark.slow
@pytest.mark.parametrize("page", sorted(TYPED))
def test_every_line_that_a_page_shows_to_be_typed_works(
    on_demo: Run, monkeypatch: pytest.MonkeyPatch, page: str
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("q\n"))
    for line in TYPED[page]:
        answer = on_demo(*shlex.split(line))
        assert answer.status == 0, (line, answer.err)


def test_the_pages_show_what_can_be_typed() -> None:
    assert sum(map(len, TYPED.values())) > 12


def test_every_entry_of_the_page_on_day_files_is_understood(on_demo: Run, tmp_path: Path) -> None:
    rows = re.findall(r"^\| `.*?\| (.*) \|$", topic("day-files").text, re.MULTILINE)
    examples = [code for row in rows for code in re.findall(r"`([^`]+)`", row)]
    assert len(examples) > 12
    on_demo("shot", "add", "Rim dawn", "--trip", "high-valley", "--on", "2025-10-14")
    on_demo("shot", "add", "Rim fog", "--trip", "high-valley", "--on", "2025-10-14")
    text = DAY + "".join(f"- {one}\n" for one in examples if not one.startswith("shot bridge-smooth"))
    (tmp_path / "day.md").write_text(text, encoding="utf-8")
    answer = on_demo("day", "read", "day.md", "--json")
    assert answer.status == 0, answer.err
    assert answer.data["to_sort_out"] == []


@pytest.mark.slow
def test_a_topic_is_shown_whole_in_a_pipe_and_set_for_a_terminal(
    logbook: Run, on_terminal: OnTerminal
) -> None:
    assert logbook("help", "day-files").out == topic("day-files").text
    lines = on_terminal("help", "day-files")
    assert max(map(len, lines)) <= 80
    assert "lesson change [students]: come before" in " ".join(" ".join(lines).split())
    assert not [line for line in lines if "`" in line or line.startswith("|")]


def test_topics_are_listed_and_a_command_is_answered_with_its_help(logbook: Run) -> None:
    listed = logbook("help", "--json").data
    assert {"commands", "day-files", "plan-files"} <= {one["topic"] for one in listed}
    assert logbook("help", "worked").out.startswith("Usage: logbook worked")


def test_another_topic_is_refused_with_the_nearest(logbook: Run) -> None:
    answer = logbook("help", "day-fils")
    assert (answer.status, answer.out) == (1, "")
    assert "did you mean day-files?" in answer.err
    with pytest.raises(NotFoundError):
        topic("")
