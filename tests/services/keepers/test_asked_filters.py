"""Filters that the evidence cannot decide are asked about: in proposals, at night and in a draft."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import piexif
import pytest
from PIL import Image

from logbook.craft.inference.proposal import FilterProposal
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import KitKind, Packing
from logbook.intake.dayfile import parse_day_file
from logbook.intake.written_files import OWN_COMMENT
from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.draft import draft_day
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.proposals import propose
from logbook.services.keepers.sharpness import measure
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night
from logbook.services.plans import packing
from logbook.store.book import Book
from tests.services.night.sittings import next_question

DAY = date(2031, 10, 14)
QUESTION = "Was nd8 on from TRN_1207.JPG, or has the light fallen?"
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def take(
    book: Book, folder: Path, exposures: dict[int, int], brightness: dict[int, float] | None = None
) -> None:
    """Take in pictures made by hand a minute apart, each with one over its exposure in seconds."""
    folder.mkdir()
    for place, (number, one_over) in enumerate(exposures.items()):
        exif: dict[int, Any] = {
            piexif.ExifIFD.ExposureTime: (1, one_over),
            piexif.ExifIFD.FNumber: (8, 1),
            piexif.ExifIFD.ISOSpeedRatings: 100,
            piexif.ExifIFD.FocalLength: (24, 1),
            piexif.ExifIFD.ExposureProgram: 1,
            piexif.ExifIFD.DateTimeOriginal: f"2031:10:14 15:{10 + place}:00",
        }
        if brightness and number in brightness:
            exif[piexif.ExifIFD.BrightnessValue] = (round(brightness[number] * 100), 100)
        first = {piexif.ImageIFD.Model: "Thistle", piexif.ImageIFD.ImageDescription: f"look {number}"}
        Image.new("RGB", (24, 16), (120, 120, 120)).save(
            folder / f"TRN_{number}.JPG", "JPEG", exif=piexif.dump({"0th": first, "Exif": exif})
        )
    take_in(book, folder, trip=None)
    note_keepers(book, None, f"{min(exposures)}-{max(exposures)}", {"viewpoint": "quarry-ledge"})


@pytest.fixture
def doubtful(book: Book, tmp_path: Path) -> Book:
    """A day on which the light behind the lens fell by 2.6 stops, set by hand, with an nd8 packed."""
    kit = {"title": "nd8", "kind": KitKind.FILTER, "filter_name": "nd8"}
    packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    take(book, tmp_path / "doubtful", {1205: 250, 1206: 250, 1207: 40, 1208: 40})
    return book


def asked(book: Book) -> tuple[FilterProposal, ...]:
    return propose(book, None, DAY).filters.asked


def until(night: Night, asks: Asks, first: str) -> Question:
    """Go on by Enter to the question of this sort whose frames begin with this file."""
    while (question := next_question(night)) is not None:
        if question.asks is asks and first in question.text:
            return question
        night.take([question.key])
    raise AssertionError(asks)


def filters(book: Book) -> list[tuple[str, ...] | None]:
    with book.reading() as desk:
        return [keeper.filters for keeper in sorted(desk.keepers.all(), key=lambda one: one.file)]


def test_three_stops_set_by_hand_are_asked_about_and_claimed_by_nobody(doubtful: Book) -> None:
    found = propose(doubtful, None, DAY)
    assert found.filters.asserted == ()
    (question,) = found.filters.asked
    assert question.question("TRN_1207.JPG") == QUESTION
    assert [one.filters for one in question.explanations] == [("nd8",), ()]
    assert filters(doubtful) == [None] * 4


@pytest.mark.slow
def test_the_night_asks_and_filter_states_it(doubtful: Book) -> None:
    night = Night(doubtful, the_only_trip(doubtful), DAY)
    question = until(night, Asks.CHANGED, "TRN_1207")
    assert question.text.endswith(QUESTION.removesuffix("?"))
    assert question.choices == ("filter", "light")
    with pytest.raises(InvalidValueError):
        night.say(question.key, "perhaps")
    night.say(question.key, "filter")
    assert filters(doubtful)[2:] == [("nd8",), ("nd8",)]
    following = next_question(night)
    assert following is not None
    assert following.asks is not Asks.FILTERS
    assert asked(doubtful) == ()


@pytest.mark.slow
def test_light_states_what_was_on_before(doubtful: Book) -> None:
    night = Night(doubtful, the_only_trip(doubtful), DAY)
    night.say(until(night, Asks.FILTERS, "TRN_1205").key, "none")
    night.say(until(night, Asks.CHANGED, "TRN_1207").key, "the light")
    assert filters(doubtful) == [()] * 4
    assert asked(doubtful) == ()


@pytest.mark.slow
def test_enter_leaves_it_open_and_asks_for_the_filters_without_a_default(doubtful: Book) -> None:
    night = Night(doubtful, the_only_trip(doubtful), DAY)
    night.say(until(night, Asks.FILTERS, "TRN_1205").key, "none")
    question = until(night, Asks.CHANGED, "TRN_1207")
    night.take([question.key])
    following = next_question(night)
    assert following is not None
    assert (following.asks, following.default) == (Asks.FILTERS, "")
    assert filters(doubtful)[2:] == [None, None]


def test_the_draft_asks_with_both_answers_as_lines(doubtful: Book, dump: Dump, tmp_path: Path) -> None:
    before = dump()
    text = draft_day(doubtful, None, DAY).text
    assert QUESTION in text
    begins, ends = OWN_COMMENT
    for frame in ("TRN_1207", "TRN_1208"):
        for answer in ("nd8", "no filter"):
            assert f"{begins}- keeper {frame}: {answer} {ends}" in text
    assert "TRN_1207: filters unknown" not in text
    read = parse_day_file(text)
    claimed = [
        entry for section in read.sections for entry in section.entries if getattr(entry, "filters", None)
    ]
    assert claimed == []
    assert dump() == before
    for frame in ("TRN_1207", "TRN_1208"):
        line = f"- keeper {frame}: nd8"
        text = text.replace(f"{begins}{line} {ends}", line)
    file = tmp_path / "day.md"
    file.write_text(text, encoding="utf-8")
    read_day(doubtful, file)
    assert filters(doubtful)[2:] == [("nd8",), ("nd8",)]
    assert asked(doubtful) == ()


def test_what_the_camera_metered_settles_it(book: Book, tmp_path: Path) -> None:
    """Hand-set alike, but the body wrote down that it met five stops less (APEX brightness)."""
    kit = {"title": "nd32", "kind": KitKind.FILTER, "filter_name": "nd32"}
    packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    exposures = {1205: 250, 1206: 250, 1207: 30, 1208: 30}
    take(book, tmp_path / "read", exposures, {1205: 9.0, 1206: 9.0, 1207: 4.0, 1208: 4.0})
    found = propose(book, None, DAY).filters
    assert [one.explanations[0].filters for one in found.asserted] == [(), ("nd32",)]


def test_pictures_that_came_out_brighter_were_set_so_and_nobody_is_asked(doubtful: Book) -> None:
    with doubtful.writing() as desk:
        for keeper in desk.keepers.all():
            bright = keeper.file in ("TRN_1207.JPG", "TRN_1208.JPG")
            desk.measures.keep(keeper.hash, None, None, "", shown_stops=2.6 if bright else 0.2)
    assert propose(doubtful, None, DAY).filters.proposals == ()


@pytest.mark.slow
def test_how_bright_a_picture_came_out_is_kept_with_its_sharpness(book: Book, tmp_path: Path) -> None:
    path = tmp_path / "pictures" / "TRN_1301.JPG"
    path.parent.mkdir()
    Image.new("L", (300, 200), 118).save(path, "JPEG", quality=95)  # sRGB 118 is 18 % of white
    take_in(book, path.parent, trip=None)
    measure(book, None)
    with book.reading() as desk:
        (keeper,) = desk.keepers.all()
        assert desk.measures.shown_stops([keeper.hash]) == {keeper.hash: pytest.approx(0.0, abs=0.05)}


def the_only_trip(book: Book) -> Any:
    with book.reading() as desk:
        (trip,) = desk.trips.all()
        return trip
