"""Taking pictures in, again and again; finding and noting them."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import AmbiguousNameError, NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import ClockEvidence, Provenance, Support
from logbook.services import kinds, records
from logbook.services.keepers.importing import TakenIn, take_in
from logbook.services.keepers.keeping import list_keepers, note_keepers, show_keeper
from logbook.store.book import Book

Picture = Callable[..., Path]
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
ROOT = Path(__file__).parents[3]


def files(book: Book) -> list[str]:
    return [keeper.file for keeper in list_keepers(book, None, {}).records]


def test_a_keeper_holds_what_the_camera_wrote_and_says_that_the_camera_did(book: Book, keepers: Path) -> None:
    keeper: Keeper = show_keeper(book, None, "0412").records[0]
    assert (keeper.exposure_s, keeper.f_number, keeper.iso, keeper.focal_mm) == (Fraction(1, 125), 8, 200, 24)
    assert keeper.body == "Halvern Thistle"
    assert keeper.taken_text == "2031:10:14 17:12:05"
    assert keeper.taken_utc == datetime(2031, 10, 14, 12, 12, 5, tzinfo=UTC)
    assert keeper.clock_evidence is ClockEvidence.ASSUMED
    assert keeper.provenance_of("iso") is keeper.provenance_of("taken_local") is Provenance.CAMERA
    assert keeper.provenance_of("taken_utc") is Provenance.ASSUMED
    assert (keeper.filters, keeper.support, keeper.lens) == (None, None, None)
    assert keeper.provenance_of("filters") is keeper.provenance_of("lens") is None


def test_taking_in_the_same_folder_again_changes_nothing(book: Book, keepers: Path, dump: Dump) -> None:
    before = dump()
    assert take_in(book, keepers, trip=None) == TakenIn(0, 8, 0, ())
    assert dump() == before


def test_a_renamed_picture_moves_and_keeps_what_was_noted(book: Book, keepers: Path) -> None:
    note_keepers(book, None, "0412", {"support": Support.BRACED})
    (keepers / "TRN_0412.JPG").rename(keepers / "opening.jpg")
    assert take_in(book, keepers, trip=None) == TakenIn(0, 7, 1, ())
    keeper: Keeper = show_keeper(book, None, "trn-0412").records[0]
    assert (keeper.file, keeper.path) == ("opening.jpg", str(keepers / "opening.jpg"))
    assert keeper.support is Support.BRACED
    assert len(files(book)) == 8


def test_a_copy_elsewhere_is_known_and_moves_nothing(
    book: Book, keepers: Path, tmp_path: Path, dump: Dump
) -> None:
    before = dump()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "copy.jpg").write_bytes((keepers / "TRN_0412.JPG").read_bytes())
    assert take_in(book, elsewhere, trip=None) == TakenIn(0, 1, 0, ())
    assert dump() == before


def test_the_same_content_twice_in_one_folder_is_one_keeper(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    for name in ("a.jpg", "b.jpg"):
        picture(tmp_path / "twice" / name)
    assert take_in(book, tmp_path / "twice", trip=None) == TakenIn(1, 1, 0, ())
    assert files(book) == ["a.jpg"]


def test_two_pictures_of_one_name_get_two_slugs(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "cards" / "one" / "TRN_0001.JPG", look=1)
    picture(tmp_path / "cards" / "two" / "TRN_0001.JPG", look=2)
    with pytest.raises(NotFoundError, match="Add --recursive"):
        take_in(book, tmp_path / "cards", trip=None)
    assert take_in(book, tmp_path / "cards", trip=None, recursive=True).added == 2
    assert {keeper.slug for keeper in list_keepers(book, None, {}).records} == {"trn-0001", "trn-0001-2"}
    with pytest.raises(
        AmbiguousNameError, match=r"trn-0001 from .* or trn-0001-2 from .*; name one of these"
    ):
        show_keeper(book, None, "0001")
    assert show_keeper(book, None, "trn-0001-2").records[0].slug == "trn-0001-2"
    noted = note_keepers(book, None, "trn-0001-2", {"caption": "The second."})
    assert [keeper.slug for keeper in noted.records] == ["trn-0001-2"]


def test_a_picture_may_be_a_keeper_of_two_trips_and_is_asked_for_by_trip(book: Book, keepers: Path) -> None:
    records.add(book, kinds.TRIP, {"title": "Salt coast"})
    assert take_in(book, keepers, trip="salt-coast").added == 8
    with pytest.raises(AmbiguousNameError, match="name the trip with --trip"):
        show_keeper(book, None, "0412")
    with pytest.raises(AmbiguousNameError, match="name the trip with --trip"):
        show_keeper(book, None, "trn-0412")
    shown = show_keeper(book, "salt", "0412")
    assert shown.names[shown.records[0].trip_id] == "salt-coast"


def test_a_damaged_picture_is_listed_and_the_others_are_taken_in(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    folder = tmp_path / "mixed"
    picture(folder / "good.jpg")
    (folder / "empty.jpg").touch()
    (folder / "text.jpg").write_text("Dear diary", encoding="utf-8")
    (folder / "notes.txt").write_text("no picture at all", encoding="utf-8")
    (folder / ".hidden.jpg").write_text("hidden", encoding="utf-8")
    done = take_in(book, folder, trip=None)
    assert (done.added, done.known, done.moved) == (1, 0, 0)
    assert [Path(one.file).name for one in done.refused] == ["empty.jpg", "text.jpg"]
    assert all(one.reason and "\n" not in one.reason for one in done.refused)


def test_originals_keep_their_bytes_and_times(book: Book, keepers: Path) -> None:
    for path in keepers.iterdir():
        os.utime(path, ns=(10**18, 10**18 + 7))

    def state() -> dict[str, tuple[bytes, int, int]]:
        return {
            path.name: (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode)
            for path in keepers.iterdir()
        }

    before = state()
    take_in(book, keepers, trip=None)
    note_keepers(book, None, "0412-0419", {"filters": ("nd8",)})
    assert state() == before


def test_a_folder_that_cannot_be_written_to_is_good_enough(book: Book, keepers: Path) -> None:
    if os.geteuid() == 0:  # nothing stops root; what root writes would show in the folder's own time
        before = keepers.stat().st_mtime_ns
        take_in(book, keepers, trip=None)
        assert keepers.stat().st_mtime_ns == before
        return
    keepers.chmod(0o555)
    assert take_in(book, keepers, trip=None).known == 8
    keepers.chmod(0o755)


def test_a_missing_or_empty_folder_is_named(book: Book, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(NotFoundError, match=r"There are no pictures in .*empty"):
        take_in(book, tmp_path / "empty", trip=None)
    with pytest.raises(NotFoundError, match="There is no folder"):
        take_in(book, tmp_path / "nowhere", trip=None)


def test_a_file_name_that_is_no_utf8_is_taken_in_once(book: Book, tmp_path: Path, picture: Picture) -> None:
    plain = picture(tmp_path / "odd" / "a.jpg")
    try:
        plain.rename(tmp_path / "odd" / os.fsdecode(b"caf\xe9.jpg"))
    except OSError:
        return  # this file system takes only UTF-8, so the case cannot arise
    assert take_in(book, tmp_path / "odd", trip=None).added == 1
    assert take_in(book, tmp_path / "odd", trip=None) == TakenIn(0, 1, 0, ())


@pytest.mark.slow
def test_an_import_that_is_killed_keeps_what_it_had_and_completes_when_run_again(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    folder = tmp_path / "many"
    for number in range(300):
        picture(folder / f"TRN_{number:04}.JPG", look=number)
    command = [sys.executable, "-m", "logbook", "--book", str(book.path), "keeper", "import", str(folder)]
    importing = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    with closing(sqlite3.connect(book.path, timeout=60, isolation_level=None)) as held:
        while importing.poll() is None:
            held.execute("BEGIN IMMEDIATE")  # nothing more comes in until it was looked at
            if held.execute("SELECT count(*) FROM keeper").fetchone() != (0,):
                break
            held.execute("ROLLBACK")
            time.sleep(0.01)
        importing.send_signal(signal.SIGKILL)
        importing.communicate()
    assert importing.returncode == -signal.SIGKILL
    kept = len(files(book))
    assert 0 < kept < 300
    again = subprocess.run([*command, "--json"], cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert again.returncode == 0, again.stderr
    assert f'"added": {300 - kept}' in again.stdout
    assert f'"known": {kept}' in again.stdout
    assert sorted(files(book)) == [f"TRN_{number:04}.JPG" for number in range(300)]


def test_a_note_holds_for_the_whole_range_and_is_stated(book: Book, keepers: Path) -> None:
    noted = note_keepers(book, None, "0412-0414", {"filters": ("nd8", "nd8"), "viewpoint": "quarry"})
    assert [keeper.filters for keeper in noted.records] == [("nd8", "nd8")] * 3
    assert {keeper.provenance_of("filters") for keeper in noted.records} == {Provenance.STATED}
    assert show_keeper(book, None, "0415").records[0].filters is None
    back = note_keepers(book, None, "0413", {"filters": ()})
    assert back.records[0].filters == ()
    assert len(list_keepers(book, None, {"viewpoint": "quarry-ledge"}).records) == 3


def test_a_note_that_says_nothing_or_meets_nothing_is_refused(book: Book, keepers: Path) -> None:
    with pytest.raises(WrongUseError, match="Say what to note"):
        note_keepers(book, None, "0412", {})
    with pytest.raises(NotFoundError, match="no keeper from 0500 to 0510"):
        note_keepers(book, None, "0500-0510", {"caption": "x"})
    with pytest.raises(NotFoundError, match="No keeper is called"):
        note_keepers(book, None, "opening.jpg", {"caption": "x"})


def test_keepers_of_the_hour_that_comes_twice_stay_in_order(book: Book, keepers: Path) -> None:
    one: Keeper = show_keeper(book, None, "0412").records[0]
    earlier = replace(
        one, zone="Europe/Berlin", taken_utc=datetime(2031, 10, 26, 0, 30, tzinfo=UTC), file="b"
    )
    later = replace(one, zone="Europe/Berlin", taken_utc=datetime(2031, 10, 26, 1, 10, tzinfo=UTC), file="a")
    undated = replace(one, taken_local=None, taken_utc=None)
    assert in_order([undated, later, earlier]) == [earlier, later, undated]
