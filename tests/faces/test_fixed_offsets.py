"""A zone that is a fixed offset does what a named one does: two books, one clock, one answer."""

import json
import re
from collections.abc import Callable
from pathlib import Path

import piexif
import pytest
from PIL import Image

from tests.faces.conftest import Run

NAMED, OFFSET = "Asia/Dushanbe", "+05:00"  # five hours ahead of UTC all year (IANA time zone database)
DAY = """---
trip: high-valley
date: 2031-10-14
zone: {zone}
---
Ice on the tent at six.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20, none at 18:30
- shot bridge-flow: partly, light
"""
ASKED = (
    ("keeper", "list", "--json"),
    ("keeper", "show", "0412", "--json"),
    ("day", "show", "2031-10-14", "--json"),
    ("light", "quarry-ledge", "--on", "2031-10-14", "--at", "17:30", "--json"),
    ("keeper", "propose", "--json"),
    ("find", "dusk", "--json"),
    ("find", "golden hour", "--json"),
    ("worked", "--json"),
    ("check", "--json"),
)
WRITTEN = ("json", "csv", "ics", "markdown")

Book = Callable[[str, str], Run]


@pytest.fixture
def book_in(logbook: Run, tmp_path: Path) -> Book:
    """Make a book whose trip, site, camera and day file have one zone, as typed, and ask it."""

    def make(name: str, zone: str) -> Run:
        own = tmp_path / name
        pictures = own / "card"
        pictures.mkdir(parents=True)
        for number, minute in ((412, 24), (413, 55)):
            exif = {
                "0th": {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: "Thistle"},
                "Exif": {
                    piexif.ExifIFD.DateTimeOriginal: f"2031:10:14 17:{minute}:05",
                    piexif.ExifIFD.ExposureTime: (1, 125),
                    piexif.ExifIFD.FNumber: (8, 1),
                    piexif.ExifIFD.ISOSpeedRatings: 200,
                },
            }
            Image.new("RGB", (240, 160), (number % 256, 90, 60)).save(
                pictures / f"TRN_{number:04}.JPG", exif=piexif.dump(exif)
            )
        (own / "day.md").write_text(DAY.format(zone=zone), encoding="utf-8")

        def run(*line: str) -> object:
            return logbook("--book", str(own / "book.sqlite"), *line)

        for line in (
            ("trip", "add", "High valley", "--zone", zone, "--location", "exact"),
            ("site", "add", "Quarry", "--position", "38.2 N 73.4 E", "--zone", zone),
            ("viewpoint", "add", "Quarry ledge", "--site", "quarry", "--facing", "NW"),
            ("shot", "add", "Bridge flow", "--viewpoint", "quarry-ledge", "--on", "2031-10-14"),
            ("keeper", "import", str(pictures), "--zone", zone),
            ("keeper", "note", "0412-0413", "--viewpoint", "quarry-ledge"),
            ("day", "read", str(own / "day.md")),
        ):
            answer = logbook("--book", str(own / "book.sqlite"), *line)
            assert answer.status == 0, answer.err
        return run  # type: ignore[return-value]

    return make


def same(text: str) -> str:
    """Text without what differs between two books that say the same: the zone's name, ids, stamps, paths."""
    text = text.replace("\n ", "")  # as calendars fold long lines
    text = re.sub(r"(?:UTC)?\+05:00", NAMED, text).replace("/offset/", "/named/")
    text = re.sub(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Asia/Dushanbe)", r"instant\2", text)
    return re.sub(r"\b[0-9a-f]{32,64}\b|DTSTAMP:\S+|(?<=T)\d\d:\d\d:\d\d\.\d+Z?|\d+\.\d+", "~", text)


@pytest.mark.slow
@pytest.mark.parametrize("typed", ["+05:00", "UTC+5"])
def test_everything_that_knows_a_zone_knows_an_offset(book_in: Book, typed: str) -> None:
    named, offset = book_in("named", NAMED), book_in("offset", typed)
    for line in ASKED:
        one, other = named(*line), offset(*line)
        assert (other.status, other.err) == (one.status, one.err), line
        assert same(other.out) == same(one.out), line
    assert offset("trip", "show", "high-valley", "--json").data["zone"] == OFFSET


@pytest.mark.slow
@pytest.mark.parametrize("form", WRITTEN)
def test_what_is_written_out_has_the_times_of_the_place(book_in: Book, form: str, tmp_path: Path) -> None:
    texts = []
    for name, zone in (("named", NAMED), ("offset", OFFSET)):
        into = tmp_path / name / f"out.{form}"
        answer = book_in(name, zone)("export", "high-valley", "--as", form, "--into", str(into))
        assert answer.status == 0, answer.err
        files = sorted(into.rglob("*")) if into.is_dir() else [into]
        texts.append("".join(one.read_text(encoding="utf-8") for one in files if one.is_file()))
    one, other = (sorted(same(text).split(",")) for text in texts)  # records lie in the order of their ids
    assert one == other
    assert "2031" in texts[1]


@pytest.mark.slow
def test_a_report_a_sheet_and_a_draft_show_the_clock_of_an_offset(book_in: Book, tmp_path: Path) -> None:
    offset = book_in("offset", OFFSET)
    assert offset("report", "high-valley", "--for", "archive", "--into", str(tmp_path / "report")).status == 0
    page = (tmp_path / "report" / "index.html").read_text(encoding="utf-8")
    assert "17:24" in page
    assert OFFSET in page
    sheet = offset("sheet", "high-valley", "--on", "2031-10-14", "--into", str(tmp_path / "sheet.html"))
    assert sheet.status == 0, sheet.err
    assert "zone: +05:00" in offset("day", "draft", "--on", "2031-10-14").out
    assert json.loads(offset("keeper", "list", "--json").out)[0]["taken_utc"].startswith(
        "2031-10-14T12:24:05"
    )
