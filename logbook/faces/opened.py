"""Which book is meant, and opening it.

One surprising decision: `--book` may stand before or after the command; a context variable carries an early
one.
"""

import os
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.faces.terminal import say

if TYPE_CHECKING:
    from logbook.store.book import Book

VARIABLE = "LOGBOOK_BOOK"
chosen: ContextVar[Path | None] = ContextVar("chosen", default=None)


def utc_now() -> datetime:
    """Return the present instant; the one place where the program looks at a clock."""
    return datetime.now(UTC)


def book_path(given: Path | None) -> Path:
    """Return the book's file: the option, else the environment variable, else the user's data folder."""
    named = given or chosen.get() or os.environ.get(VARIABLE)
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_path

    return user_data_path("logbook", appauthor=False) / "book.sqlite"


def open_book(given: Path | None, *, create: bool = False) -> "Book":
    """Open the book that is meant; `create` allows a new one where none is."""
    from logbook.store.book import Book

    path = book_path(given)
    if create and not (given or chosen.get() or os.environ.get(VARIABLE)):
        path.parent.mkdir(parents=True, exist_ok=True)
    book = Book(path, utc_now, create=create)
    if book.copy_made:
        say(f"The book was brought up to date; as it was before, it lies in {book.copy_made}.")
    return book
