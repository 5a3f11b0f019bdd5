"""What the tests of the verbs share: a stocked book, pictures as cameras write them, a look at every row."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import piexif
import pytest
from PIL import Image

from logbook.domain.words import KitKind
from logbook.services import kinds, records
from logbook.services.plans import outcomes, packing
from logbook.store.book import Book
from logbook.store.changes.objects import TABLES
from tests.once import Once, copied_book
from tests.services.past import Past, write_places
from tests.services.ticking import tick

Picture = Callable[..., Path]
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def ticking(from_s: int = 0) -> Callable[[], datetime]:
    """A clock that ticks at every look, begun so many seconds after six in the evening."""
    return tick(datetime(2031, 10, 14, 18, tzinfo=UTC) + timedelta(seconds=from_s))


@pytest.fixture(scope="session")
def valley(once: Once) -> Path:
    """The book of `valley_book`, made once."""
    return once("the-valley", lambda folder: valley_book(folder / "book.sqlite")) / "book.sqlite"


@pytest.fixture
def book(valley: Path, tmp_path: Path) -> Book:
    """A copy of the book of `valley_book`."""
    return Book(copied_book(valley, tmp_path / "book.sqlite"), ticking(600), create=False)


@pytest.fixture
def places(once: Once, tmp_path: Path) -> Past:
    """A book with four places and whatever a test lets happen there."""
    made = once("the-places-of-the-past", lambda folder: write_places(folder / "book.sqlite"))
    return Past(copied_book(made / "book.sqlite", tmp_path / "book.sqlite"))


def valley_book(path: Path) -> Book:
    """A book with a trip, a site, two viewpoints, two shots and a filter; its clock ticks at every look."""
    made = Book(path, ticking(), create=True)
    records.add(made, kinds.TRIP, {"title": "High valley", "zone": "Asia/Dushanbe"}, "valley")
    records.add(made, kinds.SITE, {"title": "Quarry"})
    records.add(made, kinds.VIEWPOINT, {"title": "Quarry ledge", "site": "quarry"})
    records.add(made, kinds.VIEWPOINT, {"title": "Dune crest", "site": "quarry"})
    outcomes.plan_shot(made, None, {"title": "Bridge flow", "viewpoint": "quarry-ledge"}, None)
    outcomes.plan_shot(made, None, {"title": "Bridge rough"}, None)
    packing.add_kit(made, {"title": "Polariser", "kind": KitKind.FILTER}, "pol", None, {})
    return made


@pytest.fixture
def dump(book: Book) -> Dump:
    """Return every row of every table of the book, as SQLite holds it."""

    def all_rows() -> dict[str, list[tuple[Any, ...]]]:
        with closing(sqlite3.connect(book.path)) as connection:
            names = connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table'"
                " AND name NOT LIKE 'search%' AND name NOT LIKE '%seal%'"  # derived
                " AND name NOT IN ('known_file', ?, ?, ?, ?, ?)",
                TABLES,  # the journal
            ).fetchall()
            return {
                name: connection.execute(f"SELECT * FROM '{name}' ORDER BY rowid").fetchall()
                for (name,) in names
            }

    return all_rows


@pytest.fixture
def picture() -> Picture:
    """Make a small JPEG as a camera writes one; `look` makes its content unlike that of others."""

    def make(
        path: Path,
        *,
        look: int = 0,
        taken: str | None = "2031:10:14 17:42:05",
        offset: str | None = None,
        gps: tuple[str, tuple[int, int, int]] | None = None,
    ) -> Path:
        exif: dict[int, Any] = {
            piexif.ExifIFD.ExposureTime: (1, 125),
            piexif.ExifIFD.FNumber: (8, 1),
            piexif.ExifIFD.ISOSpeedRatings: 200,
            piexif.ExifIFD.FocalLength: (24, 1),
        }
        if taken:
            exif[piexif.ExifIFD.DateTimeOriginal] = taken
        if offset:
            exif[piexif.ExifIFD.OffsetTimeOriginal] = offset
        where: dict[int, Any] = {}
        if gps:
            where[piexif.GPSIFD.GPSDateStamp] = gps[0]
            where[piexif.GPSIFD.GPSTimeStamp] = tuple((part, 1) for part in gps[1])
        first = {
            piexif.ImageIFD.Make: "Halvern",
            piexif.ImageIFD.Model: "Thistle",
            piexif.ImageIFD.ImageDescription: f"look {look}",
        }
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.new("RGB", (24, 16), (120, 140, 90)).save(
            path, "JPEG", exif=piexif.dump({"0th": first, "Exif": exif, "GPS": where})
        )
        return path

    return make


@pytest.fixture
def keepers(book: Book, tmp_path: Path, picture: Picture) -> Path:
    """Take in the pictures TRN_0412 to TRN_0419 and return their folder."""
    from logbook.services.keepers.importing import take_in

    folder = tmp_path / "pictures"
    for number in range(412, 420):
        picture(folder / f"TRN_{number:04}.JPG", look=number, taken=f"2031:10:14 17:{number - 400}:05")
    take_in(book, folder, trip=None)
    return folder
