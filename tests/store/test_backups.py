"""Backups appear whole or not at all, the right ones are kept, and putting one in place loses nothing."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store import backups, engine
from logbook.store.backups import Backup, Why, folder_of, listed, make, put_in_place, too_many
from logbook.store.book import Book
from logbook.store.migrations import CURRENT
from logbook.store.schema import version_in

Clock = Callable[[], datetime]
NOW = datetime(2031, 10, 14, 18, 45, 7, tzinfo=UTC)


def add(book: Book, *slugs: str) -> None:
    with book.writing() as desk:
        desk.trips.add(*(Trip(**new_record(NOW), slug=slug, title=slug, purpose="x" * 900) for slug in slugs))


def slugs(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return [row[0] for row in connection.execute("SELECT slug FROM trip ORDER BY slug")]


def test_a_backup_is_one_file_named_by_its_moment_and_its_reason(book: Book) -> None:
    add(book, "valley")
    made = make(book.path, NOW, Why.NIGHT)
    assert made == folder_of(book.path) / "book-2031-10-14-184507-night.sqlite"
    assert [path.name for path in made.parent.iterdir()] == [made.name]
    assert slugs(made) == ["valley"]
    assert version_in(made) == CURRENT


def test_two_backups_of_one_second_are_two(book: Book) -> None:
    names = [make(book.path, NOW, Why.ASKED).name for _ in range(3)]
    assert names == [f"book-2031-10-14-184507-asked{end}.sqlite" for end in ("", "-2", "-3")]
    assert [one.path.name for one in listed(book.path)] == names[::-1]


def test_the_newest_of_one_second_comes_first_whatever_they_were_made_for(book: Book) -> None:
    whys = [Why.UNDO, Why.ASKED, Why.RESTORE, Why.ASKED, Why.NIGHT]
    made = [make(book.path, NOW, why) for why in whys]
    assert [one.path for one in listed(book.path)] == made[::-1]


def test_a_backup_is_read_without_writing_anything_beside_it(book: Book) -> None:
    made = make(book.path, NOW, Why.ASKED)
    made.chmod(0o444)
    assert version_in(made) == CURRENT
    assert backups.counted(made) == (0, 0)
    assert [path.name for path in made.parent.iterdir()] == [made.name]


@pytest.mark.slow
def test_what_is_no_backup_of_ours_is_neither_listed_nor_removed(book: Book) -> None:
    folder = folder_of(book.path)
    folder.mkdir()
    others = [
        "book.sqlite",
        "notes.txt",
        "book-2031-10-14-184507-holiday.sqlite",
        "book-2031-99-14-184507-night.sqlite",
    ]
    for name in others:
        (folder / name).write_text("mine", encoding="utf-8")
    for number in range(40):
        make(book.path, NOW + timedelta(seconds=number), Why.UNDO)
    assert len(listed(book.path)) == backups.KEPT_LAST
    assert {path.name for path in folder.iterdir()} >= set(others)


@given(st.lists(st.integers(0, 3 * 365 * 24), max_size=80, unique=True))
def test_the_last_ones_the_last_of_late_days_and_one_of_every_month_are_kept(hours: list[int]) -> None:
    found = [
        Backup(Path(str(hour)), NOW + timedelta(hours=hour), Why.UNDO, 1, 1)
        for hour in sorted(hours, reverse=True)
    ]
    gone = too_many(found)
    kept = [one for one in found if one not in gone]
    assert kept[: backups.KEPT_LAST] == found[: backups.KEPT_LAST]
    assert {f"{one.at:%Y-%m}" for one in kept} == {f"{one.at:%Y-%m}" for one in found}
    months = len({f"{one.at:%Y-%m}" for one in found})
    assert len(kept) <= backups.KEPT_LAST + backups.KEPT_DAYS + months
    for one in kept[backups.KEPT_LAST :]:
        newer = [other for other in found if other.at > one.at]
        assert all(f"{other.at:%Y-%m-%d}" != f"{one.at:%Y-%m-%d}" for other in newer)


def test_what_cannot_be_copied_leaves_no_half_of_a_backup(book: Book) -> None:
    folder_of(book.path).write_text("in the way", encoding="utf-8")
    with pytest.raises(BookError, match="could not be copied"):
        make(book.path, NOW, Why.ASKED)


DAMAGE: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "cut off": (lambda content: content[: len(content) // 2], "is damaged"),
    "cut within the first page": (lambda content: content[:300], "is damaged"),
    "overwritten": (lambda content: content[:8192] + b"\xff" * (len(content) - 8192), "is damaged"),
    "not an SQLite file": (lambda _content: b"Dear diary", "is not a logbook: it is not an SQLite file"),
    "empty": (lambda _content: b"", "is not a logbook: it is not an SQLite file"),
}


@pytest.mark.parametrize("what", DAMAGE)
def test_a_file_that_is_no_sound_logbook_is_refused(book: Book, tmp_path: Path, what: str) -> None:
    add(book, *(f"trip-{number}" for number in range(200)))
    damage, sentence = DAMAGE[what]
    file = make(book.path, NOW, Why.ASKED)
    file.write_bytes(damage(file.read_bytes()))
    with pytest.raises(BookError, match=sentence):
        version_in(file)


def test_another_programs_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE note (x)")
    with pytest.raises(BookError, match="the SQLite file of another program"):
        version_in(path)


def test_a_second_window_sees_the_book_that_was_put_in_place_and_its_writes_stay(
    book: Book, now: Clock
) -> None:
    add(book, "valley")
    file = make(book.path, NOW, Why.ASKED)
    add(book, "coast")
    with closing(sqlite3.connect(book.path)) as window:
        assert window.execute("SELECT count(*) FROM trip").fetchone() == (2,)
        assert put_in_place(file, book.path, NOW) is None
        assert window.execute("SELECT count(*) FROM trip").fetchone() == (1,)
        window.execute("UPDATE trip SET title = 'Written after'")
        window.commit()
    with Book(book.path, now, create=False).reading() as desk:
        assert [(one.slug, one.title) for one in desk.trips.all()] == [("valley", "Written after")]
    with closing(sqlite3.connect(book.path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


@pytest.mark.slow
def test_nothing_is_put_in_place_while_another_window_writes(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(book, "valley")
    file = make(book.path, NOW, Why.ASKED)
    monkeypatch.setattr(engine, "BUSY_TIMEOUT_MS", 300)
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(NOW), slug="coast", title="Coast"))
        began = time.monotonic()
        with pytest.raises(BookError, match="is being changed in another window; wait"):
            put_in_place(file, book.path, NOW)
        assert time.monotonic() - began < 30
    assert slugs(book.path) == ["coast", "valley"]


@pytest.mark.parametrize("what", ["cut off", "overwritten", "not an SQLite file"])
def test_a_damaged_book_is_moved_aside_with_all_that_belongs_to_it(book: Book, now: Clock, what: str) -> None:
    add(book, *(f"trip-{number}" for number in range(200)))
    file = make(book.path, NOW, Why.ASKED)
    damaged = DAMAGE[what][0](book.path.read_bytes())
    book.path.write_bytes(damaged)
    Path(f"{book.path}-wal").write_bytes(b"of the damaged one")
    moved = put_in_place(file, book.path, NOW)
    assert moved is not None
    assert moved.read_bytes() == damaged
    assert Path(f"{moved}-wal").read_bytes() == b"of the damaged one"
    assert not Path(f"{book.path}-wal").exists()
    with Book(book.path, now, create=False).reading() as desk:
        assert len(desk.trips.all()) == 200


def test_a_book_that_is_gone_comes_back(book: Book, tmp_path: Path, now: Clock) -> None:
    add(book, "valley")
    file = make(book.path, NOW, Why.ASKED)
    shutil.move(book.path, tmp_path / "elsewhere")
    put_in_place(file, book.path, NOW)
    assert slugs(book.path) == ["valley"]


PUT_IN_PLACE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from logbook.store.backups import put_in_place
print("ready", flush=True)
put_in_place(Path(sys.argv[1]), Path(sys.argv[2]), datetime.now(UTC))
print("done", flush=True)
"""


@pytest.mark.slow
def test_putting_in_place_killed_at_any_moment_leaves_the_one_book_or_the_other(
    book: Book, tmp_path: Path, now: Clock
) -> None:
    add(book, *(f"old-{number:04}" for number in range(2000)))
    file = make(book.path, NOW, Why.ASKED)
    with book.writing() as desk:
        desk.trips.remove([one.id for one in desk.trips.all()][:1500])
    add(book, *(f"new-{number:04}" for number in range(3000)))
    old, new = slugs(file), slugs(book.path)
    kept = tmp_path / "kept.sqlite"
    engine.copy_book(book.path, kept)
    for number in range(25):
        engine.write_into(kept, book.path)
        program = subprocess.Popen(
            [sys.executable, "-c", PUT_IN_PLACE, str(file), str(book.path)],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[2],
        )
        assert program.stdout is not None
        program.stdout.readline()
        time.sleep(random.Random(number).uniform(0, 0.12))
        os.kill(program.pid, signal.SIGKILL)
        program.communicate()
        assert slugs(book.path) in (old, new)
        assert backups.is_sound(book.path)
