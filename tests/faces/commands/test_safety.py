"""`undo`, `backup`, `restore` and `check` as a person meets them."""

import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.faces.conftest import Run


def titles(logbook: Run) -> list[str]:
    return [one["title"] for one in logbook("trip", "list", "--json").data]


def test_undo_says_what_it_takes_back_and_again_goes_further(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    logbook("trip", "edit", "high-valley", "--title", "Higher valley")
    told = logbook("undo", "--dry-run")
    assert told.status == 0
    assert told.out.startswith("Would undo: trip edit high-valley --title 'Higher valley', ")
    assert "1 trip (high-valley) back as it was." in " ".join(told.out.split())
    assert titles(logbook) == ["Higher valley"]
    done = logbook("undo")
    assert done.out.startswith("Undone: trip edit high-valley")
    assert "Before that: trip add 'High valley'" in done.err
    assert titles(logbook) == ["High valley"]
    assert "1 trip (high-valley) removed again." in " ".join(logbook("undo").out.split())
    assert titles(logbook) == []
    nothing = logbook("undo")
    assert (nothing.status, nothing.out) == (1, "")
    assert nothing.err.startswith("logbook: There is nothing to undo")
    assert len(nothing.err.strip().splitlines()) == 1


def test_undo_as_json_has_stable_keys(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    (listed,) = logbook("undo", "--list", "--json").data
    assert sorted(listed) == ["at", "command", "effects"]
    done = logbook("undo", "--json").data
    assert sorted(done) == ["at", "backup", "command", "dry_run", "effects"]
    assert done["command"] == "trip add 'High valley'"
    (effect,) = done["effects"]
    assert sorted(effect) == ["id", "noun", "slug", "was"]
    assert (effect["noun"], effect["slug"], effect["was"]) == ("trip", "high-valley", "added")


def test_the_book_a_command_named_is_no_part_of_the_command(logbook: Run, tmp_path: Path) -> None:
    other = str(tmp_path / "other.sqlite")
    logbook("--book", other, "trip", "add", "One")
    logbook("trip", "add", f"--book={other}", "Two")
    logbook("trip", "add", "Three", "--book", other)
    found = logbook("undo", "--list", "--json", "--book", other).data
    assert [one["command"] for one in found] == ["trip add Three", "trip add Two", "trip add One"]


def test_a_command_with_bytes_that_are_no_utf_8_is_remembered_too(logbook: Run, tmp_path: Path) -> None:
    logbook("trip", "add", "Valley")
    (tmp_path / "n").mkdir()
    answer = logbook("trip", "edit", "valley", "--credit", "caf\udce9")
    assert "Traceback" not in answer.err
    assert logbook("undo", "--list").status == 0


def test_a_long_command_is_cut(logbook: Run) -> None:
    logbook("trip", "add", "Valley", "--brief", "word " * 400)
    (listed,) = logbook("undo", "--list", "--json").data
    assert len(listed["command"]) <= 200
    assert listed["command"].endswith(" …")


def test_backups_are_listed_and_put_in_place(logbook: Run, tmp_path: Path) -> None:
    assert logbook("backup", "--list").err == "There are no backups yet.\n"
    logbook("trip", "add", "High valley")
    made = logbook("backup", "--json").data
    assert Path(made["file"]).stat().st_size == made["size_bytes"]
    logbook("trip", "remove", "high-valley")
    (listed,) = logbook("backup", "--list", "--json").data
    assert sorted(listed) == ["at", "file", "size_bytes", "why"]
    assert (listed["file"], listed["why"]) == (made["file"], "asked")
    told = logbook("restore", "--dry-run")
    assert "is an undamaged logbook with 1 trip and 0 keepers" in told.out
    assert titles(logbook) == []
    done = logbook("restore", Path(made["file"]).name)
    assert done.status == 0
    assert "The book as it was before is in" in done.err
    assert titles(logbook) == ["High valley"]
    assert logbook("restore").status == 0, "the latest backup is now the book from before"
    assert titles(logbook) == []


def test_a_copy_to_a_file_of_its_own_writes_over_nothing(logbook: Run, tmp_path: Path) -> None:
    logbook("trip", "add", "High valley")
    assert logbook("backup", "--into", "usb.sqlite").status == 0
    again = logbook("backup", "--into", "usb.sqlite")
    assert (again.status, "already" in again.err) == (1, True)
    logbook("trip", "add", "Coast")
    assert logbook("restore", "usb.sqlite").status == 0
    assert titles(logbook) == ["High valley"]


@pytest.mark.parametrize("name", ["nowhere.sqlite", "diary.txt", ".", "book.sqlite"])
def test_what_cannot_be_restored_is_refused_in_one_sentence(logbook: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "diary.txt").write_text("Dear diary")
    logbook("trip", "add", "High valley")
    before = (tmp_path / "book.sqlite").read_bytes()
    answer = logbook("restore", name)
    assert answer.status in (1, 2)
    assert len(answer.err.strip().splitlines()) == 1
    assert (tmp_path / "book.sqlite").read_bytes() == before


@pytest.mark.slow
def test_a_truncated_book_is_told_and_restored(logbook: Run, tmp_path: Path) -> None:
    for number in range(30):
        logbook("trip", "add", f"Trip {number}", "--brief", "x" * 2000)
    logbook("backup")
    path = tmp_path / "book.sqlite"
    path.write_bytes(path.read_bytes()[:20_000])
    for command in (("trip", "list"), ("check",), ("undo",), ("trip", "add", "More")):
        answer = logbook(*command)
        assert answer.status == 1, command
        assert "is damaged" in answer.err
        assert '"logbook restore"' in answer.err
        assert len(answer.err.strip().splitlines()) == 1
    restored = logbook("restore")
    assert restored.status == 0
    assert "damaged" in restored.err
    assert len(titles(logbook)) == 30
    assert logbook("check").status == 0


def test_check_says_that_a_sound_book_is_sound(stocked: Run) -> None:
    answer = stocked("check")
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("The book is sound.\n")
    data = stocked("check", "--json").data
    assert sorted(data) == [
        "backup", "by_hash", "findings", "index", "originals", "records", "repaired", "sound", "unread",
    ]  # fmt: skip
    assert (data["sound"], data["findings"], data["index"]["in_step"]) == (True, [], True)


@pytest.mark.slow
def test_check_leaves_with_1_while_something_is_wrong_and_repairs_what_can_be(
    stocked: Run, tmp_path: Path
) -> None:
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as connection:
        connection.execute("UPDATE shot SET viewpoint_id = 'nowhere'")
        connection.execute("DELETE FROM search_document")
        connection.commit()
    answer = stocked("check")
    assert answer.status == 1
    assert "reference: shot [" in answer.out
    assert answer.err == "logbook: 2 things are wrong. --repair fixes what it can.\n"
    data = json.loads(stocked("check", "--json").out)
    assert [one["kind"] for one in data["findings"]] == ["reference", "index"]
    repaired = stocked("check", "--repair")
    assert repaired.status == 0
    assert repaired.out.count("Repaired: ") == 2
    assert "The book as it was before is in" in repaired.err
    assert stocked("check").status == 0


def test_check_still_only_rebuilds_the_index_when_asked(stocked: Run) -> None:
    data = stocked("check", "--rebuild-index", "--json").data
    assert (data["index"]["rebuilt"], data["index"]["in_step"]) == (True, True)


def test_the_demos_pictures_are_where_they_were(on_demo: Callable[..., object], logbook: Run) -> None:
    data = logbook("check", "--originals", "--json").data
    assert data["sound"], data["findings"]
    assert data["originals"] > 20


def test_after_a_restore_nothing_older_is_taken_back_and_the_way_back_is_named(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    logbook("backup")
    logbook("site", "add", "Quarry")
    done = logbook("restore", "latest")
    assert done.status == 0, done.err
    back = re.search(r'"logbook restore (\S+)" puts it back', done.err)
    assert back
    taken = logbook("undo")
    assert (taken.status, "There is nothing to undo" in taken.err) == (1, True)
    assert len(logbook("trip", "list", "--json").data) == 1
    assert logbook("site", "list", "--json").data == []
    assert logbook("restore", back[1]).status == 0
    assert len(logbook("site", "list", "--json").data) == 1
