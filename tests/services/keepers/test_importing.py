"""Importing again reads only what changed: files that are read are counted."""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from logbook.services.keepers import importing
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.picture_files import ReadFile, WantedMarks, read_file
from logbook.store.book import Book

SIDECAR = '<x:xmpmeta xmlns:x="adobe:ns:meta/"/>'


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the pictures that an import reads."""
    names: list[str] = []

    def noted(path: Path, sidecars: tuple[Path, ...] = ()) -> ReadFile:
        names.append(path.name)
        return read_file(path, sidecars)

    monkeypatch.setattr(importing, "read_file", noted)
    return names


def test_a_folder_imported_again_is_not_read(book: Book, keepers: Path, read: list[str]) -> None:
    again = take_in(book, keepers, trip=None)
    assert (again.known, again.added, again.updated) == (len(list(keepers.iterdir())), 0, 0)
    assert read == []


def rewritten(path: Path) -> None:
    """Another content of the same size, under the same instant of change."""
    before = path.stat()
    content = bytearray(path.read_bytes())
    content[-3] ^= 1
    path.write_bytes(content)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert (path.stat().st_size, path.stat().st_mtime_ns) == (before.st_size, before.st_mtime_ns)


def replaced(path: Path) -> None:
    """The same bytes in another file."""
    path.with_suffix(".new").write_bytes(path.read_bytes())
    path.with_suffix(".new").replace(path)


@pytest.mark.parametrize(
    "change",
    [
        lambda path: path.with_suffix(".xmp").write_text(SIDECAR),
        lambda path: path.write_bytes(path.read_bytes() + b"more"),
        lambda path: os.utime(path, ns=(0, 0)),
        rewritten,
        replaced,
    ],
    ids=["a sidecar came", "longer", "another time", "same size and time", "another file"],
)
def test_a_file_that_changed_in_any_way_is_read_and_no_other(
    book: Book, keepers: Path, read: list[str], change: Callable[[Path], object]
) -> None:
    change(keepers / "TRN_0414.JPG")
    take_in(book, keepers, trip=None)
    assert read == ["TRN_0414.JPG"]
    take_in(book, keepers, trip=None)
    assert read == ["TRN_0414.JPG"]


def test_a_sidecar_that_is_gone_or_changed_lets_its_picture_be_read(
    book: Book, keepers: Path, read: list[str]
) -> None:
    sidecar = keepers / "TRN_0414.xmp"
    sidecar.write_text(SIDECAR)
    take_in(book, keepers, trip=None)
    read.clear()
    sidecar.write_text(SIDECAR + "\n")
    take_in(book, keepers, trip=None)
    assert read == ["TRN_0414.JPG"]
    sidecar.unlink()
    take_in(book, keepers, trip=None)
    assert read == ["TRN_0414.JPG"] * 2


def test_a_better_reader_reads_every_file_once_more(
    book: Book, keepers: Path, read: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(importing, "READER", "a later one")
    take_in(book, keepers, trip=None)
    assert len(read) == len(list(keepers.iterdir()))


def test_marks_that_are_wanted_are_read_from_every_file(book: Book, keepers: Path, read: list[str]) -> None:
    take_in(book, keepers, trip=None, wanted=WantedMarks(rating=1))
    assert len(read) == len(list(keepers.iterdir()))


def test_what_was_only_compared_keeps_its_reader(book: Book, keepers: Path, read: list[str]) -> None:
    with book.writing() as desk:
        known = desk.known_files.of(one.path for one in desk.keepers.all())
        desk.known_files.note(replace(one, reader="") for one in known.values())
    with book.reading() as desk:
        assert desk.known_files.of(known) == known
    take_in(book, keepers, trip=None)
    assert read == []
