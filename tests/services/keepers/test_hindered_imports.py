"""What hinders an import is said, the rest is taken in: files that vanish, cards, rights, odd names."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from logbook.services.keepers import picture_files
from logbook.services.keepers.importing import TakenIn, take_in
from logbook.services.keepers.picture_files import ReadFile, real_path, shown_path
from logbook.store.book import Book
from tests.services.keepers.frames import the_keeper

Picture = Callable[..., Path]


def test_a_file_that_vanishes_is_refused_and_the_rest_is_taken(
    book: Book, tmp_path: Path, picture: Picture, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "card"
    for look, name in enumerate("ABC"):
        picture(folder / f"{name}.JPG", look=look, taken=f"2031:10:14 17:0{look}:00")
    real = picture_files.read_file

    def read(path: Path, sidecars: tuple[Path, ...] = ()) -> ReadFile:
        if path.name == "B.JPG":
            path.unlink()
        return real(path, sidecars)

    monkeypatch.setattr("logbook.services.keepers.importing.read_file", read)
    done = take_in(book, folder, trip=None)
    assert (done.added, len(done.refused)) == (2, 1)
    assert "cannot be read" in done.refused[0].reason


@pytest.mark.slow
def test_a_card_that_is_taken_out_ends_the_import_in_one_sentence_and_again_completes_it(
    book: Book, tmp_path: Path, picture: Picture, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "card"
    for look in range(200):
        picture(
            folder / f"A_{look:03}.JPG", look=look, taken=f"2031:10:14 {10 + look // 60}:{look % 60:02}:00"
        )
    real = picture_files.read_file

    def read(path: Path, sidecars: tuple[Path, ...] = ()) -> ReadFile:
        if path.name == "A_040.JPG":
            folder.rename(tmp_path / "out")
        return real(path, sidecars)

    monkeypatch.setattr("logbook.services.keepers.importing.read_file", read)
    done = take_in(book, folder, trip=None)
    assert done.added == 40
    assert len(done.refused) == 24 + 64 + 1  # the rest of two batches, and one sentence for all others
    assert "72 more were not read" in done.refused[-1].reason
    monkeypatch.undo()
    (tmp_path / "out").rename(folder)
    assert take_in(book, folder, trip=None) == TakenIn(160, 40, 0, ())


def test_a_folder_that_may_not_be_listed_is_refused_and_the_rest_is_taken(
    book: Book, tmp_path: Path, picture: Picture, monkeypatch: pytest.MonkeyPatch
) -> None:
    picture(tmp_path / "card" / "one" / "A.JPG")
    (tmp_path / "card" / "two").mkdir()
    real = os.scandir

    def scandir(path: Any) -> Any:
        if Path(path).name == "two":
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr("logbook.intake.pictures.os.scandir", scandir)
    done = take_in(book, tmp_path / "card", trip=None, recursive=True)
    assert done.added == 1
    assert "Permission denied" in done.refused[0].reason


def test_a_name_that_is_not_utf_8_is_taken_in_and_found_again(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    name = os.fsdecode(b"br\xfccke_1.jpg")
    path = picture(tmp_path / "card" / "a.jpg").rename(tmp_path / "card" / name)
    assert take_in(book, path.parent, trip=None) == TakenIn(1, 0, 0, ())
    assert the_keeper(book).file == "br\\xfccke_1.jpg"
    assert real_path(the_keeper(book).path) == path
    assert take_in(book, path.parent, trip=None) == TakenIn(0, 1, 0, ())


def test_a_path_is_shown_as_text_and_found_again(tmp_path: Path) -> None:
    for name in (
        b"a.jpg",
        "brücke.jpg".encode(),
        b"br\xfccke.jpg",
        "brü\\x41".encode(),
        b"\xff\xfe\\u00e4.jpg",
    ):
        path = tmp_path / os.fsdecode(name)
        path.touch()
        assert real_path(shown_path(path)) == path
