"""What leads nowhere among changed records is what SQLite finds there when it looks at everything."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from logbook.domain.nouns import NOUNS
from logbook.store.book import Book
from logbook.store.changes.dangling import dangling, references
from logbook.store.engine import engine_for


def raw(path: Path, *statements: str) -> None:
    """Write past the program, with nothing that holds references."""
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def found_by_sqlite(path: Path) -> set[tuple[str, str, str]]:
    """Every reference that leads nowhere, by SQLite's own look at the whole book."""
    found = set()
    with closing(sqlite3.connect(path)) as connection:
        for table, rowid, _, key in connection.execute("PRAGMA foreign_key_check").fetchall():
            keys = {row[0]: row[3] for row in connection.execute(f"PRAGMA foreign_key_list({table})")}
            (record_id,) = connection.execute(f"SELECT id FROM {table} WHERE rowid = ?", (rowid,)).fetchone()
            found.add((table, record_id, keys[key]))
    return found


def ids(path: Path) -> dict[str, list[str]]:
    """The ids of the records of each noun."""
    with closing(sqlite3.connect(path)) as connection:
        return {name: [row[0] for row in connection.execute(f"SELECT id FROM {name}")] for name in NOUNS}


def test_every_foreign_key_of_the_book_is_among_the_references(book: Book) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        keys = {
            (name, row[3], row[2])
            for name in NOUNS
            for row in connection.execute(f"PRAGMA foreign_key_list({name})")
        }
    assert set(references()) == keys


@pytest.mark.parametrize("gone", ["trip", "site", "viewpoint", "shot", "keeper", "visit", "kit"])
def test_what_leads_nowhere_is_found_from_either_end(demo: Path, tmp_path: Path, gone: str) -> None:
    path = Path(shutil.copy(demo / "book.sqlite", tmp_path))
    lost = {gone: ids(path)[gone]}
    raw(path, f"DELETE FROM {gone}")
    expected = found_by_sqlite(path)
    with engine_for(path).connect() as connection:
        assert dangling(connection, lost) == expected
        assert dangling(connection, ids(path)) == expected
        assert dangling(connection, {}) == frozenset()
