"""Which book is meant, and opening it.

One surprising decision: `--book` may stand before or after the command; a context variable carries an early
one.
"""

import os
import shlex
from collections.abc import Sequence
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from textwrap import shorten
from typing import TYPE_CHECKING

from logbook.faces.terminal import clean, say

if TYPE_CHECKING:
    from logbook.store.book import Book
    from logbook.store.changes.journal import Run

VARIABLE = "LOGBOOK_BOOK"
LONGEST_COMMAND = 200  # characters of a command that the book remembers
chosen: ContextVar[Path | None] = ContextVar("chosen", default=None)
_opened: list["Book"] = []  # of this run
_run: ContextVar[tuple[str, str] | None] = ContextVar("run", default=None)


def begin_run(arguments: Sequence[str]) -> None:
    """Note what was typed, so that the book can say later what changed it; its own path is left out."""
    _opened.clear()
    words: list[str] = []
    rest = iter(arguments)
    for word in rest:
        if word == "--book":
            next(rest, None)
        elif not word.startswith("--book="):
            words.append(word)
    typed = shlex.join(words).encode("utf-8", "backslashreplace").decode()  # names need not be UTF-8
    _run.set((os.urandom(16).hex(), shorten(clean(typed), LONGEST_COMMAND, placeholder=" …")))


def this_run() -> "Run | None":
    """Return the run of the program, once it has begun."""
    from logbook.store.changes.journal import Run

    begun = _run.get()
    return Run(*begun) if begun else None


def was_changed() -> bool:
    """Whether this run changed a book, whatever became of it afterwards."""
    return any(book.has_changed for book in _opened)


def say_without_index() -> None:
    """Say where a book that this run changed goes on without what find asks."""
    if any(book.has_changed and book.index_is_damaged for book in _opened):
        say('The search index was damaged and has been set aside; "logbook check --repair" rebuilds it.')


def let_go() -> None:
    """Keep no book open that was opened and not yet read: the program ends, or waits for a person."""
    for book in _opened:
        book.let_go()


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


def open_book(given: Path | None, *, create: bool = False, even_damaged: bool = False) -> "Book":
    """Open the book that is meant; `create` allows a new one where none is."""
    from logbook.store.book import Book
    from logbook.store.connections import Sharing
    from logbook.store.rights import make_folder

    path = book_path(given)
    if create and not (given or chosen.get() or os.environ.get(VARIABLE)):
        make_folder(path.parent)
    book = Book(
        path,
        utc_now,
        create=create,
        run=this_run(),
        even_damaged=even_damaged,
        sharing=Sharing.OPENING,
    )
    _opened.append(book)
    if book.copy_made:
        say(f"The book was brought up to date; the book as it was before is in {book.copy_made}.")
    return book
