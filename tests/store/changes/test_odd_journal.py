"""A journal that no program of ours wrote: nothing in it is run, and it stops nobody from writing."""

import sqlite3
from contextlib import closing

import pytest

from logbook.domain.errors import LogbookError
from logbook.services import kinds, records
from logbook.services.books import undo
from logbook.services.books.checks import check_book, repair_book
from logbook.store import backups
from logbook.store.book import Book
from tests.examples import first

ODD = {
    "a table with words behind it": "UPDATE change_row SET table_name = 'trip WHERE 1 = 1 OR id'",
    "another table": "UPDATE change_row SET table_name = 'sqlite_master'",
    "another verb": "UPDATE change_row SET verb = 'blessed'",
    "a column that is not there": "UPDATE change_value SET name = 'x\" = 1, \"title' WHERE name = 'title'",
    "an end that is a word": "UPDATE change SET upto = 'soon'",
    "an end before the one before": "UPDATE change SET upto = -1 WHERE id > 1",
    "a moment that is none": "UPDATE change SET at = 'yesterday'",
    "a moment without a zone": "UPDATE change SET at = '2031-01-01'",
    "marks that are no JSON": "UPDATE change SET taken_in = '{'",
    "marks of another table": 'UPDATE change SET taken_in = \'{"trip": [0, 9], "site": [0, 9]}\'',
    "marks that are a list": "UPDATE change SET taken_in = '[1]'",
    "a removed row without its number": "DELETE FROM change_value WHERE name = 'rowid'",
}


@pytest.fixture
def told(book: Book) -> Book:
    """A book with two trips, one changed and one removed."""
    for title in ("Valley", "Ridge", "Coast"):
        records.add(anew(book), kinds.TRIP, {"title": title})
    records.edit(anew(book), kinds.TRIP, "valley", {"title": "High valley"})
    records.remove(anew(book), kinds.TRIP, "ridge", with_dependents=False)
    return anew(book)


def anew(book: Book) -> Book:
    """Open a book as another command does."""
    return Book(book.path, book.now, create=False)


def tamper(book: Book, statement: str) -> None:
    with closing(sqlite3.connect(book.path)) as other:
        other.execute(statement)
        other.commit()


def titles(book: Book) -> list[str]:
    with book.reading() as desk:
        return [one.title for one in desk.trips.all()]


@pytest.mark.parametrize("what", first(ODD, 3))
def test_nothing_of_an_odd_journal_is_run(told: Book, what: str) -> None:
    tamper(told, ODD[what])
    before = titles(told)
    with pytest.raises(LogbookError, match=r"not written by this program|nothing to undo") as refused:
        undo.undo(anew(told))
    assert len(str(refused.value).splitlines()) == 1
    assert titles(told) == before


@pytest.mark.slow
@pytest.mark.parametrize("what", ODD)
def test_a_book_with_an_odd_journal_is_written_to_and_repaired(told: Book, what: str) -> None:
    tamper(told, ODD[what])
    records.add(told, kinds.TRIP, {"title": "Dune"})
    repaired = repair_book(told, check_book(told))
    assert not repaired.after.wrong
    assert titles(told) == ["High valley", "Coast", "Dune"]
    records.add(anew(told), kinds.TRIP, {"title": "Moor"})
    undo.undo(anew(told))
    assert titles(told) == ["High valley", "Coast", "Dune"]


def test_an_undo_that_fails_leaves_no_backup(told: Book) -> None:
    tamper(told, "DELETE FROM trip WHERE slug = 'valley'")
    tamper(told, "DELETE FROM change_row WHERE seq = (SELECT max(seq) FROM change_row)")
    tamper(told, "INSERT INTO change_row (verb, table_name, row_id) VALUES ('added', 'trip', 'nowhere')")
    with pytest.raises(LogbookError, match="no longer matches"):
        undo.undo(told)
    assert backups.listed(told.path) == ()
