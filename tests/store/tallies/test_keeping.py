"""The tallies say what the records say, whatever was written, changed and removed before, and by whom."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import BookError
from logbook.services.worked import By, WorkedQuestion, worked
from logbook.store.book import Book
from logbook.store.tallies.objects import COLUMNS
from tests.benchmarks.generated_book import make_book
from tests.examples import examples
from tests.once import Once, copied_book
from tests.store.tallies.changed import change_at_random


@pytest.fixture(scope="session")
def trips(once: Once) -> Path:
    """A book of three trips, never changed."""
    return once("three-trips", lambda folder: make_book(folder / "book.sqlite", 220, seed=5)) / "book.sqlite"


def opened(path: Path) -> Book:
    return Book(path, lambda: datetime(2032, 1, 1, tzinfo=UTC), create=False)


@pytest.fixture
def book(trips: Path, tmp_path: Path) -> Book:
    return opened(copied_book(trips, tmp_path / "book.sqlite"))


def change_from_outside(path: Path, change: str, *values: object) -> None:
    """Write as another program does, which knows nothing of tallies."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(change, values)
        connection.commit()


@settings(max_examples=examples(0.1), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32))
def test_after_any_changes_the_tallies_are_as_fresh_ones(
    trips: Path, seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    book = opened(copied_book(trips, tmp_path_factory.mktemp("changed") / "book.sqlite"))
    chance = Random(seed)
    for _ in range(3):
        with book.writing() as desk:
            change_at_random(desk.connection.exec_driver_sql, chance, 8)
            desk.follow_places()  # as the transaction's end does, which must find nothing left to move
            behind = desk.tallies.rows(COLUMNS)
        with book.writing() as desk:
            assert desk.tallies.are_in_step()
            assert desk.tallies.rows(COLUMNS) == behind
            assert not desk.connection.exec_driver_sql("SELECT * FROM search_tally_stale").all()


def test_what_another_program_writes_is_counted_before_anybody_writes(book: Book) -> None:
    change_from_outside(book.path, "UPDATE visit SET tries = 77")
    with book.reading() as desk:
        tries = [row[2] for row in desk.tallies.rows(["visit_tries"]) if row[2] is not None]
    assert {line for lines in tries for line in lines.split("\n")} == {"77"}


def test_without_the_index_tallies_are_worked_out_from_the_records(book: Book) -> None:
    with book.reading() as desk:
        kept = desk.tallies.rows(COLUMNS)
    change_from_outside(book.path, "DROP TABLE search_value")
    with opened(book.path).reading() as desk:
        assert desk.tallies.rows(COLUMNS) == kept


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [
        "UPDATE search_tally SET visit_tries = '9' WHERE rowid = 1",
        "DELETE FROM search_tally WHERE rowid = 1",
        "INSERT INTO search_tally (viewpoint_id, trip_id) VALUES ('nowhere', 'never')",
        "UPDATE search_site_traits SET traits = '{}' WHERE rowid = 1",
        "INSERT INTO search_site_traits VALUES ('nowhere', NULL, '{}')",
    ],
)
def test_a_row_out_of_step_is_seen_and_rebuilt(book: Book, change: str) -> None:
    change_from_outside(book.path, change)
    with book.writing() as desk:
        found = desk.index.differences()
        assert (found.tallies, found.in_step) == (1, False)
    book.make_anew()
    with book.writing() as desk:
        assert desk.index.differences().in_step


def test_an_answer_does_not_count_by_a_row_that_was_tampered_with(book: Book) -> None:
    question = WorkedQuestion(By.SUPPORT)
    honest = worked(book, question)
    change_from_outside(book.path, "UPDATE search_tally SET visit_tries = replace(visit_tries, '1', '9')")
    again = opened(book.path)
    assert worked(again, question) == honest
    assert again.index_is_damaged


def test_a_caption_concerns_no_tally(book: Book) -> None:
    change_from_outside(book.path, "UPDATE keeper SET caption = 'Late light'")
    with closing(sqlite3.connect(book.path)) as connection:
        assert not connection.execute("SELECT * FROM search_tally_stale").fetchall()


def test_what_cannot_be_read_stops_nobody_who_writes_and_is_said_to_whoever_asks(book: Book) -> None:
    change_from_outside(book.path, "UPDATE visit SET arrived_at = 'at noon' WHERE rowid = 1")
    change_from_outside(book.path, "DELETE FROM search_stale")  # which would be read for the index, too
    with book.writing() as desk:
        desk.connection.exec_driver_sql("UPDATE keeper SET support = 'braced'")
    with book.reading() as desk, pytest.raises(BookError, match="at noon"):
        desk.tallies.rows(COLUMNS)
    change_from_outside(book.path, "UPDATE visit SET arrived_at = NULL WHERE rowid = 1")
    with book.writing():
        pass
    with book.writing() as desk:
        assert desk.index.differences().in_step
