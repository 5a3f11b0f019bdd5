"""A day is known again by a few of its pictures, spread from its first to its last."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from logbook.services.night.days_waiting import days_in, pictures_of_days
from logbook.services.records import the_trip
from logbook.store.book import Book
from tests.services.night.sittings import TRIP, now


@pytest.fixture
def book(sample_book: Path, tmp_path: Path) -> Book:
    path = tmp_path / "book.sqlite"
    path.write_bytes(sample_book.read_bytes())
    return Book(path, now, create=False)


def test_a_day_of_few_pictures_shows_them_all_in_order_of_time(book: Book) -> None:
    with book.reading() as desk:
        trip = the_trip(desk, TRIP)
        shown = pictures_of_days(desk, trip, 100)
        days = {one.on_date: one.keepers for one in days_in(desk, [trip])[trip.id]}
    assert {day: len(keepers) for day, keepers in shown.items()} == {day: n for day, n in days.items() if n}
    for keepers in shown.values():
        times = [one.place_time for one in keepers if one.place_time]
        assert times == sorted(times)
        assert len(times) == len(keepers)


def test_a_day_of_many_shows_its_first_its_last_and_some_between(book: Book) -> None:
    day = date(2025, 10, 18)
    with book.writing() as desk:
        trip = the_trip(desk, TRIP)
        first = pictures_of_days(desk, trip, 100)[day][0]
        assert first.taken_local is not None
        assert first.taken_utc is not None
        for minute in range(1, 50):
            later = timedelta(seconds=minute)
            desk.keepers.add(
                replace(
                    first,
                    id=f"more-{minute:02}",
                    slug=f"more-{minute:02}",
                    hash=f"{minute:064}",
                    taken_local=first.taken_local + later,
                    taken_utc=first.taken_utc + later,
                )
            )
    with book.reading() as desk:
        everything = pictures_of_days(desk, trip, 100)[day]
        shown = pictures_of_days(desk, trip, 6)[day]
    assert len(shown) == 6
    assert (shown[0], shown[-1]) == (everything[0], everything[-1])
    assert [one.id for one in everything if one in shown] == [one.id for one in shown]
