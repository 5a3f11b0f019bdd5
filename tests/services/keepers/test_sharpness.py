"""Measuring after an import: what it proposes, what it leaves alone, and going on where it stopped."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, Sharpness
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers, show_keeper
from logbook.services.keepers.proposals import propose
from logbook.services.keepers.sharpness import MeasuredNow, judged_of, measure
from logbook.store.book import Book
from tests.services.shaken import OUT_OF_FOCUS, SHAKEN, STILL, shoot

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    shoot(folder, (STILL, SHAKEN, STILL, OUT_OF_FOCUS))
    return folder


@pytest.fixture
def taken(book: Book, pictures: Path) -> Book:
    take_in(book, pictures, trip=None)
    return book


def proposed(book: Book) -> dict[str, Sharpness | None]:
    return {one.keeper.file: one.asks for one in judged_of(book, None)}


def known(book: Book) -> int:
    with book.reading() as desk:
        return len(desk.measures.of(one.hash for one in desk.keepers.all()))


@pytest.mark.slow
def test_soft_frames_are_proposed_as_such_and_nobody_has_said_it(taken: Book) -> None:
    assert measure(taken, None) == MeasuredNow(4, ())
    assert list(proposed(taken).values()) == [
        Sharpness.SHARP,
        Sharpness.SOFT,
        Sharpness.SHARP,
        Sharpness.SOFT,
    ]
    shaken, unfocused = (one.acutance for one in judged_of(taken, None)[1::2])
    assert shaken is not None
    assert unfocused is not None
    assert (shaken.frames, unfocused.frames) == (4, 4)
    assert shaken.along_deg == pytest.approx(34, abs=8)  # 0.6 of a radian
    assert unfocused.along_deg is None
    assert shaken.lost_px == pytest.approx(8.0, rel=0.3)
    with taken.reading() as desk:
        assert {one.sharpness for one in desk.keepers.all()} == {None}


@pytest.mark.slow
def test_measuring_again_measures_nothing_and_says_the_same(taken: Book) -> None:
    measure(taken, None)
    before = judged_of(taken, None)
    assert measure(taken, None) == MeasuredNow(0, ())
    assert judged_of(taken, None) == before


@pytest.mark.slow
def test_a_person_has_the_last_word(taken: Book) -> None:
    measure(taken, None)
    note_keepers(taken, None, "2102", {"sharpness": Sharpness.SHARP})
    shaken = judged_of(taken, None)[1]
    assert (shaken.said, shaken.asks) == (Sharpness.SHARP, None)
    assert shaken.acutance is not None
    assert shaken.acutance.proposed is Sharpness.SOFT
    keeper: Keeper = show_keeper(taken, None, "2102").records[0]
    assert keeper.provenance_of("sharpness") is Provenance.STATED
    assert "TRN_2102.JPG" not in [one.keeper.file for one in propose(taken, None, None).sharpness]


@pytest.mark.slow
def test_an_original_changed_since_it_was_taken_in_is_not_measured_until_it_is_taken_in_again(
    book: Book, tmp_path: Path
) -> None:
    shoot(tmp_path / "own", (STILL, SHAKEN))
    take_in(book, tmp_path / "own", trip=None)
    shoot(tmp_path / "own", (STILL,), seed=6)
    done = measure(book, None)
    assert (done.measured, [one.file for one in done.unmeasured]) == (1, ["TRN_2101.JPG"])
    assert done.unmeasured[0].again
    assert [one.acutance is None for one in judged_of(book, None)] == [True, False]
    take_in(book, tmp_path / "own", trip=None)
    assert measure(book, None).measured == 1


@pytest.mark.slow
def test_an_original_that_is_gone_is_measured_when_it_is_back(book: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "card", (STILL,))
    take_in(book, tmp_path / "card", trip=None)
    (tmp_path / "card").rename(tmp_path / "away")
    assert measure(book, None).measured == 0
    (tmp_path / "away").rename(tmp_path / "card")
    assert measure(book, None).measured == 1


def test_what_cannot_be_measured_is_asked_about_once(book: Book, keepers: Path) -> None:
    assert measure(book, None).measured == 0  # pictures of a few pixels
    assert known(book) == 8
    assert set(proposed(book).values()) == {None}


@pytest.mark.slow
def test_frames_of_another_view_are_not_compared(book: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "one", (STILL,))
    shoot(tmp_path / "one", (SHAKEN,), first=2105, seed=6)
    take_in(book, tmp_path / "one", trip=None)
    measure(book, None)
    assert [one.acutance and one.acutance.frames for one in judged_of(book, None)] == [1, 1]
    assert proposed(book)["TRN_2105.JPG"] is None


@pytest.mark.slow
def test_what_no_keeper_has_any_more_is_forgotten(taken: Book, tmp_path: Path) -> None:
    measure(taken, None)
    with taken.writing() as desk:
        gone = desk.keepers.all()[0]
        desk.keepers.remove([gone.id])
    shoot(tmp_path / "more", (SHAKEN,), first=2109)
    take_in(taken, tmp_path / "more", trip=None)
    measure(taken, None)
    with taken.reading() as desk:
        assert gone.hash not in desk.measures.of([gone.hash])


@pytest.mark.slow
def test_killed_while_it_measures_it_goes_on_where_it_stopped(book: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "many", (STILL, SHAKEN) * 6)
    take_in(book, tmp_path / "many", trip=None)
    line = (sys.executable, "-m", "logbook", "keeper", "sharpness", "--book", str(book.path))
    running = subprocess.Popen(line, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    ends = time.monotonic() + 60
    while not known(book) and running.poll() is None and time.monotonic() < ends:
        time.sleep(0.01)
    os.kill(running.pid, signal.SIGKILL)
    running.wait()
    kept = known(book)
    assert kept
    assert measure(book, None) == MeasuredNow(12 - kept, ())
    assert list(proposed(book).values()) == [Sharpness.SHARP, Sharpness.SOFT] * 6
