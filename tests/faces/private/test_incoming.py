"""Pictures taken in by the page."""

import shutil
from pathlib import Path

import pytest
from PIL import Image

from logbook.faces.private.serving import PrivatePages
from logbook.services.books.checks import check_book
from logbook.services.keepers.importing import BATCH
from logbook.store.book import Book
from tests.faces.private.conftest import served
from tests.faces.private.visitor import Visitor, plain, until
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/import"
MANY = 12 * BATCH  # pictures, so that closing the book meets the import under way
PICTURES = Path("sample_trip/high-valley-autumn/pictures").resolve()


def taken_in(visitor: Visitor, folder: Path, **fields: str) -> str:
    """Take a folder in by the page; what the page says in the end."""
    answer = visitor.send(PAGE, folder=str(folder), **fields)
    assert answer.status == 303, plain(answer)
    until(lambda: "data-working" not in visitor.ask(PAGE).text)
    return plain(visitor.ask(PAGE))


def count(book: Path) -> int:
    """How many keepers there are."""
    with Book(book, now, create=False).reading() as desk:
        return len(desk.keepers.all())


@pytest.fixture
def emptied(book_path: Path) -> Path:
    """The book without its pictures."""
    with Book(book_path, now, create=False).writing() as desk:
        desk.keepers.remove(one.id for one in desk.keepers.all())
    return book_path


@pytest.mark.slow
def test_a_folder_comes_in_again_is_harmless_and_undone_as_one(visitor: Visitor, emptied: Path) -> None:
    folder = emptied.parent / "card"
    folder.mkdir()
    chosen = sorted(PICTURES.glob("*.JPG"))[:4] or sorted(PICTURES.iterdir())[:4]
    for path in chosen:
        shutil.copy(path, folder)
    (folder / "broken.jpg").write_bytes(b"no picture")
    said = taken_in(visitor, folder)
    assert "4 added, 1 refused." in said
    assert "1 refused" in said
    assert "broken.jpg" in said
    assert count(emptied) == 4
    before = dump_of(emptied)
    assert "4 already known, 1 refused." in taken_in(visitor, folder)
    assert dump_of(emptied) == before
    visitor.send("/undo")
    assert count(emptied) == 0


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"folder": ""}, "Enter the path of the folder first."),
        ({"folder": "pictures"}, "is not a full path"),
        ({"folder": "/tmp", "zone": "Nowhere/Land"}, "Nowhere/Land"),
        ({"folder": "/tmp", "clock": "quite"}, "quite"),
    ],
)
def test_what_cannot_be_meant_begins_nothing_and_stays_in_the_form(
    visitor: Visitor, fields: dict[str, str], sentence: str
) -> None:
    answer = visitor.send(PAGE, **fields)
    assert (answer.status, sentence in plain(answer)) == (422, True)
    assert f'name="folder" value="{fields["folder"]}"' in answer.text


def test_a_folder_that_is_not_there_or_empty_is_one_sentence(visitor: Visitor, tmp_path: Path) -> None:
    assert "There is no folder" in taken_in(visitor, tmp_path / "none")
    (tmp_path / "nothing").mkdir()
    assert "There are no pictures in" in taken_in(visitor, tmp_path / "nothing")


@pytest.mark.slow
def test_a_book_closed_in_the_middle_of_it_keeps_what_came_in_and_goes_on(
    emptied: Path, pages: PrivatePages, visitor: Visitor, tmp_path: Path
) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    for number in range(MANY):
        with Image.new("RGB", (16 + number, 12), (99, 9, 9)) as drawn:
            drawn.save(folder / f"TRN_{number:04}.JPG")
    assert visitor.send(PAGE, folder=str(folder)).status == 303
    until(lambda: count(emptied) > 0)
    assert visitor.send("/close").status == 200
    until(lambda: not pages.workplace.jobs.is_at_work)
    came = count(emptied)
    assert 0 < came < MANY
    assert check_book(Book(emptied, now, create=False)).wrong == ()
    for again in served(emptied, tmp_path / "cache"):
        next_one = Visitor(again.port)
        next_one.come_in(again.address())
        assert f"{MANY - came} added, {came} already known" in taken_in(next_one, folder)
