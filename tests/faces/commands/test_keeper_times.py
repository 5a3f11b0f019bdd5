"""One clock in every list: the place's; where only the camera's is known, its mark; light that cannot be."""

import csv
import io
import re
import shlex
from pathlib import Path

import piexif
import pytest
from PIL import Image

from tests.faces.conftest import OnTerminal, Run


def frame(path: Path, taken: str, offset: str | None = None, exposure: tuple[int, int] = (1, 125)) -> None:
    """Write a picture as a camera does."""
    path.parent.mkdir(exist_ok=True)
    exif = {
        "0th": {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: path.stem[:3]},
        "Exif": {
            piexif.ExifIFD.DateTimeOriginal: taken,
            piexif.ExifIFD.ExposureTime: exposure,
            piexif.ExifIFD.FNumber: (8, 1),
            piexif.ExifIFD.ISOSpeedRatings: 100,
        }
        | ({piexif.ExifIFD.OffsetTimeOriginal: offset} if offset else {}),
    }
    Image.new("RGB", (240, 160), (len(taken), ord(path.stem[0]), 60)).save(path, exif=piexif.dump(exif))


@pytest.fixture
def two_clocks(stocked: Run, tmp_path: Path) -> Run:
    """A camera on home time that says so, and one on the place's time that says nothing."""
    frame(tmp_path / "card" / "HOM_0001.JPG", "2031:10:14 12:24:05", "+02:00")
    frame(tmp_path / "card" / "LOC_0001.JPG", "2031:10:14 15:30:00")
    assert stocked("keeper", "import", str(tmp_path / "card")).status == 0
    return stocked


def test_every_list_has_the_time_at_the_place(two_clocks: Run) -> None:
    for line in (("keeper", "list"), ("day", "show", "2031-10-14")):
        out = two_clocks(*line).out
        assert "15:24" in out, line
        assert "15:30" in out, line
        assert "12:24" not in out, line
        assert "camera's clock" not in out, line
    home, _ = two_clocks("keeper", "list", "--json").data
    assert (home["place_time"], home["camera_time"]) == ("2031-10-14T15:24:05", "2031-10-14T12:24:05")
    shown = two_clocks("keeper", "show", "hom-0001").out
    assert "taken local" not in shown
    assert "time at the place" in shown
    assert "camera time" in shown


@pytest.mark.slow
def test_where_only_the_cameras_clock_is_known_every_list_says_so(
    two_clocks: Run, on_terminal: OnTerminal, tmp_path: Path
) -> None:
    two_clocks("trip", "add", "Nowhere yet")
    frame(tmp_path / "more" / "ODD_0001.JPG", "2031:10:15 11:11:00")
    two_clocks("keeper", "import", str(tmp_path / "more"), "--trip", "nowhere")
    (odd,) = two_clocks("keeper", "list", "--trip", "nowhere", "--json").data
    assert (odd["place_time"], odd["camera_time"]) == (None, "2031-10-15T11:11:00")
    for line in (("keeper", "list"), ("day", "show", "2031-10-15", "--trip", "nowhere")):
        out = on_terminal(*line)
        assert any("11:11" in text for text in out), line
        assert sum("camera's clock" in text for text in out) == 1, line
        assert max(map(len, out)) <= 80
    table = two_clocks("export", "nowhere", "--as", "csv", "--private").out
    (row,) = csv.DictReader(io.StringIO(table))
    assert (row["Time at the place"], row["Camera's time"]) == ("", "2031-10-15 11:11:00")
    into = tmp_path / "report"
    assert two_clocks("report", "nowhere", "--for", "students", "--into", str(into)).status == 0
    page = (into / "index.html").read_text(encoding="utf-8")
    assert "11:11 (by the camera’s clock)" in page


@pytest.mark.slow
def test_light_that_cannot_be_is_said_wherever_the_picture_is_shown(
    stocked: Run, on_terminal: OnTerminal, tmp_path: Path
) -> None:
    frame(tmp_path / "card" / "BAD_0001.JPG", "2021:10:14 02:30:00", exposure=(1, 256))
    stocked("keeper", "import", str(tmp_path / "card"))
    stocked("keeper", "note", "0001", "--viewpoint", "quarry-ledge")
    (bad,) = stocked("keeper", "list", "--json").data
    doubt = bad["light_doubt"]
    assert doubt["reason"].startswith("EV 14 with the sun ")
    assert doubt["words"] == "too bright for night"
    day = ("day", "show", "2021-10-13")  # half past two belongs to the day before
    for line in (("keeper", "list"), ("keeper", "show", "0001"), day, ("check",), ("keeper", "propose")):
        out = on_terminal(*line)
        assert doubt["reason"] in " ".join(" ".join(out).split()), line
        assert max(len(text) for text in out if "\r" not in text) <= 80, line  # but the progress
    assert any("impossible light" in text for text in on_terminal("keeper", "list"))
    assert stocked("check").status == 0
    assert stocked(*day, "--json").data["keepers"][0]["light_doubt"] == doubt


def test_light_names_the_trip_whose_clock_it_reads(stocked: Run) -> None:
    answer = stocked("light", "quarry-ledge", "--on", "2031-10-14")
    assert "times are in the zone of the trip high-valley" in answer.err
    data = stocked("light", "quarry-ledge", "--on", "2031-10-14", "--json").data
    assert (data["zone"], data["zone_from"], data["zone_trip"]) == ("Asia/Dushanbe", "trip", "high-valley")


def test_light_names_the_day_whose_zone_was_noted(stocked: Run, tmp_path: Path) -> None:
    noted = tmp_path / "14.md"
    noted.write_text("---\ntrip: high-valley\ndate: 2031-10-14\nzone: +06:00\n---\nOn the other side.\n")
    stocked("day", "read", str(noted))
    answer = stocked("light", "quarry-ledge", "--on", "2031-10-14")
    assert (answer.status, "the zone noted for the day" in answer.out) == (0, True)
    assert "the zone noted for that day of the trip high-valley" in answer.err


@pytest.mark.slow
def test_a_time_that_comes_twice_is_doubted_everywhere_until_it_is_said_which(
    stocked: Run, tmp_path: Path
) -> None:
    """Berlin puts its clocks back at 03:00 on 2031-10-26 (IANA time zone database), the night of the 25th."""
    stocked("trip", "add", "Night walk", "--zone", "Europe/Berlin")
    frame(tmp_path / "card" / "LOC_0001.JPG", "2031:10:26 02:30:00")
    trip = ("--trip", "night-walk")
    imported = stocked("keeper", "import", str(tmp_path / "card"), *trip)
    assert "LOC_0001.JPG: 02:30 comes twice on 2031-10-26 in Europe/Berlin: the first is used" in " ".join(
        imported.err.split()
    )
    (one,) = stocked("keeper", "list", *trip, "--json").data
    assert one["time_doubt"] | {"reason": ""} == {
        "words": "comes twice", "reading": "2031-10-26T02:30:00", "zone": "Europe/Berlin", "taken": 1,
        "instants": ["2031-10-26T00:30:00Z", "2031-10-26T01:30:00Z"], "reason": "",
    }  # fmt: skip
    assert "comes twice" in stocked("keeper", "list", *trip).out
    day = ("day", "show", "2031-10-25", *trip)
    assert "comes twice" in stocked(*day).out
    assert stocked(*day, "--json").data["keepers"][0]["time_doubt"] == one["time_doubt"]
    assert "comes twice" in stocked("keeper", "show", "0001", *trip).out
    proposed = " ".join(stocked("keeper", "propose", *trip, "--on", "2031-10-25").out.split())
    assert "comes twice" in proposed
    assert any(
        "comes twice" in doubt
        for clock in stocked("keeper", "propose", *trip, "--on", "2031-10-25", "--json").data["clocks"]
        for doubt in clock["doubts"]
    )
    drafted = stocked("day", "draft", "--on", "2031-10-25", *trip).out
    assert "comes twice" in drafted
    offered = re.search(r'"(logbook keeper clock [^"]+)"', one["time_doubt"]["reason"])
    assert offered
    said = stocked(*shlex.split(offered[1])[1:], "--later", *trip)
    assert said.status == 0, said.err
    (one,) = stocked("keeper", "list", *trip, "--json").data
    assert (one["time_doubt"], one["taken_utc"]) == (None, "2031-10-26T01:30:00Z")
    assert one["place_time"] == "2031-10-26T02:30:00"
    once = stocked(*shlex.split(offered[1])[1:-1], "3600", "--later", *trip)
    assert (once.status, "came only once in Europe/Berlin; leave out --later" in once.err) == (2, True)
