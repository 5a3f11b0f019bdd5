"""A frame whose files moved is found again, its sidecar and raw file with it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from logbook.services.keepers.importing import TakenIn, take_in
from logbook.store.book import Book
from tests.services.keepers.frames import names, raw, sidecar, the_keeper

Picture = Callable[..., Path]
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def test_a_raw_file_that_moved_is_found_again(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    raw(tmp_path / "card" / "IMG_0412.CR2")
    take_in(book, tmp_path / "card", trip=None)
    (tmp_path / "raw").mkdir()
    (tmp_path / "card" / "IMG_0412.CR2").rename(tmp_path / "raw" / "IMG_0412.CR2")
    assert take_in(book, tmp_path / "raw", trip=None) == TakenIn(0, 0, 1, ())
    (companion,) = the_keeper(book).companions
    assert companion.path == str(tmp_path / "raw" / "IMG_0412.CR2")


def move(folder: Path, into: Path) -> None:
    """Move all files of a folder into another."""
    into.mkdir()
    for file in list(folder.iterdir()):
        file.rename(into / file.name)


def test_a_picture_that_moved_together_with_its_sidecar_is_found_with_it(
    book: Book, tmp_path: Path, picture: Picture, dump: Dump
) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    sidecar(tmp_path / "card" / "IMG_0412.xmp", rating=4)
    take_in(book, tmp_path / "card", trip=None)
    move(tmp_path / "card", tmp_path / "home")
    assert take_in(book, tmp_path / "home", trip=None) == TakenIn(0, 0, 1, ())
    after = the_keeper(book)
    assert after.path == str(tmp_path / "home" / "IMG_0412.JPG")
    assert [one.path for one in after.companions] == [str(tmp_path / "home" / "IMG_0412.xmp")]
    assert after.rating == 4
    before = dump()
    assert take_in(book, tmp_path / "home", trip=None) == TakenIn(0, 1, 0, ())
    assert dump() == before


def test_a_sidecar_that_was_edited_and_moved_with_its_picture_takes_the_place_of_the_old_one(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    sidecar(tmp_path / "card" / "IMG_0412.xmp", rating=4)
    take_in(book, tmp_path / "card", trip=None)
    move(tmp_path / "card", tmp_path / "home")
    sidecar(tmp_path / "home" / "IMG_0412.xmp", rating=2)
    assert take_in(book, tmp_path / "home", trip=None).updated == 1
    after = the_keeper(book)
    assert (after.path, after.rating) == (str(tmp_path / "home" / "IMG_0412.JPG"), 2)
    assert [one.path for one in after.companions] == [str(tmp_path / "home" / "IMG_0412.xmp")]


def test_a_picture_renamed_together_with_its_sidecar_keeps_one(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    folder = tmp_path / "card"
    picture(folder / "IMG_0412.JPG")
    sidecar(folder / "IMG_0412.xmp", rating=4)
    take_in(book, folder, trip=None)
    for suffix in ("JPG", "xmp"):
        (folder / f"IMG_0412.{suffix}").rename(folder / f"opening.{suffix}")
    assert take_in(book, folder, trip=None) == TakenIn(0, 0, 1, ())
    assert (the_keeper(book).file, names(the_keeper(book))) == ("opening.JPG", ["opening.xmp"])


def test_a_raw_file_that_moved_together_with_its_jpeg_and_sidecar_is_found_with_them(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    raw(tmp_path / "card" / "IMG_0412.CR2")
    sidecar(tmp_path / "card" / "IMG_0412.xmp", rating=4)
    take_in(book, tmp_path / "card", trip=None)
    move(tmp_path / "card", tmp_path / "home")
    assert take_in(book, tmp_path / "home", trip=None) == TakenIn(0, 0, 2, ())
    after = the_keeper(book)
    home = tmp_path / "home"
    assert [after.path, *(one.path for one in after.companions)] == [
        str(home / name) for name in ("IMG_0412.JPG", "IMG_0412.CR2", "IMG_0412.xmp")
    ]
    assert take_in(book, home, trip=None) == TakenIn(0, 2, 0, ())


def test_a_sidecar_that_stayed_behind_is_kept(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    sidecar(tmp_path / "card" / "IMG_0412.xmp", rating=4)
    take_in(book, tmp_path / "card", trip=None)
    (tmp_path / "home").mkdir()
    (tmp_path / "card" / "IMG_0412.JPG").rename(tmp_path / "home" / "IMG_0412.JPG")
    sidecar(tmp_path / "home" / "IMG_0412.xmp", title="Bridge")
    take_in(book, tmp_path / "home", trip=None)
    after = the_keeper(book)
    assert after.path == str(tmp_path / "home" / "IMG_0412.JPG")
    assert {Path(one.path).parent.name for one in after.companions} == {"card", "home"}
