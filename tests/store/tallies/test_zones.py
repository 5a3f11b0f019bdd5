"""What is kept of the zones at places is what the boundaries say, and nobody who reads needs these."""

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from logbook.domain.place_clock import zones_in_boundaries
from logbook.domain.position import Position
from logbook.services.kinds import SITE
from logbook.services.records import put_new
from logbook.store.book import Book
from logbook.store.tallies.zones import kept

QUAY, DISPUTED, FAR = Position(37.21, -7.30), Position(43.8, 87.6), Position(-36.9, 174.8)


def add_site(book: Book, title: str, *places: Position) -> None:
    with book.writing() as desk:
        for one in places:
            at = {"latitude_deg": one.latitude_deg, "longitude_deg": one.longitude_deg}
            put_new(desk, SITE, book.now(), {"title": title, **at})


def rows(path: Path) -> list[tuple[float, float, str, str]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT * FROM search_zones ORDER BY latitude_deg").fetchall()


def change(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(statement)
        connection.commit()


def test_a_new_place_is_kept_with_every_zone_that_lies_there(book: Book) -> None:
    add_site(book, "quay", QUAY)
    add_site(book, "oasis", DISPUTED)
    assert [(*row[:2], row[3]) for row in rows(book.path)] == [
        (37.21, -7.30, "Europe/Madrid"),
        (43.8, 87.6, "Asia/Shanghai Asia/Urumqi"),
    ]


def test_coordinates_are_found_again_with_all_their_digits(book: Book) -> None:
    chance = Random(7)
    places = [Position(chance.uniform(-90, 90), chance.uniform(-180, 180)) for _ in range(900)]
    add_site(book, "Anywhere", *places)
    with book.reading() as desk:
        found = kept(desk.connection.connection.cursor(), (*places, FAR))
    assert found == {one: zones_in_boundaries(one) for one in places}


def test_what_older_boundaries_said_is_replaced_when_a_new_place_comes(book: Book) -> None:
    add_site(book, "quay", QUAY)
    change(book.path, "UPDATE search_zones SET boundaries = '1999z', zones = 'Etc/GMT'")
    add_site(book, "bay", FAR)
    assert [row[3] for row in rows(book.path)] == ["Pacific/Auckland", "Europe/Madrid"]


def test_a_row_that_the_boundaries_contradict_is_found_and_rebuilt(book: Book) -> None:
    add_site(book, "quay", QUAY)
    change(book.path, "UPDATE search_zones SET zones = 'Etc/GMT'")
    with book.writing() as desk:
        assert desk.index.differences().tallies == 1
        desk.index.rebuild()
        assert desk.index.differences().in_step
    assert rows(book.path)[0][3] == "Europe/Madrid"


def test_a_place_off_the_globe_stops_nobody_who_writes(book: Book) -> None:
    add_site(book, "quay", QUAY)
    change(book.path, "UPDATE site SET latitude_deg = 137.0")
    add_site(book, "bay", FAR)
    assert [row[3] for row in rows(book.path)] == ["Pacific/Auckland", "Europe/Madrid"]


@pytest.mark.slow
@pytest.mark.parametrize("line", [("shot", "list"), ("light", "quarry-ledge", "--on", "2031-10-14")])
def test_reading_a_books_light_reads_no_boundaries(sample_book: Path, line: tuple[str, ...]) -> None:
    program = (
        "import sys; from logbook.faces.main import status_of; status = status_of(sys.argv[1:]);"
        " print('LOADED', 'tzfpy' in sys.modules, status)"
    )
    done = subprocess.run(
        (sys.executable, "-c", program, "--book", str(sample_book), *line),
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "LOADED False 0"
