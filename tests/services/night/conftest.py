"""Books for nights: the sample trip with plan, pictures and track, and no day written down yet."""

from collections.abc import Callable
from pathlib import Path

import pytest

from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.once import copied_book
from tests.services.night.sittings import TRIP, Dump, Sitting, dump_of, now


@pytest.fixture
def book(sample_book: Path, tmp_path: Path) -> Book:
    """A copy of this test's own."""
    return Book(copied_book(sample_book, tmp_path / "book.sqlite"), now, create=False)


@pytest.fixture
def sitting(book: Book) -> Sitting:
    """A session on the sample's last day that has not begun."""
    trip, day = day_to_write(book, TRIP, None)
    return Sitting(Night(book, trip, day))


@pytest.fixture
def dump(book: Book) -> Callable[..., Dump]:
    """Every row of the book but those of some tables."""
    return lambda *without: dump_of(book.path, *without)
