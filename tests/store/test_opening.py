"""What lies beside a book is looked at before it is opened."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from logbook.domain.errors import BookError
from logbook.store.opening import SUFFIXES, check_beside


@contextmanager
def tidied_away_again_and_again(file: Path) -> Iterator[None]:
    """Somebody who makes a file and takes it away, as SQLite does with its journals."""
    is_over = Event()

    def tidy() -> None:
        while not is_over.is_set():
            file.touch()
            file.unlink()

    thread = Thread(target=tidy)
    thread.start()
    try:
        yield
    finally:
        is_over.set()
        thread.join()


@pytest.mark.slow
def test_a_journal_that_another_window_tidies_away_meanwhile_is_ours(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    with tidied_away_again_and_again(tmp_path / "book.sqlite-wal"):
        for _ in range(200_000):
            check_beside(book)


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_a_folder_or_a_link_beside_a_book_is_refused(tmp_path: Path, suffix: str) -> None:
    book, beside = tmp_path / "book.sqlite", tmp_path / f"book.sqlite{suffix}"
    beside.mkdir()
    with pytest.raises(BookError, match="does not belong to the book"):
        check_beside(book)
    beside.rmdir()
    beside.symlink_to(tmp_path / "elsewhere")
    with pytest.raises(BookError, match="does not belong to the book"):
        check_beside(book)
