"""`logbook sheet` writes one file, and only where it may."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
DAY = ("sheet", "high-valley", "--on", "2025-10-16")


@pytest.mark.slow
def test_without_into_the_sheet_lies_here_under_the_trips_name(on_demo: Run, tmp_path: Path) -> None:
    answer = on_demo(*DAY)
    assert answer.status == 0, answer.err
    html = (tmp_path / "private-sheet-high-valley-autumn-2025-10-16.html").read_text(encoding="utf-8")
    assert "For you alone, not to pass on" in html
    assert "Mere hide" in html  # withheld from others, not from oneself
    assert "<script" not in html
    assert "default-src 'none'" in html


@pytest.mark.slow
def test_a_sheet_is_replaced_by_a_newer_one_and_nothing_is_left_beside_it(
    on_demo: Run, tmp_path: Path
) -> None:
    before = {path.name for path in tmp_path.iterdir()}
    for paper in ("a4", "letter"):
        assert on_demo(*DAY, "--into", "day.html", "--paper", paper).status == 0
    assert {path.name for path in tmp_path.iterdir()} - before == {"day.html"}
    assert "size: letter" in (tmp_path / "day.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("into", "said"),
    [("notes.html", "is not a field sheet"), ("no/such.html", "not exist")],
)
def test_it_refuses_what_is_not_its_own_in_one_sentence(
    on_demo: Run, tmp_path: Path, into: str, said: str
) -> None:
    (tmp_path / "notes.html").write_text("my notes", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    answer = on_demo(*DAY, "--into", into)
    assert (answer.status, answer.out) == (1, "")
    assert said in answer.err
    assert answer.err.count("\n") == 1
    assert (tmp_path / "notes.html").read_text(encoding="utf-8") == "my notes"


def test_a_day_without_shots_is_still_a_sheet_and_says_so(on_demo: Run) -> None:
    answer = on_demo("sheet", "high-valley", "--on", "2025-10-13", "--json")
    assert answer.status == 0, answer.err
    assert answer.data["shots"] == []
    assert "No shot is planned" in answer.data["sentence"]
    assert answer.data["sky"]["columns"]


def test_a_day_beyond_the_ephemeris_is_told_as_unknown(on_demo: Run) -> None:
    answer = on_demo("sheet", "high-valley", "--on", "2999-10-13", "--json")
    assert answer.status == 0, answer.err
    assert answer.data["sky"] is None
    assert answer.data["sky_unknown"]


def test_a_day_must_be_named(on_demo: Run) -> None:
    answer = on_demo("sheet", "high-valley")
    assert answer.status == 2
    assert "--on" in answer.err
