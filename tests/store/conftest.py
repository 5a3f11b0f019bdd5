"""What the tests of the store share: a clock that stands still, and books as real SQLite files."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from logbook.store.book import Book
from tests.store.older import older_book


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
    """A book of the first version."""
    return older_book(tmp_path / "old.sqlite", 1)
