"""Pictures that were moved are found by their content, and no keeper becomes another one."""

import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from logbook.domain.errors import NotFoundError
from logbook.domain.keeper import Companion, Keeper
from logbook.services.books import checks
from logbook.services.keepers import locating
from logbook.services.keepers.locating import files_under
from logbook.store.book import Book

Picture = Callable[..., Path]


def held(book: Book) -> list[Keeper]:
    with book.reading() as desk:
        return desk.keepers.all()


@pytest.mark.slow
def test_moved_and_renamed_pictures_are_found(book: Book, keepers: Path, tmp_path: Path) -> None:
    before = held(book)
    elsewhere = tmp_path / "disk" / "2031"
    elsewhere.parent.mkdir()
    keepers.rename(elsewhere)
    (elsewhere / "TRN_0412.JPG").rename(elsewhere / "the silk bridge.jpg")
    done = locating.locate(book, [tmp_path / "disk"])
    assert (len(done.found), done.missing, done.unreadable) == (8, (), ())
    after = held(book)
    assert after[0].path == str(elsewhere / "the silk bridge.jpg")
    assert [replace(one, path="") for one in after] == [replace(one, path="") for one in before]
    assert checks.check_book(book, by_hash=True).wrong == ()
    assert locating.locate(book, [tmp_path / "disk"]).found == ()


def test_a_dry_run_only_tells(book: Book, keepers: Path, tmp_path: Path) -> None:
    keepers.rename(tmp_path / "moved")
    before = held(book)
    done = locating.locate(book, [tmp_path / "moved"], dry_run=True)
    assert (len(done.found), len(done.missing), done.dry_run) == (8, 0, True)
    assert held(book) == before


def test_a_file_of_the_same_size_and_name_is_not_taken_for_it(
    book: Book, keepers: Path, tmp_path: Path
) -> None:
    lost = keepers / "TRN_0412.JPG"
    content = bytearray(lost.read_bytes())
    lost.unlink()
    content[-1] ^= 1
    (tmp_path / "moved").mkdir()
    (tmp_path / "moved" / "TRN_0412.JPG").write_bytes(content)
    done = locating.locate(book, [tmp_path / "moved"])
    assert (done.found, done.missing) == ((), (str(lost),))


def test_only_files_of_a_wanted_size_are_read(
    book: Book, keepers: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from logbook.intake import pictures

    keepers.rename(tmp_path / "moved")
    for number in range(20):
        (tmp_path / "moved" / f"large-{number}.bin").write_bytes(b"x" * (100_000 + number))
    read: list[Path] = []
    whole = pictures.content_hash

    def noted(path: Path) -> str:
        read.append(path)
        return whole(path)

    monkeypatch.setattr(pictures, "content_hash", noted)
    assert len(locating.locate(book, [tmp_path / "moved"]).found) == 8
    assert not [path for path in read if path.suffix == ".bin"]


def test_links_in_a_circle_and_folders_nobody_may_read_do_not_stop_it(
    book: Book, keepers: Path, tmp_path: Path
) -> None:
    root = tmp_path / "disk"
    (root / "a" / "b").mkdir(parents=True)
    keepers.rename(root / "a" / "b" / "pictures")
    (root / "a" / "b" / "round").symlink_to(root)
    (root / "self").symlink_to(root / "self")
    (root / "nowhere").symlink_to(root / "gone")
    (root / "again").symlink_to(root / "a")
    (root / "shut").mkdir(mode=0)
    done = locating.locate(book, [root, root / "a"])
    (root / "shut").chmod(0o755)
    assert (len(done.found), done.missing) == (8, ())
    if os.geteuid():
        assert str(root / "shut") in done.unreadable


def test_every_folder_is_looked_into_once(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "x.jpg").touch()
    for number in range(20):
        (tmp_path / "a" / f"round-{number}").symlink_to(tmp_path)
    assert [path.name for path in files_under([tmp_path, tmp_path / "a"], [])] == ["x.jpg"]


def test_the_other_files_of_a_frame_are_found_too(book: Book, keepers: Path, tmp_path: Path) -> None:
    import hashlib

    raw = keepers / "TRN_0412.DNG"
    raw.write_bytes(b"raw")
    sidecar = keepers / "TRN_0412.xmp"
    sidecar.write_text("<x/>")
    also = (
        str(Companion(hashlib.sha256(b"raw").hexdigest(), str(raw))),
        str(Companion("0" * 64, str(sidecar))),  # an editor wrote it again since
    )
    with book.writing() as desk:
        desk.keepers.put(replace(desk.keepers.all(slug="trn-0412")[0], also=also))
    moved = tmp_path / "moved"
    keepers.rename(moved)
    done = locating.locate(book, [moved])
    assert (len(done.found), done.missing) == (10, ())
    assert [one.path for one in held(book)[0].companions] == [
        str(moved / "TRN_0412.DNG"),
        str(moved / "TRN_0412.xmp"),
    ]


@pytest.mark.slow
def test_a_place_is_no_new_version_and_so_no_conflict(book: Book, keepers: Path, tmp_path: Path) -> None:
    from logbook.domain.words import Support
    from logbook.services.books.merges import merge, undecided
    from logbook.services.keepers.keeping import note_keepers

    other = tmp_path / "other.sqlite"
    shutil.copyfile(book.path, other)
    theirs = Book(other, book.now, create=False)
    note_keepers(theirs, None, "0412", {"support": Support.TRIPOD})
    keepers.rename(tmp_path / "moved")
    locating.locate(book, [tmp_path / "moved"])
    done = merge(book, other, undecided)
    assert (done.undecided, len(done.differences), done.not_here) == ((), 1, 0)
    assert held(book)[0].path == str(tmp_path / "moved" / "TRN_0412.JPG")


def test_a_folder_that_is_not_there_is_told(book: Book, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="There is no folder"):
        locating.locate(book, [tmp_path / "nowhere"])


def test_a_picture_whose_name_is_no_utf_8_is_found(book: Book, keepers: Path, tmp_path: Path) -> None:
    moved = tmp_path / "moved"
    keepers.rename(moved)
    (moved / "TRN_0412.JPG").rename(os.fsdecode(os.fsencode(moved) + b"/caf\xe9.JPG"))
    assert len(locating.locate(book, [moved]).found) == 8
    assert checks.check_book(book, by_hash=True).wrong == ()
