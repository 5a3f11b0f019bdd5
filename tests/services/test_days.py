"""What a day holds: its light is read by the clock of the place where one stood."""

from datetime import date, time

from logbook.services import kinds, records
from logbook.services.days import show_day
from logbook.store.book import Book
from tests.services.adding import add_to_trip

DAY = date(2031, 10, 14)


def test_a_day_is_told_by_the_clock_of_its_place_and_elsewhere_by_the_trips(book: Book) -> None:
    assert show_day(book, "valley", DAY).zone == "Asia/Dushanbe"
    records.edit(
        book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 75.0, "zone": "Asia/Kashgar"}
    )
    add_to_trip(
        book,
        kinds.VISIT,
        "valley",
        {"viewpoint": "quarry-ledge", "on_date": DAY, "arrived_at": time(9)},
        None,
    )
    shown = show_day(book, "valley", DAY)
    assert shown.zone == "Asia/Kashgar"
    assert shown.observer is not None
    assert show_day(book, "valley", date(2031, 10, 15)).zone == "Asia/Dushanbe"
