"""`logbook keeper note`: what is typed is read as everywhere, said back where it differs, never guessed."""

from pathlib import Path

import piexif
import pytest
from PIL import Image

from tests.faces.conftest import Run

NOTE = ("keeper", "note", "--json")
FILES = ("TRN_0412.JPG", "TRN_0413.JPG", "TRN_0414.JPG")


@pytest.fixture
def pictured(stocked: Run, tmp_path: Path) -> Run:
    """Run the program on a book with three frames of a minute each at ten in the morning."""
    (tmp_path / "p").mkdir()
    for look, file in enumerate(FILES):
        exif = {
            piexif.ExifIFD.ExposureTime: (60, 1),
            piexif.ExifIFD.FNumber: (11, 1),
            piexif.ExifIFD.ISOSpeedRatings: 100,
            piexif.ExifIFD.DateTimeOriginal: f"2031:10:14 10:0{look}:00",
        }
        Image.new("RGB", (8, 8), (look, 0, 0)).save(tmp_path / "p" / file, exif=piexif.dump({"Exif": exif}))
    assert stocked("keeper", "import", "p", "--clock", "63 minutes fast").err.startswith(
        "The clock was 1 h 3 min fast: 1 h 3 min will be taken off its times."
    )
    return stocked


def filters(run: Run) -> list[list[str] | None]:
    return [row["filters"] for row in run("keeper", "list", "--json").data]


def test_filters_are_stored_under_one_name_and_said_back_where_they_differ(pictured: Run) -> None:
    for written in ("ND3.0 + CPL", "10 stop, polariser", "nd1000+pol"):
        answer = pictured(*NOTE, "0412", "--filters", written)
        assert answer.data[0]["filters"] == ["nd1000", "pol"]
        assert (f'"{written}" is kept as nd1000 + pol.' in answer.err) is (written != "nd1000+pol")


def test_a_list_by_keeper_is_noted_keeper_by_keeper(pictured: Run) -> None:
    answer = pictured(*NOTE, "0412-0414", "--filters", "0412 nd 3,0, 0413: nd8 + pol, rest unknown")
    assert answer.status == 0, answer.err
    assert filters(pictured) == [["nd1000"], ["nd8", "pol"], None]
    pictured(*NOTE, "0412-0414", "--filters", "0414 nd64")
    assert filters(pictured) == [["nd1000"], ["nd8", "pol"], ["nd64"]]
    missed = pictured(*NOTE, "0412-0413", "--filters", "0414 nd8")
    assert (missed.status, missed.err) == (
        1,
        'logbook: "0414 nd8" names none of these keepers; name one of them.\n',
    )


@pytest.mark.parametrize("slip", ["no", "same", "yes", "made", "8", "hand-held"])
def test_a_slip_is_never_stored_as_a_filter(pictured: Run, slip: str) -> None:
    answer = pictured(*NOTE, "0412", "--filters", slip)
    assert (answer.status, answer.err.count("\n")) == (2, 1)
    assert filters(pictured) == [None] * 3


def test_no_filter_that_can_hardly_be_needs_a_second_word_and_stays_then(pictured: Run) -> None:
    doubted = pictured(*NOTE, "0412", "--filters", "none")
    assert doubted.status == 2
    assert doubted.err.startswith(
        "logbook: TRN_0412.JPG: 1 min, f/11, ISO 100: without a filter the scene would be EV 1"
    )
    assert doubted.err.endswith("Add --sure if there was really none.\n")
    assert filters(pictured) == [None] * 3
    assert pictured(*NOTE, "0412", "--filters", "none", "--sure").status == 0
    assert pictured(*NOTE, "0412", "--filters", "none").status == 0
    assert filters(pictured)[0] == []


@pytest.mark.slow
def test_a_support_a_crowd_and_a_clock_are_read_as_in_a_day_file(pictured: Run) -> None:
    assert pictured(*NOTE, "0412", "--support", "hand-held").data[0]["support"] == "handheld"
    assert pictured(*NOTE, "0412", "--support", "h").status == 2
    seen = ("condition", "add", "crowd", "--on", "2031-10-14", "--viewpoint", "quarry-ledge", "--json")
    few = pictured(*seen, "--level", "a few", "--at", "2pm")
    assert (few.data["level"], few.data["at"], few.err) == ("few", "14:00", '"a few" is kept as few.\n')
    people = pictured(*seen, "--level", "~20 people", "--note", "coaches")
    assert (people.data["level"], people.data["note"]) == ("dozens", "~20 people, coaches")
    wind = ("condition", "add", "wind", "--on", "2031-10-14", "--viewpoint", "quarry-ledge", "--json")
    tide = ("condition", "add", "water", "--on", "2031-10-14", "--viewpoint", "quarry-ledge", "--json")
    assert pictured(*tide, "--level", "low tide 16:20").err.startswith(
        '"low tide 16:20" is kept as low at 16:20.'
    )
    twice = pictured(*tide, "--level", "low at 16:20", "--at", "17:00")
    assert (twice.status, "give one" in twice.err) == (2, True)
    gusty = pictured(*wind, "--level", "5-6 SW")
    assert (gusty.data["level"], gusty.data["direction"], gusty.data["note"]) == (None, "SW", "5-6 SW")
    assert pictured(*seen, "--level", "packed").err == (
        'logbook: "packed" is not a level of crowd; write one of none, few, dozens, hundreds, thousands.\n'
    )
    shot = ("shot", "edit", "bridge-flow", "--json")
    missed = pictured(*shot, "--outcome", "missed, too many people", "--reason", "too late").data
    assert (missed["outcome"], missed["reasons"], missed["note"]) == (
        "missed",
        ["crowd", "time"],
        "too many people",
    )
    clock = ("keeper", "clock", "--body", "x", "--json")
    assert pictured(*clock, "--fast", "soon").err.startswith(
        'logbook: "soon" is not a duration; write seconds'
    )
