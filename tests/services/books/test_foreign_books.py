"""The records of a book that is not opened come out of it, and nothing planted runs or comes with them."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from logbook.domain.errors import BookError, LogbookError
from logbook.services import kinds, records
from logbook.services.books import backups
from logbook.services.books.imports import import_document, read_export_or_book
from logbook.services.books.merges import PREFERRED, merge
from logbook.services.exports.book_json import book_records
from logbook.store.book import Book
from tests.examples import first
from tests.store.test_foreign import PLANTED, plant

HARMLESS = (
    "a trigger",
    "a trigger with a name of the index",
    "a view",
    "a generated column",
    "a column of somebody else",
    "an index on an expression",
    "a table",
    "a virtual table",
    "another kind of words",
    "a reference that deletes",
)


@pytest.fixture
def planted(book: Book) -> Callable[[str], Path]:
    """Plant something in a book that holds a few records."""

    def do(what: str) -> Path:
        plant(book.path, PLANTED[what])
        return book.path

    return do


@pytest.mark.parametrize("what", first(HARMLESS, 3))
def test_records_come_out_whole_and_what_was_planted_stays(
    planted: Callable[[str], Path], tmp_path: Path, book: Book, what: str
) -> None:
    records.add(book, kinds.TRIP, {"title": "Lower valley"})
    records.add(book, kinds.SITE, {"title": "Slate coast", "region": "Élan, 日本"})
    with book.reading() as desk:
        before = book_records(desk)
    path = planted(what)
    content = path.read_bytes()
    own = Book(tmp_path / "own.sqlite", book.now, create=True)
    import_document(own, read_export_or_book(path, book.now), path.name)
    with Book(own.path, book.now, create=False).reading() as desk:
        assert book_records(desk) == before
    assert path.read_bytes() == content


@pytest.mark.parametrize("what", ["a view in place of a table", "a virtual table in place of a table"])
def test_what_stands_in_place_of_a_table_is_refused_and_not_asked(
    planted: Callable[[str], Path], book: Book, what: str
) -> None:
    with pytest.raises(BookError, match="The table loose_line has been replaced"):
        read_export_or_book(planted(what), book.now)


def test_a_column_that_is_worked_out_is_not_asked(planted: Callable[[str], Path], book: Book) -> None:
    path = planted("a trigger")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("ALTER TABLE trip RENAME COLUMN summary TO kept")
        connection.execute("ALTER TABLE trip ADD COLUMN summary AS (length(hex(zeroblob(400000000))))")
        connection.commit()
    trip, *_ = read_export_or_book(path, book.now).records["trips"]
    assert trip.summary is None


@pytest.mark.parametrize("what", ["a trigger", "a view in place of a table"])
def test_a_planted_book_is_neither_restored_nor_merged(
    planted: Callable[[str], Path], tmp_path: Path, book: Book, what: str
) -> None:
    path = planted(what)
    own = Book(tmp_path / "own.sqlite", book.now, create=True)
    records.add(own, kinds.TRIP, {"title": "Mine"})
    before = own.path.read_bytes()
    for refused in (
        lambda: backups.restore(own.path, str(path), book.now),
        lambda: merge(own, path, PREFERRED["this"]),
    ):
        with pytest.raises(LogbookError, match="did not make"):
            refused()
    assert own.path.read_bytes() == before
