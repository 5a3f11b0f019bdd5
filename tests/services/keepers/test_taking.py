"""Pictures taken in later: stated clocks and the tracks that are there hold for them; files that moved."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services import kinds, records
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.keepers import importing
from logbook.services.keepers.importing import TakenIn, take_in
from logbook.services.tracks import KnownTracks, take_track
from logbook.store.book import Book

Picture = Callable[..., Path]
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def keeper(book: Book, file: str) -> Keeper:
    """One keeper by its file name."""
    with book.reading() as desk:
        found = desk.keepers.first(file=file)
    assert found is not None
    return found


def offsets(book: Book) -> dict[str, int]:
    """The correction of each keeper, in seconds."""
    with book.reading() as desk:
        return {one.file: one.clock_offset_s for one in desk.keepers.all()}


def walk(path: Path) -> Path:
    """A track from 12:00 to 12:59 UTC, 0.0001 degrees further north each minute."""
    points = "".join(
        f'<trkpt lat="{38.2 + minute * 0.0001:.6f}" lon="73.4">'
        f"<time>2031-10-14T12:{minute:02}:00Z</time></trkpt>"
        for minute in range(60)
    )
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>"
    )
    return path


def test_a_clock_stated_for_all_frames_holds_for_pictures_taken_in_later(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture, dump: Dump
) -> None:
    assert set_clock(book, None, None, ClockSaid(fast_s=-420)).is_whole
    picture(tmp_path / "later" / "TRN_0500.JPG", look=500, taken="2031:10:14 17:43:05")
    take_in(book, tmp_path / "later", trip=None)
    later = keeper(book, "TRN_0500.JPG")
    assert (later.clock_offset_s, later.clock_evidence) == (420, ClockEvidence.STATED)
    assert later.taken_utc == datetime(2031, 10, 14, 12, 50, 5, tzinfo=UTC)
    assert later.taken_text == "2031:10:14 17:43:05"
    assert later.provenance_of("taken_utc") is Provenance.STATED
    before = dump()
    assert take_in(book, tmp_path / "later", trip=None) == TakenIn(0, 1, 0, ())
    assert set_clock(book, None, None, ClockSaid(fast_s=-420)).changed == 0
    assert dump() == before


def test_a_clock_stated_for_a_range_holds_only_for_later_pictures_within_it(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture
) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420, since="0413", until="0415"))
    for number, taken in ((500, "17:12:50"), (501, "17:14:30"), (502, "17:15:06")):
        picture(tmp_path / "later" / f"TRN_0{number}.JPG", look=number, taken=f"2031:10:14 {taken}")
    take_in(book, tmp_path / "later", trip=None)
    after = offsets(book)
    assert [after[f"TRN_0{number}.JPG"] for number in (500, 501, 502)] == [0, 420, 0]
    assert keeper(book, "TRN_0502.JPG").clock_evidence is ClockEvidence.ASSUMED


def test_a_clock_stated_for_one_camera_leaves_another(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture
) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420))
    other = picture(tmp_path / "later" / "PEL_0001.JPG")
    other.write_bytes(other.read_bytes().replace(b"Halvern", b"Pellick"))
    take_in(book, tmp_path / "later", trip=None)
    assert keeper(book, "PEL_0001.JPG").clock_offset_s == 0


def test_the_zone_that_was_stated_with_a_clock_is_that_of_later_pictures_too(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture
) -> None:
    set_clock(book, None, None, ClockSaid(zone="Asia/Tokyo"))
    picture(tmp_path / "later" / "TRN_0500.JPG", look=500, taken="2031:10:14 17:43:05")
    take_in(book, tmp_path / "later", trip=None)
    later = keeper(book, "TRN_0500.JPG")
    assert (later.zone, later.provenance_of("zone")) == ("Asia/Tokyo", Provenance.STATED)
    assert later.taken_utc == datetime(2031, 10, 14, 8, 43, 5, tzinfo=UTC)


def test_seconds_stated_with_the_import_itself_stand(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture
) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420))
    picture(tmp_path / "later" / "TRN_0500.JPG", look=500)
    take_in(book, tmp_path / "later", trip=None, clock_offset_s=30)
    assert keeper(book, "TRN_0500.JPG").clock_offset_s == 30


def test_a_track_that_was_there_first_places_pictures_taken_in_later(
    book: Book, tmp_path: Path, picture: Picture, dump: Dump
) -> None:
    take_track(book, walk(tmp_path / "walk.gpx"), None)
    picture(tmp_path / "later" / "TRN_0500.JPG", taken="2031:10:14 17:43:00")
    take_in(book, tmp_path / "later", trip=None)
    later = keeper(book, "TRN_0500.JPG")
    assert later.latitude_deg == pytest.approx(38.2043, abs=1e-7)
    assert later.provenance_of("latitude_deg") is Provenance.INFERRED
    before = dump()
    take_in(book, tmp_path / "later", trip=None)
    take_track(book, tmp_path / "walk.gpx", None)
    assert dump() == before


def test_later_pictures_are_placed_at_the_moment_that_the_stated_clock_gives(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture
) -> None:
    take_track(book, walk(tmp_path / "walk.gpx"), None)
    set_clock(book, None, None, ClockSaid(fast_s=-420))
    picture(tmp_path / "later" / "TRN_0500.JPG", look=500, taken="2031:10:14 17:43:00")
    take_in(book, tmp_path / "later", trip=None)
    assert keeper(book, "TRN_0500.JPG").latitude_deg == pytest.approx(38.2050, abs=1e-7)


@pytest.mark.slow
def test_an_import_stopped_between_two_batches_ends_in_the_same_book_when_run_again(
    book: Book, keepers: Path, tmp_path: Path, picture: Picture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(importing, "BATCH", 2)
    records.add(book, kinds.TRIP, {"title": "Twin", "zone": "Asia/Dushanbe"})
    take_in(book, keepers, trip="twin")
    folder = tmp_path / "later"
    for number in range(500, 507):
        gps = ("2031:10:14", (12, 30 + number - 500, 9)) if number % 2 else None
        picture(folder / f"TRN_0{number}.JPG", look=number, taken=f"2031:10:14 17:{number - 470}:05", gps=gps)
    for trip in ("valley", "twin"):
        take_track(book, walk(tmp_path / "walk.gpx"), trip)
        shown = datetime(2031, 10, 14, 17, 20, 5)  # noqa: DTZ001
        set_clock(book, trip, None, ClockSaid(keeper="0413", shown=shown))

    def stop(done: int, _total: int) -> None:
        if done > 4:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        take_in(book, folder, trip="valley", progress=stop)
    assert take_in(book, folder, trip="valley") == TakenIn(3, 4, 0, ())
    take_in(book, folder, trip="twin")
    with book.reading() as desk:
        one, other = (
            [
                (k.file, k.taken_utc, k.clock_offset_s, k.clock_evidence, k.latitude_deg, k.provenance)
                for k in desk.keepers.all(trip_id=trip_id)
            ]
            for trip_id in desk.trips.slugs().values()
        )
    assert one == other
    assert {row[2] for row in one} != {0}


def test_the_tracks_of_a_trip_are_read_again_only_where_others_came(book: Book, tmp_path: Path) -> None:
    tracks = KnownTracks()
    take_track(book, walk(tmp_path / "walk.gpx"), None)
    with book.reading() as desk:
        trip = records.the_trip(desk, None)
        first = tracks.of(desk, trip)
        assert (len(first), tracks.of(desk, trip) is first) == (1, True)
    (tmp_path / "more.gpx").write_text((tmp_path / "walk.gpx").read_text().replace("T12:", "T14:"))
    take_track(book, tmp_path / "more.gpx", None)
    with book.reading() as desk:
        assert len(tracks.of(desk, trip)) == 2
