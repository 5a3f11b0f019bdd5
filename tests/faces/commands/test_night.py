"""`logbook night` in a real terminal of 80 by 24: only Enter, stopping, being killed, resuming, keys."""

import datetime as dt
import re
import signal
import sys
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pexpect
import piexif
import pytest
from PIL import Image

from logbook.domain.words import KitKind, Packing, Provenance
from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.services.night.screens import ScreenOf, screens_of
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
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


@pytest.mark.slow
def test_stopping_anywhere_keeps_what_was_said_and_resumes_there(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    for stop in ("q\r", "\x03", "\x04", "kill"):
        window.wait()
        window.enter()
        window.wait()
        standing = window.open_keys()
        if stop == "kill":
            window.child.kill(signal.SIGKILL)
            window.child.expect(pexpect.EOF)
        else:
            window.child.send(stop)
            window.child.expect_exact("Stopped here")
            window.child.expect(pexpect.EOF)
            window.child.close()
            assert window.child.exitstatus == 0, stop
        assert window.open_keys() == standing, stop
        window = opened(book_path, TRIP)
        assert window.open_keys() == standing, stop
    assert "The day is in the book" in window.finish()


@pytest.mark.slow
def test_back_yes_and_a_slip_of_the_finger(opened: Opened, book_path: Path) -> None:
    window = opened(book_path, TRIP)
    window.go_to(ScreenOf.DAY)
    window.line("clock Halvern: 7 min slow")
    window.line("north rim road closed")
    window.enter()
    window.go_to(ScreenOf.STAY, 1)
    before = window.open_keys()
    window.line("tries: many")
    assert window.open_keys() == before
    window.enter("y")
    window.wait()
    window.child.send("b\r")
    window.child.expect(r"14:41-14:41\s+stated")
    window.child.expect_exact("Stay 1>")
    window.press("\r")
    window.finish()
    with window.night.book.reading() as desk:
        assert [one.note for one in desk.conditions.all(on_date=LAST_DAY)] == ["north rim road closed"]
        assert [str(one.evidence) for one in desk.clocks.all()] == ["stated"]


@pytest.mark.slow
def test_no_line_is_wider_than_the_terminal(logbook: Run, book_path: Path, monkeypatch: Any) -> None:
    from io import StringIO

    monkeypatch.setattr(
        "sys.stdin",
        StringIO(
            "help\n\nhelp\no\n\nbananas and what else a tired person may type\nm\ntripod\n" + "\n" * 100
        ),
    )
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0, answer.err
    assert max(len(line) for line in answer.err.splitlines()) <= 80
    shown, _, last = answer.out.rpartition("The day is in the book")
    assert last
    assert [line for line in shown.splitlines() if len(line) > 80] == []


@pytest.mark.slow
def test_every_screen_says_how_far_one_is_and_what_can_be_typed(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n" * 100))
    lines = logbook("night", "--trip", TRIP).out.splitlines()
    headings = [line for line in lines if line.startswith("── ")]
    assert [re.sub(r"[ ─]+", " ", heading).strip() for heading in headings] == [
        "The day 1 of 5",
        "Stay 1: north-rim 14:41-14:41, 1 frame 2 of 5",
        "Stay 2: quarry-ledge 16:12-17:53, 6 frames 3 of 5",
        "Planned for today 4 of 5",
        "Looking back 5 of 5",
    ]
    assert {len(heading) for heading in headings} == {78}
    begins = [number for number, line in enumerate(lines) if line in headings]
    screens = [lines[begin:end] for begin, end in pairwise([*begins, len(lines)])]
    assert all(len(screen) <= 24 for screen in screens[:-1])
    hints = (
        "Enter continues; or:",
        "Enter keeps it, y confirms it",
        "Enter keeps it, y confirms it",
        "Enter leaves them open",
    )
    for screen, hint in zip(screens, hints, strict=False):
        assert sum(hint in line for line in screen) == 1


@pytest.mark.slow
def test_a_piped_session_that_ends_early_is_kept(logbook: Run, book_path: Path, monkeypatch: Any) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n\n"))
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0
    assert "Stopped here" in answer.err
    book = Book(book_path, now, create=False)
    screens = screens_of(whole_evening(Night(book, *day_to_write(book, TRIP, None))))
    assert [bool(one.open_keys) for one in screens] == [False, False, True, True, True]


@pytest.mark.slow
def test_days_in_arrears_are_named_first_and_the_next_one_last(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n" * 100))
    out = logbook("night", "--trip", TRIP).out
    command = f"logbook night --trip {TRIP} --on 2025-10-"
    assert out.count(command) == 2
    assert "Still to write up" in out.partition("── ")[0]
    assert "Still to write up: 2025-" in out.partition("The day is in the book")[2]


@pytest.mark.slow
def test_a_screen_longer_than_the_terminal_says_so_and_m_shows_the_rest(
    logbook: Run, tmp_path: Path, monkeypatch: Any
) -> None:
    from io import StringIO

    path = three_viewpoints(tmp_path / "book.sqlite")
    book = Book(path, now, create=False)
    for number in range(20):
        shot = {"title": f"Crest view {number}", "viewpoint": "crest", "on_date": date(2025, 10, 14)}
        outcomes.plan_shot(book, None, shot, None)
    monkeypatch.setenv("LOGBOOK_BOOK", str(path))
    monkeypatch.setattr("sys.stdin", StringIO("o\n5\nm\nq\n"))
    out = logbook("night").out
    cut, _, whole = out.rpartition("── Planned for today")
    _, _, cut = cut.rpartition("── Planned for today")
    assert len(cut.splitlines()) < 24
    assert re.search(r"… \d+ more lines; m shows them all", cut)
    assert "crest-view-19" not in cut
    assert "crest-view-19" in whole


@pytest.mark.slow
def test_late_keepers_open_only_their_stay(logbook: Run, book_path: Path, monkeypatch: Any) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("\n" * 100))
    logbook("night", "--trip", TRIP)
    with Book(book_path, now, create=False).writing() as desk:
        keeper = desk.keepers.first(file="TRN_0479.JPG")
        assert keeper is not None
        bare = replace(keeper, filters=None, shot_id=None, sharpness=None, provenance={})
        desk.keepers.add(replace(bare, id="f" * 32, slug="new", hash="new", file="TRN_0499.JPG"))
    monkeypatch.setattr("sys.stdin", StringIO("0499: nd8\ny\n"))
    out = logbook("night", "--trip", TRIP).out
    assert [
        line.partition(",")[2].split("─")[0].strip() for line in out.splitlines() if line[:3] == "── "
    ] == ["1 frame imported later"]
    assert "place" not in out.partition("── ")[2].partition("The day is in the book")[0].split("Stay 2>")[0]
    with Book(book_path, now, create=False).reading() as desk:
        late = desk.keepers.first(file="TRN_0499.JPG")
    assert late is not None
    assert (late.filters, late.provenance_of("filters")) == (("nd8",), Provenance.STATED)


@pytest.mark.slow
def test_the_overview_leads_to_a_screen_by_its_number(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    from io import StringIO

    monkeypatch.setattr("sys.stdin", StringIO("o\n4\nq\n"))
    answer = logbook("night", "--trip", TRIP)
    assert "   4  Planned for today" in answer.out
    monkeypatch.setattr("sys.stdin", StringIO("o\n5\nA long day.\n\nq\n"))
    logbook("night", "--trip", TRIP)
    with Book(book_path, now, create=False).reading() as desk:
        assert [one.journal for one in desk.days.all(on_date=LAST_DAY)] == ["A long day."]


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


@pytest.mark.slow
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


@pytest.mark.slow
def test_without_any_input_it_stops_at_the_first_question(
    logbook: Run, book_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setattr("sys.stdin", None)
    answer = logbook("night", "--trip", TRIP)
    assert answer.status == 0
    assert "Stopped here" in answer.err
