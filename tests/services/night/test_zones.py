"""A trip without a zone: its places or its files tell one, or it is asked for before any clock."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import piexif
import pytest
from PIL import Image

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Provenance
from logbook.services import kinds, records
from logbook.services.clocks.proposed import list_clocks
from logbook.services.dayfiles.draft import draft_day
from logbook.services.keepers.importing import take_in
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.services.night.sittings import Sitting, now

DAY = date(2025, 10, 14)
BEGUN = datetime(2025, 10, 14, 17, 36)  # noqa: DTZ001
AHEAD_S = 4 * 3600 + 53 * 60  # s: a clock 7 min behind a place five hours ahead of UTC


def picture(path: Path, taken: datetime, *, place: bool = False, offset: str | None = None) -> None:
    """A picture whose satellites tell the instant, and perhaps a place or an offset tag."""
    exif: dict[int, object] = {piexif.ExifIFD.DateTimeOriginal: f"{taken:%Y:%m:%d %H:%M:%S}"}
    gps: dict[int, object] = {}
    if offset is not None:
        exif[piexif.ExifIFD.OffsetTimeOriginal] = offset
    else:
        utc = taken - timedelta(seconds=AHEAD_S)
        gps[piexif.GPSIFD.GPSDateStamp] = f"{utc:%Y:%m:%d}"
        gps[piexif.GPSIFD.GPSTimeStamp] = ((utc.hour, 1), (utc.minute, 1), (utc.second, 1))
    if place:
        gps |= {
            piexif.GPSIFD.GPSLatitudeRef: "N",
            piexif.GPSIFD.GPSLatitude: ((38, 1), (12, 1), (0, 1)),
            piexif.GPSIFD.GPSLongitudeRef: "E",
            piexif.GPSIFD.GPSLongitude: ((73, 1), (24, 1), (0, 1)),
        }
    first = {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: "Thistle"}
    Image.new("RGB", (24, 16), (taken.minute, 9, 9)).save(
        path, exif=piexif.dump({"0th": first, "Exif": exif, "GPS": gps})
    )


def sitting_with(
    folder: Path, *, site: bool = False, place: bool = False, offset: str | None = None
) -> Sitting:
    """A night of a trip that has no zone."""
    book = Book(folder / "book.sqlite", now, create=True)
    records.add(book, kinds.TRIP, {"title": "Zoneless"})
    if site:
        records.add(book, kinds.SITE, {"title": "Gorge", "latitude_deg": 38.2, "longitude_deg": 73.4})
    pictures = folder / "pictures"
    pictures.mkdir()
    for number in range(3):
        taken = BEGUN + timedelta(minutes=10 * number)
        picture(pictures / f"TRN_{number:04}.JPG", taken, place=place, offset=offset)
    take_in(book, pictures, trip=None)
    return Sitting(Night(book, day_to_write(book, None, None)[0], DAY))


@pytest.mark.slow
@pytest.mark.parametrize("told_by", ["site", "place"])
def test_the_zone_of_the_places_is_proposed_first_and_local_clocks_stay_local(
    tmp_path: Path, told_by: str
) -> None:
    sitting = sitting_with(tmp_path, site=told_by == "site", place=told_by == "place")
    question = sitting.ask()
    assert (question.asks, question.default, question.came_from) == (
        Asks.ZONE,
        "Asia/Dushanbe",
        Provenance.INFERRED,
    )
    assert f"from {BEGUN + timedelta(minutes=7):%H:%M}" in draft_day(sitting.book, None, DAY).text
    sitting.enter()
    assert (sitting.ask().asks, sitting.ask().default) == (Asks.CLOCK, "+420 s")
    sitting.finish()
    with sitting.book.reading() as desk:
        (trip,) = desk.trips.all()
        keeper = desk.keepers.first(file="TRN_0000.JPG")
    assert (trip.zone, trip.provenance_of("zone")) == ("Asia/Dushanbe", Provenance.INFERRED)
    assert keeper is not None
    assert keeper.taken_local == BEGUN + timedelta(minutes=7)


@pytest.mark.slow
def test_where_nothing_tells_the_zone_it_is_asked_for_and_no_clock_is_proposed(tmp_path: Path) -> None:
    sitting = sitting_with(tmp_path)
    (clock,) = list_clocks(sitting.book, None, None)
    assert clock.offset_s is None
    question = sitting.enter()
    assert (question.asks, question.default) == (Asks.ZONE, "")
    assert sitting.ask().asks is Asks.CHANGES
    sitting.finish()
    with sitting.book.reading() as desk:
        assert {one.clock_offset_s for one in desk.keepers.all()} == {0}


@pytest.mark.slow
def test_a_zone_that_is_typed_is_stated_and_settles_the_clocks(tmp_path: Path) -> None:
    sitting = sitting_with(tmp_path)
    with pytest.raises(InvalidValueError, match="is not a time zone"):
        sitting.type("Valley time")
    sitting.type("Asia/Dushanbe")
    assert sitting.type("7 min slow").asks is Asks.CLOCK
    with sitting.book.reading() as desk:
        (trip,) = desk.trips.all()
        assert trip.provenance_of("zone") is Provenance.STATED
        assert {one.clock_offset_s for one in desk.keepers.all()} == {420}
    while sitting.ask().asks is not Asks.ZONE:
        assert sitting.back()
    sitting.type("Asia/Kathmandu")
    assert sitting.ask().asks is Asks.CLOCK


def test_files_with_an_offset_show_their_own_time_though_they_name_no_zone(tmp_path: Path) -> None:
    sitting = sitting_with(tmp_path, offset="+05:00")
    question = sitting.enter()
    assert (question.asks, question.default, question.why) == (Asks.ZONE, "", ("the files say +05:00",))
    assert (sitting.ask().asks, sitting.ask().default) == (Asks.CLOCK, "+0 s")
    with sitting.book.reading() as desk:
        assert [one.zone for one in desk.trips.all()] == [None]
    assert "from 17:36 to 17:56" in draft_day(sitting.book, None, DAY).text


def test_a_trip_that_has_a_zone_is_not_asked_for_one(sitting: Sitting) -> None:
    assert sitting.ask().asks is Asks.CLOCK
    with sitting.book.writing() as desk:
        desk.trips.put(replace(sitting.night.trip, zone=None))
    assert sitting.ask().asks is Asks.ZONE
