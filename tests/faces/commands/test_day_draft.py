"""`logbook day draft`: a day file on stdout or in a new file, never over one that may hold edits."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.faces.conftest import Run
from tests.once import copied_book
from tests.services.night.sittings import dump_of

ON_LAST_DAY = ("day", "draft", "--trip", "high-valley", "--on", "2025-10-18")


@pytest.fixture
def on_sample(logbook: Run, sample_book: Path, tmp_path: Path) -> Run:
    """Run the program on a copy of that book."""
    copied_book(sample_book, tmp_path / "book.sqlite")
    return logbook


@pytest.mark.slow
def test_without_a_file_the_draft_itself_is_the_answer(on_sample: Run, tmp_path: Path) -> None:
    before = dump_of(tmp_path / "book.sqlite")
    answer = on_sample(*ON_LAST_DAY)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("---\ntrip: high-valley-autumn\ndate: 2025-10-18\n---\n")
    assert "- ? clock Halvern Thistle: +420 s" in answer.out.splitlines()
    assert "bracket of TRN_0472.JPG, TRN_0473.JPG, TRN_0474.JPG, found" in answer.out
    assert dump_of(tmp_path / "book.sqlite") == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.sqlite"]


@pytest.mark.slow
def test_into_a_file_it_says_what_to_do_next_and_the_file_reads_back(on_sample: Run, tmp_path: Path) -> None:
    text = on_sample(*ON_LAST_DAY).out
    answer = on_sample(*ON_LAST_DAY, "--into", "day.md")
    assert (answer.status, answer.out) == (0, "Edit day.md, then: logbook day read day.md\n")
    assert (tmp_path / "day.md").read_text(encoding="utf-8") == text
    read = on_sample("day", "read", "day.md", "--json")
    assert read.status == 0
    assert read.data["added"] > 0
    assert read.data["to_sort_out"] == []
    again = on_sample("day", "read", "day.md", "--json").data
    assert (again["added"], again["changed"], again["removed"]) == (0, 0, 0)


def test_json_holds_trip_date_and_text_with_or_without_a_file(on_sample: Run, tmp_path: Path) -> None:
    data = on_sample(*ON_LAST_DAY, "--json").data
    assert list(data) == ["trip", "date", "text"]
    assert (data["trip"], data["date"]) == ("high-valley-autumn", "2025-10-18")
    assert on_sample(*ON_LAST_DAY, "--into", "day.md", "--json").data == data
    assert (tmp_path / "day.md").read_text(encoding="utf-8") == data["text"]


def test_an_edited_file_is_never_overwritten_and_an_untouched_one_may_be_asked_for_again(
    on_sample: Run, tmp_path: Path
) -> None:
    file = tmp_path / "day.md"
    assert on_sample(*ON_LAST_DAY, "--into", "day.md").status == 0
    assert on_sample(*ON_LAST_DAY, "--into", "day.md").status == 0
    edited = file.read_text(encoding="utf-8").replace("- ? clock", "- clock")
    file.write_text(edited, encoding="utf-8")
    answer = on_sample(*ON_LAST_DAY, "--into", "day.md")
    assert (answer.status, answer.out) == (1, "")
    assert (
        "day.md already exists, and is not a day draft that this program wrote, or was edited since"
        in answer.err
    )
    assert file.read_text(encoding="utf-8") == edited


def test_a_place_that_cannot_be_written_is_one_sentence(on_sample: Run) -> None:
    answer = on_sample(*ON_LAST_DAY, "--into", "missing/day.md")
    assert answer.status == 1
    assert "missing does not exist; create it" in answer.err
    assert len(answer.err.splitlines()) == 1


def test_without_a_day_it_is_the_last_that_has_keepers_or_plans(on_sample: Run) -> None:
    assert on_sample("day", "draft", "--trip", "high-valley", "--json").data["date"] == "2025-10-18"


def test_a_trip_without_keepers_and_plans_says_so(stocked: Run) -> None:
    answer = stocked("day", "draft")
    assert answer.status == 1
    assert "import keepers first" in answer.err


def test_filters_under_an_earlier_name_are_written_under_todays_and_reading_that_changes_nothing(
    on_demo: Run, tmp_path: Path
) -> None:
    path = tmp_path / "book.sqlite"
    with closing(sqlite3.connect(path)) as connection, connection:
        for number, names in (("0412", '["cpl"]'), ("0415", '["od0.9", "nd0.9"]'), ("0424", '["nd1024"]')):
            connection.execute("UPDATE keeper SET filters = ? WHERE file = ?", (names, f"TRN_{number}.JPG"))
    draft = on_demo("day", "draft", "--trip", "high-valley", "--on", "2025-10-14", "--into", "day.md")
    assert draft.status == 0
    text = (tmp_path / "day.md").read_text(encoding="utf-8")
    assert "cannot be written in a line" not in text
    for named in ("TRN_0412: pol,", "TRN_0415: nd8 + nd8,", "TRN_0424: nd1000,"):
        assert f"- keeper {named}" in text
    before = dump_of(path, "day_line", "day_file")["keeper"]
    read = on_demo("day", "read", "day.md", "--json").data
    assert (read["changed"], read["removed"], read["to_sort_out"]) == (0, 0, [])
    assert dump_of(path, "day_line", "day_file")["keeper"] == before
