"""The connection that readings share: what it is used for, and when it is let go."""

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection

from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store.book import Book
from logbook.store.connections import Connections, Sharing
from logbook.store.engine import engine_for


def now() -> datetime:
    return datetime(2031, 10, 14, 20, 0, tzinfo=UTC)


def trip(slug: str) -> Trip:
    return Trip(**new_record(now()), slug=slug, title=slug)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with Book(tmp_path / "book.sqlite", now, create=True).writing() as desk:
        desk.trips.add(trip("high-valley"))
    return tmp_path / "book.sqlite"


def reads(connections: Connections) -> Connection:
    with connections.begun(writing=False) as connection:
        connection.exec_driver_sql("SELECT count(*) FROM trip").scalar_one()
        return connection


def beside(path: Path) -> set[str]:
    return {one.name for one in path.parent.iterdir()} - {path.name}


def slugs(book: Book) -> list[str]:
    with book.reading() as desk:
        return sorted(one.slug for one in desk.trips.all())


@pytest.mark.parametrize(
    ("sharing", "same"),
    [(Sharing.NONE, [False, False]), (Sharing.OPENING, [True, False]), (Sharing.READINGS, [True, True])],
)
def test_as_many_readings_share_a_connection_as_are_asked_for(
    path: Path, sharing: Sharing, same: list[bool]
) -> None:
    connections = Connections(engine_for(path), path, sharing)
    used = [reads(connections) for _ in range(3)]
    assert [one is used[0] for one in used[1:]] == same
    assert connections.let_go() is (sharing is Sharing.READINGS)
    assert not beside(path), "nothing lies beside a book that nobody uses"


def test_a_writing_has_a_connection_of_its_own_and_closes_the_shared_one(path: Path) -> None:
    connections = Connections(engine_for(path), path, Sharing.READINGS)
    shared = reads(connections)
    with connections.begun(writing=True) as connection:
        assert connection is not shared
        assert shared.closed
    assert connection.closed
    assert not beside(path)


def test_a_reading_within_a_reading_has_a_connection_of_its_own(path: Path) -> None:
    connections = Connections(engine_for(path), path, Sharing.READINGS)
    with connections.begun(writing=False) as outer:
        inner = reads(connections)
        assert inner is not outer
    assert connections.let_go()
    assert outer.closed
    assert inner.closed


def test_what_goes_wrong_leaves_no_connection_to_the_next_reading(path: Path) -> None:
    connections = Connections(engine_for(path), path, Sharing.READINGS)
    with pytest.raises(KeyError), connections.begun(writing=False) as connection:
        raise KeyError
    assert connection.closed
    assert not connections.let_go()


@pytest.mark.parametrize("put", [os.replace, shutil.copyfile])
def test_a_book_put_in_the_place_of_another_is_the_one_that_is_read(
    path: Path, tmp_path: Path, put: Callable[[Path, Path], object]
) -> None:
    book = Book(path, now, create=False, sharing=Sharing.READINGS)
    assert slugs(book) == ["high-valley"]
    with Book(tmp_path / "other.sqlite", now, create=True).writing() as desk:
        for number in range(500):  # enough to change every page
            desk.trips.add(trip(f"far-coast-{number:03}"))
    put(tmp_path / "other.sqlite", path)
    assert slugs(book)[0] == "far-coast-000"
    book.let_go()


def test_a_foreign_trigger_is_seen_by_the_next_reading(path: Path) -> None:
    book = Book(path, now, create=False, sharing=Sharing.READINGS)
    assert slugs(book) == ["high-valley"]
    with engine_for(path).connect() as connection:
        connection.exec_driver_sql("CREATE TRIGGER spy AFTER INSERT ON trip BEGIN SELECT 1; END")
    with pytest.raises(BookError, match="the trigger spy"):
        slugs(book)


def test_a_reading_after_a_writing_sees_what_was_written(path: Path) -> None:
    book = Book(path, now, create=False, sharing=Sharing.READINGS)
    assert slugs(book) == ["high-valley"]
    with book.writing() as desk:
        desk.trips.add(trip("far-coast"))
    with Book(path, now, create=False).writing() as desk:
        desk.trips.add(trip("low-fen"))
    assert slugs(book) == ["far-coast", "high-valley", "low-fen"]
    book.let_go()
    assert not beside(path)


def test_the_one_file_is_the_whole_book_once_the_connection_is_let_go(path: Path, tmp_path: Path) -> None:
    book = Book(path, now, create=False, sharing=Sharing.READINGS)
    assert slugs(book) == ["high-valley"]
    with Book(path, now, create=False).writing() as desk:  # another window
        desk.trips.add(trip("far-coast"))
    book.let_go()
    shutil.copyfile(path, tmp_path / "copy.sqlite")
    assert slugs(Book(tmp_path / "copy.sqlite", now, create=False)) == ["far-coast", "high-valley"]
