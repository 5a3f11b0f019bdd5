"""Pictures of another trip are taken in and told."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.store.book import Book


def test_pictures_of_other_days_and_of_other_trips_are_counted(
    book: Book, tmp_path: Path, picture: Callable[..., Path]
) -> None:
    for number, taken in enumerate(("2031:10:13 23:50:00", "2031:10:16 02:00:00", "2031:11:02 12:00:00")):
        picture(tmp_path / "p" / f"A_{number}.JPG", look=number, taken=taken)
    first = take_in(book, tmp_path / "p", trip="valley")
    dates = {"starts_on": date(2031, 10, 14), "ends_on": date(2031, 10, 14)}
    records.add(book, kinds.TRIP, {"title": "Salt coast", "zone": "Asia/Dushanbe", **dates})
    second = take_in(book, tmp_path / "p", trip="salt-coast")
    assert (first.elsewhere, second.added) == ({}, 3)
    assert second.elsewhere == {"valley": 3}
    assert second.outside == 1, "a day of travel on either side belongs to the trip"
    again = take_in(book, tmp_path / "p", trip="salt-coast")
    assert (again.known, again.outside, again.elsewhere) == (3, 0, {})


def test_a_trip_without_dates_has_no_outside(
    book: Book, tmp_path: Path, picture: Callable[..., Path]
) -> None:
    records.add(book, kinds.TRIP, {"title": "Open end", "zone": "Asia/Dushanbe"})
    picture(tmp_path / "p" / "A_1.JPG", taken="1999:01:01 12:00:00")
    assert take_in(book, tmp_path / "p", trip="open-end").outside == 0
