"""`logbook day draft`: a day file on stdout or in a new file, never over one that may hold edits."""

import shutil
from pathlib import Path

import pytest

from tests.faces.conftest import Run
from tests.services.night.sittings import build_sample, dump_of

ON_LAST_DAY = ("day", "draft", "--trip", "high-valley", "--on", "2025-10-18")


@pytest.fixture(scope="module")
def sample_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample trip planned and photographed, no day written down."""
    return build_sample(tmp_path_factory.mktemp("draft") / "book.sqlite")


@pytest.fixture
def on_sample(logbook: Run, sample_book: Path, tmp_path: Path) -> Run:
    """Run the program on a copy of that book."""
    shutil.copyfile(sample_book, tmp_path / "book.sqlite")
    return logbook


def test_without_a_file_the_draft_itself_is_the_answer(on_sample: Run, tmp_path: Path) -> None:
    before = dump_of(tmp_path / "book.sqlite")
    answer = on_sample(*ON_LAST_DAY)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("---\ntrip: high-valley-autumn\ndate: 2025-10-18\n---\n")
    assert "- ? clock Halvern Thistle: +420 s" in answer.out.splitlines()
    assert "bracket of TRN_0472.JPG, TRN_0473.JPG, TRN_0474.JPG, found" in answer.out
    assert dump_of(tmp_path / "book.sqlite") == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.sqlite"]


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
    assert "day.md is there already and may hold your edits; choose another name." in answer.err
    assert file.read_text(encoding="utf-8") == edited


def test_a_place_that_cannot_be_written_is_one_sentence(on_sample: Run) -> None:
    answer = on_sample(*ON_LAST_DAY, "--into", "missing/day.md")
    assert answer.status == 1
    assert "missing/day.md cannot be written" in answer.err
    assert len(answer.err.splitlines()) == 1


def test_without_a_day_it_is_the_last_that_has_keepers_or_plans(on_sample: Run) -> None:
    assert on_sample("day", "draft", "--trip", "high-valley", "--json").data["date"] == "2025-10-18"


def test_a_trip_without_keepers_and_plans_says_so(stocked: Run) -> None:
    answer = stocked("day", "draft")
    assert answer.status == 1
    assert "import keepers first" in answer.err
