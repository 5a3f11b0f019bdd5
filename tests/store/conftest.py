"""What the tests of the store share: a clock that stands still, and books as real SQLite files."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from logbook.store.book import Book
from logbook.store.engine import APPLICATION_ID


@pytest.fixture
def now() -> Callable[[], datetime]:
    """A clock that stands still."""
    return lambda: datetime(2031, 10, 14, 18, 45, 7, 123456, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path, now: Callable[[], datetime]) -> Book:
    """A fresh book."""
    return Book(tmp_path / "book.sqlite", now, create=True)


@pytest.fixture
def book_behind(tmp_path: Path) -> Path:
    """A book from before the first revision: marked as ours, with nothing in it but Alembic's own table."""
    path = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL PRIMARY KEY)")
        connection.commit()
    return path
