"""A file is looked through when something else has touched it, and not each time."""

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.services.books.checks import check_book
from logbook.store.book import Book
from logbook.store.proven import Proven, note, proven_of

Clock = Callable[[], datetime]


def changed_letter(path: Path, *, unnoticed: bool) -> None:
    before = path.stat()
    content = path.read_bytes()
    at = content.index(b"Valley of larches")
    path.write_bytes(content[:at] + b"W" + content[at + 1 :])
    if unnoticed:
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


@pytest.fixture
def path(book: Book, now: Clock) -> Path:
    """A book with a trip."""
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley of larches"))
    return book.path


def test_what_this_program_left_is_not_looked_through_again(path: Path, now: Clock) -> None:
    assert proven_of(path) == Proven(records=True, index=True, tallies=True)
    changed_letter(path, unnoticed=True)  # as a disk does it, without the system's knowing
    opened = Book(path, now, create=False)
    assert [one.where for one in check_book(opened).wrong] == ["trip"]
    with pytest.raises(BookError, match="changed from outside"):
        Book(path, now, create=False)


def test_what_something_else_touched_is_looked_through(path: Path, now: Clock) -> None:
    changed_letter(path, unnoticed=False)
    assert proven_of(path) == Proven()
    with pytest.raises(BookError, match="changed from outside"):
        Book(path, now, create=False)


def test_a_list_that_is_spoilt_or_cannot_be_written_only_costs_another_look(
    path: Path, now: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for spoilt in ("{", "[]", '{"x": 1}'):
        monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
        (tmp_path / "cache" / "logbook").mkdir(parents=True, exist_ok=True)
        (tmp_path / "cache" / "logbook" / "sound-books.json").write_text(spoilt)
        assert proven_of(path) == Proven()
        Book(path, now, create=False)
        assert proven_of(path).records
    monkeypatch.setenv("XDG_CACHE_HOME", str(path))
    note(path, Proven(records=True))
    assert proven_of(path) == Proven()
    Book(path, now, create=False)
