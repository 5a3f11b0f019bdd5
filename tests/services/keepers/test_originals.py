"""How an original stands to its record, and what is remembered of it."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from logbook.domain.errors import BookError
from logbook.domain.keeper import Keeper, KnownFile
from logbook.intake.pictures import READER
from logbook.intake.plain_files import state_of
from logbook.services.keepers import originals
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.originals import Standing, look_at, survey
from logbook.store.book import Book

Picture = Callable[..., Path]


def held(book: Book) -> list[Keeper]:
    with book.reading() as desk:
        return desk.keepers.all()


def known(book: Book) -> dict[str, KnownFile]:
    with book.reading() as desk:
        return desk.known_files.of(one.path for one in desk.keepers.all())


def standings(book: Book) -> set[Standing]:
    return {one.standing for one in survey(book, held(book)).values()}


def test_an_import_knows_what_it_read(book: Book, keepers: Path) -> None:
    files = known(book)
    assert len(files) == 8
    for one in held(book):
        assert files[one.path] == KnownFile(one.path, one.hash, state_of(Path(one.path).stat()), READER)


def test_what_is_known_is_not_read_again(book: Book, keepers: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(originals, "open_plain", lambda _path: pytest.fail("it was read"))
    assert standings(book) == {Standing.HERE}


def test_a_copy_by_the_same_name_is_read_once(book: Book, keepers: Path) -> None:
    for path in keepers.iterdir():
        content = path.read_bytes()
        path.unlink()
        path.write_bytes(content)
    before = known(book)
    assert standings(book) == {Standing.HERE}
    after = known(book)
    assert all(before[path].state != after[path].state for path in before)


def test_a_book_from_another_computer_knows_nothing(book: Book, keepers: Path) -> None:
    """Its states fit no file here, so that all is read; and what differs is seen, whatever it claims."""
    one = held(book)[0]
    path = Path(one.path)
    claimed = KnownFile(one.path, one.hash, state_of(path.stat()))
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    assert look_at(one.path, one.hash, one.size_bytes, claimed).standing is Standing.CHANGED


def test_a_file_that_is_known_as_something_else_is_not_read_either(
    book: Book, keepers: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = held(book)[0]
    monkeypatch.setattr(originals, "open_plain", lambda _path: pytest.fail("it was read"))
    assert look_at(one.path, "f" * 64, None, known(book)[one.path]).standing is Standing.CHANGED


def instead(make: Callable[[Path], object]) -> Callable[[Path], object]:
    """What puts something else where a file is."""

    def put(path: Path) -> None:
        path.unlink()
        make(path)

    return put


@pytest.mark.parametrize(
    ("harm", "standing"),
    [
        (Path.unlink, Standing.MISSING),
        (lambda path: path.write_bytes(b"short"), Standing.CHANGED),
        (instead(Path.mkdir), Standing.CHANGED),
        (instead(os.mkfifo), Standing.CHANGED),
        (instead(lambda path: path.symlink_to("/dev/zero")), Standing.CHANGED),
        (instead(lambda path: path.symlink_to(path)), Standing.UNREADABLE),
    ],
)
def test_what_became_of_a_file_is_told(
    book: Book, keepers: Path, harm: Callable[[Path], object], standing: Standing
) -> None:
    one = held(book)[0]
    harm(Path(one.path))
    looked = survey(book, [one])[one.id]
    assert looked.standing is standing
    assert looked.why


def test_a_path_that_no_file_can_have_is_missing() -> None:
    assert look_at("a\0b", "0" * 64).standing is Standing.MISSING


def test_a_book_that_cannot_be_written_is_still_looked_at(
    book: Book, keepers: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute("DELETE FROM known_file")
        connection.commit()

    def refused(_self: Book) -> None:
        raise BookError("read-only")

    monkeypatch.setattr(Book, "writing", refused)
    assert standings(book) == {Standing.HERE}
    assert known(book) == {}


def test_knowing_files_is_no_change_of_the_book(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "a" / "A.JPG")
    take_in(book, tmp_path / "a", trip=None)
    with book.reading() as desk:
        before = desk.journal.all()
    (tmp_path / "a" / "A.JPG").chmod(0o600)  # another state of the same content
    assert standings(book) == {Standing.HERE}
    take_in(book, tmp_path / "a", trip=None)
    with book.reading() as desk:
        assert desk.journal.all() == before
