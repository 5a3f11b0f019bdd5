"""A report takes its place whole, replaces only reports, and touches nobody else's files."""

import os
import shutil
import stat
from collections.abc import Callable, Iterator
from multiprocessing import get_context
from multiprocessing.context import SpawnProcess
from multiprocessing.synchronize import Barrier
from pathlib import Path

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.errors import OutputError
from logbook.domain.words import Audience
from logbook.faces.report import BuiltReport, build_report
from logbook.faces.report.writing import swapped_in
from logbook.faces.resources import resource

Build = Callable[..., BuiltReport]
Window = tuple[SpawnProcess, Barrier]


def contents(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_building_again_gives_the_same_bytes_and_leaves_nothing_beside(
    account: TripAccount, build: Build, tmp_path: Path
) -> None:
    first = contents(build(account).index.parent)
    second = build(account)
    assert contents(second.index.parent) == first
    assert {path.name for path in tmp_path.iterdir()} == {"originals", "report"}


def test_an_empty_folder_is_taken(account: TripAccount, build: Build, tmp_path: Path) -> None:
    (tmp_path / "report").mkdir()
    assert build(account).index.is_file()


def test_a_folder_with_foreign_files_is_refused_and_unchanged(
    account: TripAccount, build: Build, tmp_path: Path
) -> None:
    (tmp_path / "report").mkdir()
    (tmp_path / "report" / "thesis.odt").write_text("years of work")
    with pytest.raises(OutputError, match="is not empty, and is not a report made by this program"):
        build(account)
    assert contents(tmp_path / "report") == {"thesis.odt": b"years of work"}


def test_a_report_to_which_somebody_added_a_file_is_refused(account: TripAccount, build: Build) -> None:
    folder = build(account).index.parent
    (folder / "my notes.txt").write_text("keep")
    with pytest.raises(OutputError, match=r"my notes\.txt"):
        build(account)
    assert (folder / "my notes.txt").read_text() == "keep"


def test_what_file_managers_leave_behind_does_not_count(account: TripAccount, build: Build) -> None:
    folder = build(account).index.parent
    (folder / ".DS_Store").write_bytes(b"\0")
    assert build(account).index.is_file()


def test_a_file_in_the_way_is_refused(account: TripAccount, build: Build, tmp_path: Path) -> None:
    (tmp_path / "report").write_text("mine")
    with pytest.raises(OutputError, match="is a file"):
        build(account)
    assert (tmp_path / "report").read_text() == "mine"


def test_a_missing_parent_is_said_in_one_sentence(account: TripAccount, build: Build) -> None:
    with pytest.raises(
        OutputError, match=r"nowhere does not exist; create it, or choose another place\.$"
    ) as caught:
        build(account, name="nowhere/report")
    assert "\n" not in str(caught.value)


def test_a_read_only_parent_is_said_in_one_sentence(
    account: TripAccount, build: Build, tmp_path: Path
) -> None:
    shut = tmp_path / "shut"
    shut.mkdir()
    shut.chmod(stat.S_IRUSR | stat.S_IXUSR)
    if os.access(shut, os.W_OK):
        shut = Path("/proc")  # permissions do not stop root, but nobody makes a folder in there
    with pytest.raises(OutputError, match="cannot be written"):
        build(account, name=str(shut / "report"))


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder nobody can write to")
def test_a_place_nobody_can_write_to_is_said_in_one_sentence() -> None:
    with pytest.raises(
        OutputError, match=r"^The report cannot be written to /proc/.*; choose another folder\.$"
    ):
        swapped_in(Path("/proc/report")).__enter__()


def test_a_failed_build_leaves_the_old_report(account: TripAccount, build: Build, tmp_path: Path) -> None:
    folder = build(account).index.parent
    before = contents(folder)
    shutil.copytree(resource("templates"), tmp_path / "broken")
    (tmp_path / "broken" / "report" / "leaf.html").write_text("{{ page.no_such_field }}")
    with pytest.raises(Exception, match="no_such_field"):
        build_report(account, Audience.CLIENT, folder, templates=tmp_path / "broken")
    assert contents(folder) == before
    assert {path.name for path in tmp_path.iterdir()} == {"originals", "report", "broken"}


@pytest.mark.parametrize(
    ("audience", "trip_id", "says"),
    [
        (Audience.ARCHIVE, "a", "holds a report for the client; choose another folder"),
        (Audience.STUDENTS, "a", "holds a report for the client; choose another folder"),
        (Audience.CLIENT, "b", "holds the report of another trip; choose another folder"),
    ],
)
def test_a_report_is_not_replaced_by_one_with_another_purpose(
    tmp_path: Path, audience: Audience, trip_id: str, says: str
) -> None:
    into = tmp_path / "report"
    for text in ("first", "second"):
        with swapped_in(into, Audience.CLIENT, "a") as building:
            (building / "index.html").write_text(text)
    with pytest.raises(OutputError, match=says):
        swapped_in(into, audience, trip_id).__enter__()
    assert (into / "index.html").read_text() == "second"


def test_an_error_while_writing_leaves_the_old_folder(tmp_path: Path) -> None:
    into = tmp_path / "report"
    with swapped_in(into) as building:
        (building / "index.html").write_text("old")

    def fill_the_disk() -> None:
        with swapped_in(into) as building:
            (building / "index.html").write_text("new")
            raise OSError(28, "No space left on device")

    with pytest.raises(OutputError, match="what was there before is unchanged"):
        fill_the_disk()
    assert (into / "index.html").read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["report"]


def half_built(into: Path, hold: Barrier) -> None:
    with swapped_in(into) as building:
        (building / "index.html").write_text("half")
        hold.wait()
        hold.wait()


@pytest.fixture
def builder(tmp_path: Path) -> Iterator[Window]:
    """A second window that is in the middle of building tmp_path/report."""
    apart = get_context("spawn")
    hold = apart.Barrier(2, timeout=60)
    process = apart.Process(target=half_built, args=(tmp_path / "report", hold))
    process.start()
    hold.wait()
    yield process, hold
    process.kill()
    process.join()


def write(into: Path, text: str) -> None:
    with swapped_in(into) as building:
        (building / "index.html").write_text(text)


@pytest.mark.slow
def test_what_a_killed_build_left_is_cleared_by_the_next(builder: Window, tmp_path: Path) -> None:
    process, _ = builder
    process.kill()
    process.join()
    assert len(list(tmp_path.iterdir())) == 1
    write(tmp_path / "report", "whole")
    assert [path.name for path in tmp_path.iterdir()] == ["report"]


@pytest.mark.slow
def test_another_window_that_is_building_is_left_alone(builder: Window, tmp_path: Path) -> None:
    process, hold = builder
    write(tmp_path / "report", "first")
    hold.wait()
    process.join()
    assert process.exitcode == 0
    assert (tmp_path / "report" / "index.html").read_text() == "half"
    assert [path.name for path in tmp_path.iterdir()] == ["report"]


@pytest.mark.slow
def test_a_report_caught_half_way_through_the_swap_comes_back(builder: Window, tmp_path: Path) -> None:
    process, _ = builder
    process.kill()
    process.join()
    (bench,) = tmp_path.iterdir()
    write(tmp_path / "elsewhere", "old")
    (tmp_path / "elsewhere").rename(bench / "old")
    with pytest.raises(ZeroDivisionError), swapped_in(tmp_path / "report"):
        raise ZeroDivisionError
    assert (tmp_path / "report" / "index.html").read_text() == "old"


def test_a_link_inside_a_report_is_not_followed(account: TripAccount, build: Build, tmp_path: Path) -> None:
    folder = build(account).index.parent
    (tmp_path / "precious").mkdir()
    (tmp_path / "precious" / "a").write_text("a")
    (folder / "link").symlink_to(tmp_path / "precious")
    with pytest.raises(OutputError, match='"link"'):
        build(account)
    assert (tmp_path / "precious" / "a").read_text() == "a"
