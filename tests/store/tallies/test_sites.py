"""What is kept for comparing sites is what their records say, whatever was written before, and by whom."""

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import BookError
from logbook.domain.site_traits import LevelLine, PlaceLine, SpellLine, ViewLine
from logbook.services.alike import alike
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.tallies.keeping import Tallies
from tests.examples import examples
from tests.once import copied_book
from tests.store.tallies.changed import change_at_random
from tests.store.tallies.test_keeping import change_from_outside, opened, trips

__all__ = ["trips"]
LAST = date(2042, 1, 1)


@pytest.fixture
def book(trips: Path, tmp_path: Path) -> Book:
    return opened(copied_book(trips, tmp_path / "book.sqlite"))


def told(desk: Desk, *, whole: bool, last: date = LAST) -> dict[str, list[tuple[str, object]]]:
    tallies = Tallies(desk.connection, whole=whole)
    found = tallies.traits(desk.sites.ids(), last)
    return {site_id: list(values.items()) for site_id, values in found.items()}


def rows(path: Path) -> list[tuple[str, str | None, str | None]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT * FROM search_site_traits ORDER BY site_id").fetchall()


@pytest.mark.slow
@settings(max_examples=examples(0.1), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32))
def test_after_any_changes_the_traits_are_as_fresh_ones(
    trips: Path, seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    book = opened(copied_book(trips, tmp_path_factory.mktemp("changed") / "book.sqlite"))
    chance = Random(seed)
    for _ in range(3):
        with book.writing() as desk:
            change_at_random(desk.connection.exec_driver_sql, chance, 8)
            assert told(desk, whole=True) == told(desk, whole=False)
        with book.reading() as desk:
            assert told(desk, whole=True) == told(desk, whole=False)
            assert desk.tallies.are_in_step()
        assert len(rows(book.path)) == len({row[0] for row in rows(book.path)}) > 0


@pytest.mark.parametrize(
    ("change", "count"),
    [
        ("DELETE FROM condition WHERE kind = 'crowd'", None),
        ("DELETE FROM visit", None),
        ("UPDATE viewpoint SET facing_deg = 1 WHERE rowid = 1", 1),
        ("UPDATE site SET walk_min = 400 WHERE rowid = 1", 1),
        ("UPDATE site SET access = 'By boat alone.'", None),
        ("UPDATE trip SET zone = 'Asia/Tokyo' WHERE rowid = 1", None),
        ("UPDATE site SET notes = 'Seen again.'", 0),
        ("UPDATE keeper SET caption = 'Late light'", 0),
        ("UPDATE visit SET tries = 4", 0),
    ],
)
def test_a_change_concerns_the_sites_that_it_tells_something_of(
    book: Book, change: str, count: int | None
) -> None:
    before = rows(book.path)
    change_from_outside(book.path, "PRAGMA foreign_keys = OFF")
    change_from_outside(book.path, change)
    gone = len(before) - len(rows(book.path))
    assert gone > 0 if count is None else gone == count
    with book.reading() as desk:
        assert told(desk, whole=True) == told(desk, whole=False)


READ = [  # whatever traits are made of
    *(("site", name) for name in PlaceLine._fields if name != "id"),
    *(("viewpoint", name) for name in ("site_id", *ViewLine._fields) if name != "id"),
    *(("condition", name) for name in ("site_id", "viewpoint_id", *LevelLine._fields)),
    *(
        ("visit", name)
        for name in ("trip_id", *SpellLine._fields)
        if name not in ("trip_zone", "day_ends_at", "day_zone")
    ),
    ("trip", "zone"),
    ("trip", "day_ends_at"),
]


def test_every_value_that_is_read_drops_the_row_of_its_site_when_it_changes(book: Book) -> None:
    kept = len(rows(book.path))
    with closing(sqlite3.connect(book.path)) as connection:
        for table, name in READ:
            (row,) = connection.execute(f"SELECT min(rowid) FROM {table}").fetchone()
            connection.execute("BEGIN")
            connection.execute(f"UPDATE {table} SET {name} = {name} WHERE rowid = ?", (row,))
            assert connection.execute("SELECT count(*) FROM search_site_traits").fetchone() == (kept,)
            connection.execute(f"UPDATE {table} SET {name} = 'other' WHERE rowid = ?", (row,))
            (left,) = connection.execute("SELECT count(*) FROM search_site_traits").fetchone()
            connection.rollback()
            assert left < kept, (table, name)


def test_a_visit_far_ahead_tells_no_light_before_its_time(book: Book) -> None:
    change_from_outside(book.path, "UPDATE visit SET on_date = '2050-06-01', arrived_at = '12:00:00.000000'")
    with book.writing():
        pass
    with book.reading() as desk:
        now, then = told(desk, whole=True), told(desk, whole=True, last=date(2060, 1, 1))
    visited = [site_id for site_id, values in then.items() if "phase" in dict(values)]
    assert visited
    assert all("phase" not in dict(now[site_id]) for site_id in visited)


@pytest.mark.parametrize("way", ["insert", "change", "delete"])
def test_the_zone_of_a_day_drops_the_rows_of_the_sites_that_were_visited_on_it(book: Book, way: str) -> None:
    made = (
        "INSERT INTO day (id, created, updated, provenance, trip_id, on_date, zone) SELECT DISTINCT"
        " 'd' || v.rowid, v.created, v.updated, '{}', v.trip_id, v.on_date, 'Asia/Tokyo' FROM visit v"
        " WHERE rowid = 1"
    )
    change_from_outside(book.path, "DELETE FROM day")
    if way != "insert":
        change_from_outside(book.path, made)
    with book.writing():
        pass
    kept = {row[0] for row in rows(book.path)}
    done = {"insert": made, "change": "UPDATE day SET zone = 'Asia/Dubai'", "delete": "DELETE FROM day"}[way]
    change_from_outside(book.path, done)
    with book.reading() as desk:
        seen = "SELECT w.site_id FROM visit v JOIN viewpoint w ON w.id = v.viewpoint_id WHERE v.rowid = 1"
        visited = desk.connection.exec_driver_sql(seen).scalar_one()
    left = {row[0] for row in rows(book.path)}
    assert visited in kept - left


def test_where_only_a_map_tells_the_zone_the_light_is_kept_all_the_same(book: Book) -> None:
    change_from_outside(book.path, "UPDATE site SET zone = NULL WHERE rowid = 1")
    change_from_outside(book.path, "UPDATE trip SET zone = NULL")
    with book.writing():
        pass
    with book.reading() as desk:
        site_id = desk.connection.exec_driver_sql("SELECT id FROM site WHERE rowid = 1").scalar_one()
        assert None not in {row[2] for row in rows(book.path)}
        assert "light" in dict(told(desk, whole=True)[site_id])
        assert desk.tallies.are_in_step()


@pytest.mark.slow
def test_an_answer_does_not_compare_by_a_row_that_was_tampered_with(book: Book) -> None:
    with book.reading() as desk:
        site = desk.sites.all()[0]
    honest = alike(book, site.slug, {})
    change_from_outside(book.path, "UPDATE search_site_traits SET traits = replace(traits, 'walk', 'tripod')")
    again = opened(book.path)
    assert alike(again, site.slug, {}) == honest
    assert again.index_is_damaged
    again.make_anew()
    with opened(book.path).reading() as desk:
        assert desk.tallies.are_in_step()


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        ("level = 'heaving'", "heaving"),
        ("at = '29:00:00.000000'", "index out of range"),
        ("at = 'noon'", "no"),
    ],
)
def test_what_cannot_be_read_stops_nobody_who_writes_and_is_said_to_whoever_asks(
    book: Book, wrong: str, named: str
) -> None:
    change_from_outside(book.path, f"UPDATE condition SET {wrong} WHERE kind = 'crowd'")
    change_from_outside(book.path, "DELETE FROM search_stale")
    change_from_outside(book.path, "DELETE FROM search_tally_stale")
    with book.writing() as desk:
        desk.connection.exec_driver_sql("UPDATE site SET notes = 'Seen again.'")
    with book.reading() as desk, pytest.raises(BookError, match=named):
        told(desk, whole=True)
