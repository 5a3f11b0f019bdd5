"""Dates that cannot be: kept as written, told with their picture, and left out of drawings and of light."""

import re
from pathlib import Path

import piexif
import pytest
from PIL import Image

from tests.examples import slow
from tests.faces.conftest import Run

ODD = (
    "0001-01-01",
    "2400-02-29",
    *slow("1825-12-31", "9999-12-31"),
)
AT = {"0001-01-01": "00:00:01", "9999-12-31": "23:59:59"}  # the calendar's edges; else noon
MISTAKE = "mistake of ours"


def frame(path: Path, taken: str, look: int = 0) -> None:
    """Write a picture as a camera does."""
    path.parent.mkdir(exist_ok=True)
    exif = {
        "0th": {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: "Thistle"},
        "Exif": {
            piexif.ExifIFD.DateTimeOriginal: taken,
            piexif.ExifIFD.ExposureTime: (1, 125),
            piexif.ExifIFD.FNumber: (8, 1),
            piexif.ExifIFD.ISOSpeedRatings: 100,
        },
    }
    Image.new("RGB", (48, 32), (len(taken), look, 60)).save(path, exif=piexif.dump(exif))


def exif_time(day: str, at: str) -> str:
    return f"{day.replace('-', ':')} {at}"


@pytest.fixture
def dated(stocked: Run, tmp_path: Path) -> Run:
    """A book with one good picture."""
    stocked("viewpoint", "edit", "quarry-ledge", "--horizon", "6")
    frame(tmp_path / "good" / "GOOD_0001.JPG", "2031:10:14 15:24:05", 200)
    assert stocked("keeper", "import", str(tmp_path / "good")).status == 0
    assert stocked("keeper", "note", "0001", "--viewpoint", "quarry-ledge").status == 0
    return stocked


def works(run: Run, *line: str) -> str:
    """Run a command that must be answered, and return what it said."""
    answer = run(*line)
    assert (answer.status, MISTAKE in answer.err) == (0, False), (line, answer.err)
    return " ".join((answer.out + answer.err).split())


@pytest.mark.slow
@pytest.mark.parametrize("day", ODD)
def test_a_picture_of_an_odd_date_is_told_at_import_and_stops_nothing(
    dated: Run, tmp_path: Path, day: str
) -> None:
    at = AT.get(day, "12:00:00")
    frame(tmp_path / "odd" / "ODD_0007.JPG", exif_time(day, at))
    told = works(dated, "keeper", "import", str(tmp_path / "odd"))
    shown = re.search(r"ODD_0007\.JPG: (\S+) is not between 1826 and \d{4}: it is kept as written", told)
    assert shown
    assert shown[1] == day
    works(dated, "keeper", "note", "0007", "--viewpoint", "quarry-ledge")
    odd = next(one for one in dated("keeper", "list", "--json").data if one["file"] == "ODD_0007.JPG")
    assert odd["taken_text"] == exif_time(day, at)
    assert odd["time_doubt"]["words"] == "date outside"
    assert odd["light_doubt"] is None, "the sun of that day is nobody's business"
    assert "date outside" in works(dated, "keeper", "list")
    for line in (
        ("keeper", "show", "0007"),
        ("keeper", "propose"),
        ("keeper", "propose", "--on", day),
        ("keeper", "clock"),
        ("day", "show", day),
        ("day", "draft", "--on", day),
        ("find", "f/8 in the evening"),
        ("worked", "--by", "phase"),
        ("alike", "quarry"),
        ("export", "high-valley", "--as", "csv"),
        ("export", "high-valley", "--as", "geojson"),
        ("export", "high-valley", "--as", "json", "--private"),
    ):
        works(dated, *line)
    for audience in ("students", "archive"):
        into = tmp_path / audience
        works(dated, "report", "high-valley", "--for", audience, "--into", str(into))
        pages = "".join(page.read_text("utf-8") for page in into.rglob("*.html"))
        assert len(set(re.findall(r'"light-of-day-(\d+)"', pages))) == 1, (
            "only the day that can be has a strip"
        )


@pytest.mark.slow
@pytest.mark.parametrize("day", ODD)
def test_plans_visits_and_notes_of_an_odd_date_stop_nothing(dated: Run, tmp_path: Path, day: str) -> None:
    place = ("--viewpoint", "quarry-ledge", "--on", day)
    works(dated, "trip", "edit", "high-valley", "--from", day, "--to", day)
    works(
        dated, "shot", "add", "Odd one", *place, "--window", "10:00-23:30",
        "--f-number", "8", "--exposure", "1/60", "--iso", "100",
    )  # fmt: skip
    works(dated, "visit", "add", *place, "--from", "10:10", "--to", "23:50")
    works(dated, "condition", "add", "wind", "--level", "3", *place, "--at", "23:30")
    (shot,) = [one for one in dated("shot", "list", "--json").data if one["slug"] == "odd-one"]
    assert shot["planned"]["on_date"] == day
    assert shot["feasibility"]["verdict"] == "unknown"
    assert f"{day} is not between 1826 and" in shot["feasibility"]["reason"]
    sheet = tmp_path / "sheet.html"
    works(dated, "sheet", "high-valley", "--on", day, "--into", str(sheet))
    assert "Sun and moon are left out" in sheet.read_text("utf-8")
    for line in (
        ("trip", "show", "high-valley"),
        ("visit", "list"),
        ("condition", "list"),
        ("before", "quarry", "--on", day),
        ("day", "show", day),
        ("day", "draft", "--on", day),
        ("keeper", "propose", "--on", day),
        ("find", "windy evening"),
        ("worked",),
        ("worked", "--by", "phase"),
        ("alike", "quarry"),
        ("export", "high-valley", "--as", "ics"),
        ("export", "high-valley", "--as", "json"),
        ("report", "--all", "--for", "archive", "--into", str(tmp_path / "whole")),
    ):
        works(dated, *line)
    assert MISTAKE not in dated("check").err
    asked = dated("light", "quarry-ledge", "--on", day, "--at", "12:00")
    assert asked.status in (1, 2)
    assert "choose another date" in asked.err


@pytest.mark.slow
@pytest.mark.parametrize("day", ODD)
def test_day_files_and_tracks_of_an_odd_date_are_read(dated: Run, tmp_path: Path, day: str) -> None:
    file = tmp_path / "day.md"
    file.write_text(
        f"---\ntrip: high-valley\ndate: {day}\n---\nLate.\n\n## Quarry ledge 17:20-23:45 shooting\n"
        "- crowd: dozens at 17:20, none at 23:30\n- wind: 4 from west\n",
        encoding="utf-8",
    )
    works(dated, "day", "read", str(file))
    works(dated, "day", "show", day)
    track = tmp_path / "walk.gpx"
    points = "".join(
        f'<trkpt lat="38.2{n}" lon="73.4{n}"><time>{day}T{hour}:59:5{n}Z</time></trkpt>'
        for hour in ("00", "23")
        for n in range(5)
    )
    track.write_text(
        '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
        f"{points}</trkseg></trk></gpx>",
        encoding="utf-8",
    )
    answer = dated("track", "import", str(track), "--trip", "high-valley")
    assert MISTAKE not in answer.err
    works(dated, "report", "high-valley", "--for", "students", "--into", str(tmp_path / "students"))
    works(dated, "export", "high-valley", "--as", "gpx")
    works(dated, "keeper", "propose")


@pytest.mark.slow
def test_what_no_calendar_has_leaves_the_time_unknown_and_is_said(dated: Run, tmp_path: Path) -> None:
    """A scan of 1950 is dated; a clock that nobody set, or zeros, tell nothing."""
    for number, taken in enumerate(
        ("0000:00:00 00:00:00", "1980:01:01 00:03:10", "2031:02:30 10:00:00", "1950:06:03 12:00:00")
    ):
        frame(tmp_path / "odd" / f"ODD_000{number + 2}.JPG", taken, number)
    told = works(dated, "keeper", "import", str(tmp_path / "odd"))
    assert "outside" not in told
    found = {one["file"]: one for one in dated("keeper", "list", "--json").data}
    assert [found[f"ODD_000{n}.JPG"]["place_time"] for n in (2, 3, 4)] == [None] * 3
    assert found["ODD_0005.JPG"]["place_time"] == "1950-06-03T12:00:00"
    assert found["ODD_0005.JPG"]["time_doubt"] is None
    assert found["ODD_0002.JPG"]["doubts"] == ["time unknown: DateTimeOriginal says '0000:00:00 00:00:00'"]
