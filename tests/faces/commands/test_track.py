"""`logbook track`: taking in, listing, removing; and `logbook keeper clock`, which places keepers anew."""

import re
from pathlib import Path

import pytest

from tests.faces.conftest import Run

SAMPLE = Path(__file__).parents[3] / "sample_trip" / "high-valley-autumn"


@pytest.fixture
def on_trip(logbook: Run) -> Run:
    """Run the program on a book with the sample's plan and pictures."""
    assert logbook("trip", "add", "Valley", "--zone", "Asia/Dushanbe").status == 0
    assert logbook("keeper", "import", str(SAMPLE / "pictures")).status == 0
    return logbook


def test_a_track_places_keepers_and_says_gap_and_speed(on_trip: Run) -> None:
    first = on_trip("track", "import", str(SAMPLE / "track.gpx"), "--json")
    assert first.status == 0, first.err
    keys = {"trip", "file", "known", "points", "starts", "ends", "doubts", "placed", "torn"}
    assert set(first.data) == keys
    assert first.data["placed"]
    assert set(first.data["placed"][0]) == {"file", "latitude", "longitude", "gap_s", "speed_m_s"}
    again = on_trip("track", "import", str(SAMPLE / "track.gpx"))
    assert again.status == 0
    assert "already known" in again.out


@pytest.mark.slow
def test_two_tracks_that_contradict_each_other_place_nothing_and_say_so_once(
    on_trip: Run, tmp_path: Path
) -> None:
    """The other receiver lay a tenth of a degree of latitude away, which is 11.1 km (Vincenty)."""
    text = (SAMPLE / "track.gpx").read_text(encoding="utf-8")
    moved = re.sub(r'lat="([0-9.]+)"', lambda found: f'lat="{float(found[1]) + 0.1:.6f}"', text)
    (tmp_path / "car.gpx").write_text(moved, encoding="utf-8")
    placed = on_trip("track", "import", str(SAMPLE / "track.gpx"), "--json").data["placed"]
    answer = on_trip("track", "import", str(tmp_path / "car.gpx"))
    said = " ".join(answer.err.split())
    assert said.count("11.1 km apart") == 1
    assert f"No place for {placed[0]['file']} and {len(placed) - 1} more: " in said
    assert "It places no keepers." in said
    assert on_trip("keeper", "show", placed[0]["file"], "--json").data["latitude"] is None
    torn = on_trip("track", "import", str(tmp_path / "car.gpx"), "--json").data["torn"]
    assert [one["file"] for one in torn] == [one["file"] for one in placed]
    assert torn[0]["apart_m"] == pytest.approx(11_100, abs=30)


@pytest.mark.slow
def test_tracks_are_listed_and_removed_with_their_positions(on_trip: Run) -> None:
    placed = on_trip("track", "import", str(SAMPLE / "track.gpx"), "--json").data["placed"]
    name = placed[0]["file"]
    assert on_trip("track", "list", "--json").data[0]["file"] == "track.gpx"
    assert on_trip("keeper", "show", name, "--json").data["provenance"]["latitude"] == "inferred"
    assert on_trip("track", "remove", "track").status == 0
    assert on_trip("keeper", "show", name, "--json").data["latitude"] is None
    assert on_trip("track", "remove", "track").status == 1


@pytest.mark.slow
def test_a_file_that_is_no_track_is_one_sentence(on_trip: Run, tmp_path: Path) -> None:
    (tmp_path / "no.gpx").write_text("not xml")
    for name in ("no.gpx", "missing.gpx"):
        answer = on_trip("track", "import", name)
        assert answer.status == 1
        assert answer.err.count("\n") == 1
        assert name in answer.err


@pytest.mark.slow
def test_a_clock_is_stated_shown_and_tied(on_trip: Run) -> None:
    stated = on_trip("keeper", "clock", "--body", "Halvern", "--fast=-420", "--json")
    assert stated.status == 0, stated.err
    assert stated.data["offset_s"] == 420
    assert stated.data["evidence"] == "stated"
    shown = on_trip("keeper", "clock", "--keeper", "TRN_0479", "--shown", "2025-10-18T16:53:15", "--json")
    assert shown.data["offset_s"] == 420
    assert shown.data["evidence"] == "gps time"
    listed = on_trip("keeper", "clock", "--body", "Halvern", "--json")
    assert [one["offset_s"] for one in listed.data] == [420]
    assert "photographed clock: TRN_0479.JPG shows 16:53:15" in listed.data[0]["evidence"]
    assert on_trip("keeper", "clock", "--shown", "2025-10-18T16:53:15").status == 2
    assert on_trip("keeper", "clock", "--body", "nothing", "--fast", "0").status == 1
