"""`merge` and `keeper locate` as a person meets them."""

import io
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.faces.conftest import Run


@pytest.fixture
def parted(stocked: Run, tmp_path: Path) -> Run:
    """A stocked book, and beside it its copy `other.sqlite`, both with a title of their own for one shot."""
    shutil.copyfile(tmp_path / "book.sqlite", tmp_path / "other.sqlite")
    stocked("shot", "edit", "bridge-flow", "--title", "Silk bridge", "--intent", "calm")
    stocked(
        "shot",
        "edit",
        "bridge-flow",
        "--title",
        "Bridge in silk",
        "--intent",
        "calm",
        "--book",
        "other.sqlite",
    )
    stocked("site", "add", "Slate coast", "--book", "other.sqlite")
    return stocked


def title(logbook: Run) -> str:
    return str(logbook("shot", "show", "bridge-flow", "--json").data["title"])


def test_a_conflict_is_listed_field_by_field_and_nothing_is_merged(parted: Run) -> None:
    answer = parted("merge", "other.sqlite")
    assert answer.status == 1
    assert answer.out.splitlines() == [
        "shot bridge-flow: edited in both",
        "  title: Silk bridge in this book, Bridge in silk in the other",
    ]
    assert answer.err == (
        "logbook: The books contradict each other in one place, so nothing was merged; "
        "decide with --prefer newer, this, other or ask.\n"
    )
    assert len(parted("site", "list", "--json").data) == 1


def test_a_dry_run_tells_and_leaves_with_0(parted: Run) -> None:
    answer = parted("merge", "other.sqlite", "--dry-run", "--prefer", "this")
    assert answer.status == 0
    assert answer.out.startswith(
        "Would merge: 1 site added.\nThe books contradicted each other in one place: this book won in "
        "1, the other in 0."
    )
    assert len(parted("site", "list", "--json").data) == 1


@pytest.mark.slow
@pytest.mark.parametrize(
    ("prefer", "kept"), [("this", "Silk bridge"), ("other", "Bridge in silk"), ("newer", "Bridge in silk")]
)
def test_a_preference_decides(parted: Run, prefer: str, kept: str) -> None:
    answer = parted("merge", "other.sqlite", "--prefer", prefer)
    assert answer.status == 0
    assert "The book as it was before is in" in answer.err
    assert title(parted) == kept
    again = parted("merge", "other.sqlite")
    assert (again.status, again.out) == (
        0,
        "Nothing to merge: this book already has everything in the other.\n",
    )
    assert parted("undo").status == 0
    assert title(parted) == "Silk bridge"


@pytest.mark.parametrize(("said", "kept"), [("other\n", "Bridge in silk"), ("x\nt\n", "Silk bridge")])
def test_asked_a_person_decides_each(
    parted: Run, monkeypatch: pytest.MonkeyPatch, said: str, kept: str
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(said))
    answer = parted("merge", "other.sqlite", "--prefer", "ask")
    assert answer.status == 0, answer.err
    assert "title: Silk bridge in this book, Bridge in silk in the other" in answer.err
    assert title(parted) == kept


def test_whoever_stops_answering_merges_nothing(parted: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert parted("merge", "other.sqlite", "--prefer", "ask").status == 130
    assert len(parted("site", "list", "--json").data) == 1


def test_json_has_stable_keys(parted: Run) -> None:
    data = parted("merge", "other.sqlite", "--prefer", "other", "--json").data
    assert sorted(data) == ["backup", "changes", "conflicts", "merged", "pictures_not_here", "renamed"]
    assert data["merged"] is True
    (conflict,) = data["conflicts"]
    assert sorted(conflict) == [
        "decided",
        "fields",
        "how",
        "id",
        "name",
        "noun",
        "other_at",
        "removed_in",
        "this_at",
    ]
    assert conflict["fields"] == {"title": {"this": "Silk bridge", "other": "Bridge in silk"}}
    assert conflict["decided"] == "other"
    assert sorted(data["changes"][0]) == ["id", "noun", "slug", "verb"]


@pytest.mark.parametrize("other", ["nowhere.sqlite", "book.sqlite", ".", "diary.txt"])
def test_what_cannot_be_merged_is_told_in_one_sentence(stocked: Run, tmp_path: Path, other: str) -> None:
    (tmp_path / "diary.txt").write_text("Dear diary")
    answer = stocked("merge", other)
    assert answer.status in (1, 2)
    assert len(answer.err.strip().splitlines()) == 1


@pytest.mark.slow
def test_pictures_that_are_not_here_are_told_and_found(on_demo: Run, logbook: Run, tmp_path: Path) -> None:
    pictures = Path(logbook("keeper", "list", "--json").data[0]["path"]).parent
    moved = tmp_path / "card"
    shutil.copytree(pictures, moved)
    logbook("trip", "add", "Empty", "--book", "new.sqlite")
    logbook("trip", "add", "Cards", "--book", "other.sqlite")
    imported = logbook("keeper", "import", str(moved), "--trip", "cards", "--book", "other.sqlite")
    assert imported.status == 0, imported.err
    moved.rename(tmp_path / "box")
    answer = logbook("merge", "other.sqlite", "--book", "new.sqlite")
    assert answer.status == 0
    assert 'are not where they were; "logbook keeper locate FOLDER" finds them.' in answer.err
    told = logbook("keeper", "locate", "box", "--book", "new.sqlite", "--json").data
    assert sorted(told) == ["changed", "dry_run", "found", "missing", "unreadable"]
    assert told["found"]
    assert told["missing"] == []
    assert logbook("check", "--originals", "--book", "new.sqlite").status == 0


def test_locating_says_how_much_was_found(on_demo: Callable[..., object], logbook: Run) -> None:
    answer = logbook("keeper", "locate", ".")
    assert answer.out == "0 files found again, 0 still missing.\n"
