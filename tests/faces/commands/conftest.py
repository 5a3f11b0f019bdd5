"""Sample books of a test's own, and windows that are closed in the end."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.commands.windows import Opened, Window, open_window
from tests.once import copied_book


@pytest.fixture
def book_path(sample_book: Path, tmp_path: Path) -> Path:
    """A copy of the sample book of this test's own."""
    return copied_book(sample_book, tmp_path / "book.sqlite")


@pytest.fixture
def opened() -> Iterator[Opened]:
    """Open a window on a book."""
    windows: list[Window] = []

    def start(path: Path, trip: str) -> Window:
        windows.append(open_window(path, trip))
        return windows[-1]

    yield start
    for window in windows:
        window.child.close(force=True)
