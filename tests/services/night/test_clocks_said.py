"""What is said of a camera's clock at night."""

from pathlib import Path

import pytest

from logbook.domain.errors import LogbookError
from logbook.domain.words import ClockEvidence
from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.services.night.scripted_day import TRIP
from tests.services.night.sittings import now

SORREL = "clock.Ostrey Sorrel"


@pytest.fixture
def night(scripted_book: Path) -> Night:
    """A day of two cameras, the clock of one an hour slow."""
    book = Book(scripted_book, now, create=False)
    trip, day = day_to_write(book, TRIP, None)
    return Night(book, trip, day)


def times(night: Night) -> list[str]:
    """When the slow camera's pictures were made, by the place's clock."""
    with night.book.reading() as desk:
        own = desk.keepers.all(body="Ostrey Sorrel")
        return sorted(f"{one.place_time:%H:%M}" for one in own if one.place_time)


def test_a_photographed_clock_puts_all_pictures_of_its_camera_right(night: Night) -> None:
    assert times(night) == ["07:10", "07:14", "09:37", "13:16", "17:09"]
    assert night.say(SORREL, "1207 shows 10:37") == (
        "The clock was 1 h slow: 1 h will be added to its times.",
    )
    assert times(night) == ["08:10", "08:14", "10:37", "14:16", "18:09"]
    with night.book.reading() as desk:
        (clock,) = desk.clocks.all(body="Ostrey Sorrel")
    assert (clock.evidence, clock.note) == (ClockEvidence.PHOTOGRAPHED_CLOCK, "OST_1207.JPG shows 10:37")


@pytest.mark.parametrize("text", ["0471 shows 08:00", "1207 shows noonish", "9999 shows 10:37"])
def test_a_picture_of_another_camera_or_no_time_tells_nothing(night: Night, text: str) -> None:
    before = times(night)
    with pytest.raises(LogbookError):
        night.say(SORREL, text)
    assert times(night) == before
