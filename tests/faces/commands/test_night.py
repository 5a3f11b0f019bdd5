"""`logbook night` in a real terminal of 80 by 24: only Enter, stopping, being killed, resuming, keys."""

import datetime as dt
import re
import signal
import sys
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pexpect
import piexif
from PIL import Image

from logbook.domain.words import KitKind, Packing, Provenance
from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night, day_to_write
from logbook.services.plans import outcomes, packing
from logbook.store.backups import Why, listed
from logbook.store.book import Book
from tests.faces.commands.windows import Opened
from tests.faces.conftest import Run
from tests.services.night.sittings import LAST_DAY, TRIP, now

MOST_KEYSTROKES = 60  # for a day with three viewpoints and twelve keepers, besides free text


def test_only_enter_leads_from_the_first_question_to_a_day_on_one_screen(
    opened: Opened, book_path: Path
) -> None:
    window = opened(book_path, TRIP)
    screen = window.finish()
    assert "The day is in the book" in screen
    assert "quarry-ledge" in screen
    assert "nd1000" in screen
    assert [one.why for one in listed(book_path)] == [Why.NIGHT]


def test_stopping_anywhere_keeps_what_was_said_and_resumes_there(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    for stop in ("q\r", "\x03", "\x04", "kill"):
        for _ in range(3):
            window.wait()
            window.enter()
        window.wait()
        standing = window.night.step()
        if stop == "kill":
            window.child.kill(signal.SIGKILL)
            window.child.expect(pexpect.EOF)
        else:
            window.child.send(stop)
            window.child.expect_exact("Stopped here")
            window.child.expect(pexpect.EOF)
            window.child.close()
            assert window.child.exitstatus == 0, stop
        assert window.night.step() == standing, stop
        window = opened(book_path, TRIP)
        assert window.night.step() == standing, stop
    assert "The day is in the book" in window.finish()


def test_back_yes_and_a_slip_of_the_finger(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.wait()
    window.child.send("soon\r")
    window.child.expect_exact("is not a correction")
    window.wait()
    window.enter("y")
    window.wait()
    window.child.send("y\r")
    window.child.expect_exact("Nothing is proposed")
    window.enter("north rim road closed")
    window.wait()
    window.child.send("b\r")
    window.child.expect_exact("[north rim road closed, stated]")
    window.enter()
    with window.night.book.reading() as desk:
        assert [one.note for one in desk.conditions.all(on_date=LAST_DAY)] == ["north rim road closed"]
        assert [str(one.evidence) for one in desk.clocks.all()] == ["stated"]


def test_no_line_is_wider_than_the_terminal(logbook: Run, book_path: Path, monkeypatch: Any) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("soon\n" + "\n" * 12 + "tripod\n" + "\n" * 100))
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0, answer.err
    assert max(len(line) for line in answer.err.splitlines()) <= 80
    shown, _, last = answer.out.rpartition("The day is in the book")
    assert last
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_the_words_of_an_answer_are_named_once_a_chapter_and_the_way_to_go_is_told(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n" * 100))
    lines = logbook("night", "--trip", TRIP).out.splitlines()
    headings = [line for line in lines if line.startswith("── ")]
    assert not headings[0].endswith("of 2")
    assert re.fullmatch(r"── north-rim 14:41 ─+ 3 of \d+", headings[2])
    assert re.fullmatch(r"── A place without a viewpoint 16:12-17:53 ─+ 11 of \d+", headings[3])
    assert all(len(heading) == 72 for heading in headings)
    begins = [number for number, line in enumerate(lines) if line in headings]
    chapters = [lines[begin:end] for begin, end in pairwise([*begins, len(lines)])]
    for hint, of_chapters in (
        ("tripod monopod braced handheld other", 2),  # each visit is a chapter
        ("made partly replaced missed, then a reason: partly", 1),
        ("such as nd8 + pol", 2),
    ):
        found = [sum(hint in line for line in chapter) for chapter in chapters]
        assert sorted(found, reverse=True) == [1] * of_chapters + [0] * (len(chapters) - of_chapters)


def test_a_piped_session_that_ends_early_is_kept(logbook: Run, book_path: Path, monkeypatch: Any) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n\n\n"))
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0
    assert "Stopped here" in answer.err
    book = Book(book_path, now, create=False)
    step = Night(book, *day_to_write(book, TRIP, None)).step()
    assert step is not None
    assert step.question.asks is Asks.CROWD


def three_viewpoints(path: Path) -> Path:
    """A day with three viewpoints and twelve keepers: planned, packed, photographed with positions."""
    book = Book(path, now, create=True)
    records.add(book, kinds.TRIP, {"title": "Valley", "zone": "Asia/Dushanbe"}, "valley")
    for name in ("nd8", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    records.add(book, kinds.SITE, {"title": "Gorge", "latitude_deg": 38.2, "longitude_deg": 73.4})
    folder = path.with_name("pictures")
    folder.mkdir()
    for place, (name, hour) in enumerate((("Bridge", 8), ("Ledge", 12), ("Crest", 16))):
        latitude_deg = 38.2 + place * 0.02
        viewpoint = {"title": name, "site": "gorge", "latitude_deg": latitude_deg, "longitude_deg": 73.4}
        records.add(book, kinds.VIEWPOINT, viewpoint)
        shot = {"title": f"{name} silk", "viewpoint": name.lower(), "on_date": date(2025, 10, 14)}
        outcomes.plan_shot(book, None, {**shot, "focal_mm": 35.0}, None)
        for frame, exposure in enumerate(((1, 60), (1, 60), (15, 1), (1, 60))):
            begun = dt.datetime(2025, 10, 14, hour)  # noqa: DTZ001
            taken = begun + timedelta(minutes=6 * frame)
            _picture(folder / f"DAY_{place}{frame:03}.JPG", taken, latitude_deg, exposure)
    take_in(book, folder, trip=None)
    return path


def _picture(path: Path, taken: dt.datetime, latitude_deg: float, exposure: tuple[int, int]) -> None:
    exif = {
        piexif.ExifIFD.DateTimeOriginal: f"{taken:%Y:%m:%d %H:%M:%S}",
        piexif.ExifIFD.OffsetTimeOriginal: "+05:00",
        piexif.ExifIFD.ExposureTime: exposure,
        piexif.ExifIFD.FNumber: (8, 1),
        piexif.ExifIFD.ISOSpeedRatings: 100,
        piexif.ExifIFD.FocalLength: (35, 1),
        piexif.ExifIFD.ExposureProgram: 3,
    }
    minutes = round((latitude_deg - 38) * 60 * 100)
    where = {
        piexif.GPSIFD.GPSLatitudeRef: "N",
        piexif.GPSIFD.GPSLatitude: ((38, 1), (minutes, 100), (0, 1)),
        piexif.GPSIFD.GPSLongitudeRef: "E",
        piexif.GPSIFD.GPSLongitude: ((73, 1), (24, 1), (0, 1)),
    }
    first = {
        piexif.ImageIFD.Make: "Halvern",
        piexif.ImageIFD.Model: "Thistle",
        piexif.ImageIFD.ImageDescription: path.name,
    }
    colour = (120, 140, 90)
    Image.new("RGB", (24, 16), colour).save(
        path, exif=piexif.dump({"0th": first, "Exif": exif, "GPS": where})
    )


def test_a_day_with_three_viewpoints_and_twelve_keepers_takes_few_keystrokes(
    opened: Opened, tmp_path: Path
) -> None:
    window = opened(three_viewpoints(tmp_path / "book.sqlite"), "valley")
    screen = window.finish()
    sys.stdout.write(f"\nkeystrokes of a day with 3 viewpoints and 12 keepers: {window.keystrokes}")
    assert window.keystrokes <= MOST_KEYSTROKES
    assert "The day is in the book" in screen
    with window.night.book.reading() as desk:
        visits, keepers = desk.visits.all(), desk.keepers.all()
        assert len(visits) == 3
        assert len(keepers) == 12
        assert all(keeper.viewpoint_id for keeper in keepers)
        assert all(keeper.provenance_of("viewpoint_id") is Provenance.INFERRED for keeper in keepers)
        assert sum(keeper.filters == ("nd1000",) for keeper in keepers) == 3
        assert sum(keeper.shot_id is not None for keeper in keepers) >= 3
        assert not desk.outcomes.all()


def test_without_any_input_it_stops_at_the_first_question(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setattr("sys.stdin", None)
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0
    assert "Stopped here" in answer.err
