"""Lines and tables on a terminal: broken between words, never within a name, a command or a quotation."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]
OnTerminal = Callable[..., list[str]]
JOURNAL = "The warden thinks two weeks, his colleague laughed; nobody goes up either, more is hanging."


def said(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def test_a_day_fits_the_terminal_and_no_word_is_cut(
    stocked: Run, on_terminal: OnTerminal, tmp_path: Any
) -> None:
    head = "---\ntrip: high-valley\ndate: 2031-10-14\n---\n"
    (tmp_path / "day.md").write_text(
        f"{head}{JOURNAL}\n\n## Quarry ledge 17:20\n- tries: 1\n- water: high\n- shot nothing: made\n"
        "- lesson change: ask the road office about the rim the week before, and hold the ledge as plan B\n",
        encoding="utf-8",
    )
    assert stocked("day", "read", "day.md").status == 0
    for columns in (80, 50):
        lines = on_terminal("day", "show", "2031-10-14", columns=columns)
        assert max(map(len, lines)) <= columns
        words = said(lines)
        assert JOURNAL in words
        assert "ask the road office about the rim the week before, and hold the ledge as plan B" in words
        assert "check them again before you rely on them." in words
        assert "· 1 try" in words


@pytest.mark.slow
def test_an_error_is_broken_on_a_terminal_and_one_line_in_a_pipe(
    stocked: Run, on_terminal: OnTerminal
) -> None:
    wrong = ("shot", "edit", "bridge-flow", "--reason", "light")
    piped = stocked(*wrong).err
    assert piped.count("\n") == 1
    lines = on_terminal(*wrong, columns=40)
    assert len(lines) > 1
    assert max(map(len, lines)) <= 40
    assert said(lines) == said([piped])


@pytest.mark.slow
def test_a_command_in_quotes_stays_in_one_piece(logbook: Run, on_terminal: OnTerminal) -> None:
    logbook("trip", "add", "High valley")
    lines = on_terminal("site", "show", "somewhere-far-away", columns=60)
    assert max(map(len, lines)) <= 60
    assert [line for line in lines if '"logbook site add"' in line]
    lines = on_terminal("find", " ", columns=50)
    assert 'logbook find "f/16 tripod dusk".' in lines


@pytest.mark.slow
def test_a_draft_is_not_broken_so_that_it_can_be_copied(stocked: Run, on_terminal: OnTerminal) -> None:
    draft = ("day", "draft", "--trip", "high-valley", "--on", "2031-10-14")
    assert on_terminal(*draft, columns=40) == stocked(*draft).out.rstrip("\n").split("\n")


@pytest.mark.slow
def test_a_table_breaks_no_name_while_there_is_room(stocked: Run, on_terminal: OnTerminal) -> None:
    words = "north rim road, rockfall on the second bend, and more is hanging there than has come down"
    named = ("--trip", "high-valley", "--viewpoint", "quarry-ledge", "--on", "2031-10-14")
    stocked("condition", "add", "closure", *named, "--note", words, "--slug", "rim-closure")
    lines = on_terminal("condition", "list")
    assert max(map(len, lines)) <= 80
    assert [line for line in lines if "quarry-ledge" in line and "rim-closure" in line]
    assert words in on_terminal("condition", "list", columns=150)[2]


@pytest.mark.slow
def test_a_name_is_broken_at_its_hyphens_where_nothing_else_helps(
    stocked: Run, on_terminal: OnTerminal
) -> None:
    stocked("shot", "add", "X", "--slug", "the-longest-name-of-a-shot", "--viewpoint", "quarry-ledge")
    lines = on_terminal("shot", "list", columns=50)
    assert max(map(len, lines)) <= 50
    assert not [line for line in lines if "the-longest-name-of-a-shot" in line]
    assert next(line.split()[0] for line in lines if line.startswith("the-")).endswith("-")


@pytest.mark.slow
def test_keepers_are_listed_with_the_shot_they_serve_and_by_day(
    on_demo: Run, on_terminal: OnTerminal
) -> None:
    on_demo("keeper", "note", "0424", "--trip", "high-valley-autumn", "--shot", "ledge-dusk")
    lines = on_terminal("keeper", "list", "--trip", "high-valley-autumn")
    assert max(map(len, lines)) <= 80
    for whole in ("ledge-dusk", "lantern-procession", "north-rim-barrier"):
        assert [line for line in lines if whole in line], whole
    on_day = [row["file"] for row in on_demo("keeper", "list", "--on", "2025-10-18", "--json").data]
    assert on_day == [f"TRN_0{number}.JPG" for number in (470, 472, 473, 474, 478, 479, 484)]


@pytest.mark.slow
def test_prose_beside_long_names_stays_wide_enough_to_read(logbook: Run, on_terminal: OnTerminal) -> None:
    logbook(
        "lesson",
        "add",
        "keep",
        "go two days early with the small camera and stand where the tripod will stand",
    )
    lines = on_terminal("lesson", "list", columns=70)
    assert max(map(len, lines)) <= 70
    assert [line for line in lines if "go two days early" in line]
    assert [line for line in lines if line.startswith("go-two-")]


@pytest.mark.slow
def test_a_date_at_the_end_of_a_name_is_kept_in_one_piece(stocked: Run, on_terminal: OnTerminal) -> None:
    stocked("visit", "add", "--viewpoint", "quarry-ledge", "--on", "2031-10-14", "--purpose", "shooting")
    lines = on_terminal("visit", "list", columns=60)
    assert [line.strip() for line in lines if line.startswith("2031-10-14")] == ["2031-10-14"]
