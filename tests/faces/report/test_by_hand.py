"""What a person did in a report's folder by hand is noticed, kept when they say so, and never sent."""

import os
import shutil
import stat
from collections.abc import Callable
from functools import partial
from pathlib import Path
from zipfile import ZipFile

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.errors import OutputError
from logbook.domain.words import Audience
from logbook.faces.report import BuiltReport
from logbook.faces.report.writing import swapped_in
from logbook.faces.report.zipping import zip_report

Build = Callable[..., BuiltReport]


def write(into: Path, pages: dict[str, str], *, keep_mine: bool = False) -> None:
    with swapped_in(into, Audience.CLIENT, "a", keep_mine=keep_mine) as building:
        (building / "pictures").mkdir()
        for name, text in pages.items():
            (building / name).parent.mkdir(exist_ok=True)
            (building / name).write_text(text)


def texts(into: Path) -> dict[str, str]:
    return {
        path.relative_to(into).as_posix(): path.read_text()
        for path in sorted(into.rglob("*"))
        if path.is_file() and path.name != ".logbook-report"
    }


FIRST = {"index.html": "first", "pages/1.html": "one"}
SECOND = {"index.html": "second", "pages/1.html": "one"}
again = partial(write, keep_mine=True)


@pytest.fixture
def into(tmp_path: Path) -> Path:
    write(tmp_path / "report", FIRST)
    return tmp_path / "report"


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (lambda into: (into / "index.html").write_text("mine"), '"index.html" changed'),
        (lambda into: (into / "pages" / "1.html").unlink(), '"pages/1.html" removed'),
        (lambda into: (into / "notes.txt").write_text("mine"), '"notes.txt" added'),
        (lambda into: (into / "own").mkdir(), '"own/" added'),
        (lambda into: (into / "pages" / "own" / "deep").mkdir(parents=True), '"pages/own/deep/" added'),
        (lambda into: (into / "own" / "pictures").mkdir(parents=True), '"own/pictures/" added'),
        (lambda into: (into / "link").symlink_to("/etc"), '"link" added'),
        (lambda into: os.mkfifo(into / "pipe"), '"pipe" added'),
    ],
)
def test_it_stops_a_build_in_one_sentence_and_nothing_changes(
    into: Path, act: Callable[[Path], object], told: str
) -> None:
    act(into)
    before = {path: path.lstat().st_mtime_ns for path in into.rglob("*")}
    with pytest.raises(OutputError) as refused:
        write(into, SECOND)
    assert told in str(refused.value)
    assert "--keep-mine" in str(refused.value)
    assert str(refused.value).count(". ") == 0
    assert {path: path.lstat().st_mtime_ns for path in into.rglob("*")} == before
    assert [path.name for path in into.parent.iterdir()] == ["report"]


def test_a_page_that_was_changed_is_kept_beside_the_new_one(into: Path) -> None:
    (into / "index.html").write_text("mine")
    again(into, SECOND)
    assert texts(into) == {**SECOND, "index.html.mine": "mine"}


def test_what_was_kept_is_asked_about_once_and_never_written_over(into: Path) -> None:
    (into / "index.html").write_text("mine")
    again(into, SECOND)
    write(into, FIRST)
    assert texts(into) == {**FIRST, "index.html.mine": "mine"}
    (into / "index.html").write_text("mine again")
    with pytest.raises(OutputError, match="changed"):
        write(into, SECOND)
    again(into, SECOND)
    (into / "index.html").write_text("and again")
    again(into, FIRST)
    kept = {"index.html.mine": "mine", "index.html.mine-2": "mine again", "index.html.mine-3": "and again"}
    assert texts(into) == {**FIRST, **kept}


def test_what_was_added_stays_with_its_folders_rights_and_dates(into: Path) -> None:
    (into / "own" / "empty").mkdir(parents=True)
    (into / "own" / "full").mkdir(mode=0o700)
    (into / "own" / "full" / "notes.txt").write_text("mine")
    (into / "own" / "link").symlink_to("/etc")
    os.utime(into / "own" / "full" / "notes.txt", (1_000_000, 1_000_000))
    again(into, SECOND)
    write(into, FIRST)
    assert texts(into) == {**FIRST, "own/full/notes.txt": "mine"}
    assert (into / "own" / "empty").is_dir()
    assert (into / "own" / "link").readlink() == Path("/etc")
    assert stat.S_IMODE((into / "own" / "full").stat().st_mode) == 0o700
    assert (into / "own" / "full" / "notes.txt").stat().st_mtime == 1_000_000


def test_an_added_file_whose_name_a_new_page_needs_steps_aside(into: Path) -> None:
    (into / "pages" / "2.html").write_text("mine")
    again(into, {**SECOND, "pages/2.html": "two"})
    assert texts(into) == {**SECOND, "pages/2.html": "two", "pages/2.html.mine": "mine"}


def test_a_change_that_the_new_report_makes_too_leaves_nothing_beside(into: Path) -> None:
    (into / "index.html").write_text("second")
    again(into, SECOND)
    assert texts(into) == SECOND


def test_names_that_are_not_text_or_not_of_one_line_stay_too(into: Path) -> None:
    names = [b"caf\xe9.txt", b"two\nlines.txt", b"a\ttab.txt", "a\u2028separator.txt".encode()]
    for name in names:
        Path(os.fsdecode(os.fsencode(into) + b"/" + name)).write_text("mine")
    for pages in (SECOND, FIRST):
        again(into, pages)
        assert {*map(os.fsencode, os.listdir(into))} >= {*names}  # noqa: PTH208 - as bytes


def test_what_file_managers_leave_does_not_keep_an_own_folder_from_being_seen(into: Path) -> None:
    (into / "own").mkdir()
    (into / "own" / ".DS_Store").write_bytes(b"\0")
    with pytest.raises(OutputError, match='"own/" added'):
        write(into, SECOND)
    (into / "own" / ".DS_Store").unlink()
    (into / "own").rmdir()
    (into / ".DS_Store").write_bytes(b"\0")
    write(into, SECOND)


def test_a_folder_that_holds_only_empty_folders_of_a_person_is_not_taken(tmp_path: Path) -> None:
    (tmp_path / "report" / "own").mkdir(parents=True)
    with pytest.raises(OutputError, match="is not empty"):
        write(tmp_path / "report", FIRST)
    assert (tmp_path / "report" / "own").is_dir()


def test_an_edit_while_a_report_is_built_is_seen(into: Path) -> None:
    def edited() -> None:
        with swapped_in(into, Audience.CLIENT, "a") as building:
            (building / "index.html").write_text("second")
            (into / "index.html").write_text("mine")

    with pytest.raises(OutputError, match=r'"index\.html" changed'):
        edited()
    assert texts(into)["index.html"] == "mine"


def test_a_failed_build_keeps_what_was_there(into: Path) -> None:
    (into / "index.html").write_text("mine")
    with pytest.raises(ZeroDivisionError), swapped_in(into, Audience.CLIENT, "a", keep_mine=True):
        raise ZeroDivisionError
    assert texts(into) == {**FIRST, "index.html": "mine"}


def test_where_nothing_can_be_linked_it_is_copied(into: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_given: object, **_how: object) -> None:
        raise OSError("no links here")

    monkeypatch.setattr(os, "link", refused)
    (into / "index.html").write_text("mine")
    (into / "link").symlink_to("nowhere")
    again(into, SECOND)
    assert texts(into) == {**SECOND, "index.html.mine": "mine"}
    assert (into / "link").readlink() == Path("nowhere")


@pytest.mark.slow
def test_nothing_of_a_person_goes_into_a_zip(account: TripAccount, build: Build) -> None:
    folder = build(account).index.parent
    (folder / "index.html").write_text("mine: Hollow Arch")
    (folder / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match="changed by hand"):
        zip_report(folder)
    build(account, keep_mine=True)
    (folder / "later.txt").write_text("mine")
    with ZipFile(zip_report(folder)) as packed:
        names = {name.partition("/")[2] for name in packed.namelist()}
    assert {path.name for path in folder.iterdir()} > {"index.html.mine", "notes.txt", "later.txt"}
    assert not names & {"index.html.mine", "notes.txt", "later.txt"}
    assert "index.html" in names


@pytest.mark.slow
def test_what_was_kept_is_told(account: TripAccount, build: Build) -> None:
    folder = build(account).index.parent
    (folder / "index.html").write_text("mine")
    assert build(account, keep_mine=True).kept == ("index.html.mine",)
    assert build(account).kept == ()


def test_an_unpacked_zip_is_not_replaced_by_the_report_of_a_trip(
    account: TripAccount, build: Build, tmp_path: Path
) -> None:
    packed = zip_report(build(account).index.parent)
    shutil.unpack_archive(packed, tmp_path / "unpacked")
    with pytest.raises(OutputError, match="choose another folder"):
        build(account, name="unpacked/report")
