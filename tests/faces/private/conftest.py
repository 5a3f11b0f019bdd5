"""Private pages served on a real port, and a visitor who asks them like a browser, or unlike one."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import pytest

from logbook.faces.private import serving
from logbook.faces.private.serving import PrivatePages
from logbook.faces.resources import resource
from tests.faces.private.visitor import Visitor
from tests.once import copied_book

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture
def book_path(sample_book: Path, tmp_path: Path) -> Path:
    """A copy of the sample trip with no day written down yet."""
    return copied_book(sample_book, tmp_path / "book.sqlite")


def served(book: Path, cache: Path) -> Iterator[PrivatePages]:
    """Serve a book's pages until the test is over."""
    pages = PrivatePages(book, lambda: datetime.now(UTC), resource("templates"), cache)
    thread = Thread(target=pages.serve, daemon=True)
    thread.start()
    yield pages
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(serving, "LAST_ANSWER_S", 0)  # nobody waits for an answer any more
        pages.close()
        thread.join(10)
    assert not thread.is_alive(), "closing ends the server"


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    """Where small pictures are kept: nowhere yet."""
    return tmp_path / "cache"


@pytest.fixture
def shared_cache(tmp_path: Path, shared: Path) -> Path:
    """Where small pictures are kept that other tests of the same pictures have made."""
    made = shared / "small-pictures"
    made.mkdir(exist_ok=True)
    (tmp_path / "cache").symlink_to(made)
    return tmp_path / "cache"


@pytest.fixture
def pages(book_path: Path, cache: Path) -> Iterator[PrivatePages]:
    """The book's pages, served."""
    yield from served(book_path, cache)


@pytest.fixture
def visitor(pages: PrivatePages) -> Visitor:
    """Whoever opened the printed address first."""
    visitor = Visitor(pages.port)
    visitor.come_in(pages.address())
    return visitor


@pytest.fixture
def page(pages: PrivatePages, browser: "Browser") -> Iterator["Page"]:
    """A page that came in by the printed address; a fault of ours in the console fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.goto(pages.address())
    yield page
    context.close()
    assert [one for one in faults if "status of 422" not in one] == []
