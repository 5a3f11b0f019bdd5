"""Tracks in the book: positions from them are inferred, and go away with them."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import LogbookError, NotFoundError
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance
from logbook.services.accounts import account_of
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.tracks import list_tracks, remove_track, take_track
from logbook.store.book import Book

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
START = (38.2, 73.4)


def gpx(path: Path, *, hour: int = 12, step_deg: float = 0.0001) -> Path:
    """A track of one hour walked due north, a point a minute; times are UTC."""
    points = "".join(
        f'<trkpt lat="{START[0] + minute * step_deg:.6f}" lon="{START[1]}"><ele>{2000 + minute}</ele>'
        f"<time>2031-10-14T{hour:02}:{minute:02}:00Z</time></trkpt>"
        for minute in range(60)
    )
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>"
    )
    return path


def all_keepers(book: Book) -> list[Keeper]:
    """The keepers of the book."""
    with book.reading() as desk:
        return desk.keepers.all()


def test_keepers_are_placed_by_their_time_as_inferred(book: Book, keepers: Path, tmp_path: Path) -> None:
    done = take_track(book, gpx(tmp_path / "walk.gpx"), None)
    assert len(done.placed) == 8
    assert not done.known
    first = all_keepers(book)[0]  # 17:12:05 in Dushanbe is 12:12:05 UTC
    assert first.latitude_deg == pytest.approx(START[0] + (12 + 5 / 60) * 0.0001, abs=1e-7)
    assert first.altitude_m == pytest.approx(2012 + 5 / 60, abs=0.01)
    assert {first.provenance_of(name) for name in ("latitude_deg", "longitude_deg", "altitude_m")} == {
        Provenance.INFERRED
    }
    assert all(one.placed.gap_s == 60 for one in done.placed)


def test_a_track_again_is_harmless(book: Book, keepers: Path, tmp_path: Path, dump: Dump) -> None:
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    before = dump()
    assert take_track(book, tmp_path / "walk.gpx", None).known
    assert dump() == before


@pytest.mark.parametrize("word", [Provenance.CAMERA, Provenance.STATED])
def test_a_position_of_its_own_is_never_touched(
    book: Book, keepers: Path, tmp_path: Path, word: Provenance
) -> None:
    with book.writing() as desk:
        own = desk.keepers.all()[0]
        provenance = {**own.provenance, "latitude_deg": word, "longitude_deg": word}
        desk.keepers.put(replace(own, latitude_deg=1.0, longitude_deg=2.0, provenance=provenance))
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    assert (all_keepers(book)[0].latitude_deg, all_keepers(book)[0].longitude_deg) == (1.0, 2.0)
    remove_track(book, None, "walk.gpx")
    assert all_keepers(book)[0].latitude_deg == 1.0


def test_a_height_of_the_camera_s_own_stays(book: Book, keepers: Path, tmp_path: Path) -> None:
    with book.writing() as desk:
        own = desk.keepers.all()[0]
        provenance = {**own.provenance, "altitude_m": Provenance.CAMERA}
        desk.keepers.put(replace(own, altitude_m=7.0, provenance=provenance))
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    remove_track(book, None, "walk")
    after = all_keepers(book)[0]
    assert (after.altitude_m, after.latitude_deg) == (7.0, None)


def test_removing_a_track_takes_its_positions_back(
    book: Book, keepers: Path, tmp_path: Path, dump: Dump
) -> None:
    before = [replace(keeper, updated=keeper.created) for keeper in all_keepers(book)]
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    assert [track.file for track in list_tracks(book, None)] == ["walk.gpx"]
    assert remove_track(book, None, "walk.gpx") == "walk.gpx"
    assert [replace(keeper, updated=keeper.created) for keeper in all_keepers(book)] == before
    assert list_tracks(book, None) == []
    with pytest.raises(NotFoundError):
        remove_track(book, None, "walk.gpx")


def test_a_clock_put_right_places_its_keepers_anew(book: Book, keepers: Path, tmp_path: Path) -> None:
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    set_clock(book, None, None, ClockSaid(fast_s=-600))
    first = all_keepers(book)[0]
    assert first.latitude_deg == pytest.approx(START[0] + (22 + 5 / 60) * 0.0001, abs=1e-7)
    set_clock(book, None, None, ClockSaid(fast_s=-7200))
    assert all_keepers(book)[0].latitude_deg is None


def test_what_is_no_track_is_one_sentence(book: Book, tmp_path: Path, dump: Dump) -> None:
    before = dump()
    (tmp_path / "bad.gpx").write_text('<!DOCTYPE x [<!ENTITY a "b">]><gpx>&a;</gpx>')
    for name in ("bad.gpx", "missing.gpx"):
        with pytest.raises((LogbookError, OSError)):
            take_track(book, tmp_path / name, None)
    assert dump() == before


def test_the_account_of_a_trip_carries_its_tracks(book: Book, keepers: Path, tmp_path: Path) -> None:
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    (segment,) = account_of(book, None).tracks
    assert len(segment) == 60
    first = segment[0]
    assert (first.at.isoformat(), first.latitude_deg, first.longitude_deg) == (
        "2031-10-14T12:00:00+00:00",
        *START,
    )


def test_two_receivers_that_were_not_together_place_no_keeper_and_it_is_said(
    book: Book, keepers: Path, tmp_path: Path
) -> None:
    take_track(book, gpx(tmp_path / "walk.gpx"), None)
    left_in_the_car = gpx(tmp_path / "car.gpx", step_deg=0.001)
    done = take_track(book, left_in_the_car, None)
    assert (len(done.placed), len(done.torn)) == (0, 8)
    assert {keeper.latitude_deg for keeper in all_keepers(book)} == {None}
    remove_track(book, None, "car.gpx")
    assert all(keeper.latitude_deg is not None for keeper in all_keepers(book))
