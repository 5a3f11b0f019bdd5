"""Bad input gets one sentence on stderr and the right exit status, never a traceback."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

Run = Callable[..., Any]

WRONG_USE: dict[str, tuple[list[str], str]] = {
    "a latitude beyond the pole": (["site", "add", "X", "--lat", "95", "--lon", "0"], "atitude"),
    "half a position": (["site", "add", "X", "--lat", "5"], "both --lat and --lon"),
    "a position that is none": (["site", "add", "X", "--position", "somewhere"], "somewhere"),
    "an elevation that is no number": (["site", "add", "X", "--elevation", "nan"], "elevation"),
    "an elevation in words": (["site", "add", "X", "--elevation", "high"], "--elevation"),
    "f/0": (["shot", "add", "X", "--f-number", "f/0"], "0"),
    "1/0 s": (["shot", "add", "X", "--exposure", "1/0 s"], "1/0"),
    "an ISO of zero": (["shot", "add", "X", "--iso", "0"], "0"),
    "a focal length in words": (["shot", "add", "X", "--focal", "wide"], "wide"),
    "a window that is none": (["shot", "add", "X", "--window", "dusk"], "dusk"),
    "a day of no calendar": (["shot", "add", "X", "--on", "2031-02-30"], "2031-02-30"),
    "a date that could be two days": (
        ["shot", "add", "X", "--on", "10/11/2031"],
        "or could be two; write it",
    ),
    "an hour of no clock": (["condition", "add", "crowd", "--on", "2031-10-14", "--at", "25:00"], "25:00"),
    "a trip that ends first": (["trip", "add", "X", "--from", "2031-10-14", "--to", "2031-10-13"], "before"),
    "a zone that is none": (["trip", "add", "X", "--zone", "Mars/Base"], "Mars/Base"),
    "an empty title": (["trip", "add", " "], "needs a title"),
    "a bearing beyond the circle": (
        ["viewpoint", "add", "X", "--site", "quarry", "--facing", "400"],
        "400",
    ),
    "a crowd of no scale": (["condition", "add", "crowd", "--on", "2031-10-14", "--level", "some"], "some"),
    "nothing seen": (["condition", "add", "crowd", "--on", "2031-10-14"], "level or a note"),
    "a word of no vocabulary": (["shot", "list", "--outcome", "great"], "great"),
    "a reason without an outcome": (["shot", "edit", "bridge-flow", "--reason", "light"], "add --outcome"),
    "nothing to change": (["trip", "edit", "high-valley"], "Say what to change"),
    "a field that cannot be cleared": (
        ["trip", "edit", "high-valley", "--clear", "title"],
        "cannot be cleared",
    ),
    "a slug that is none": (["trip", "add", "X", "--slug", "No Slug"], "no-slug"),
    "a missing option": (["viewpoint", "add", "X"], "--site"),
    "an unknown option": (["trip", "list", "--all"], "--all"),
    "an unknown command": (["trip", "fly"], "fly"),
    "a sensor of one side": (["kit", "add", "X", "--kind", "camera", "--sensor", "36"], "width x height"),
    "a clock in words": (["keeper", "import", ".", "--clock", "slow"], "is not a correction"),
    "no text at all": (["lesson", "add", "keep", " "], "needs some text"),
    "text with bytes that are not UTF-8": (["trip", "add", "caf\udce9"], "UTF-8"),
}

NOT_MET: dict[str, tuple[list[str], str]] = {
    "a viewpoint that is not there": (
        ["visit", "add", "--viewpoint", "quary-lege", "--on", "2031-10-14"],
        "the nearest name is quarry-ledge",
    ),
    "a misspelt slug": (["shot", "show", "brige-folw"], "the nearest name is bridge-flow"),
    "a misspelt trip": (["report", "hihg-valley", "--for", "client", "--into", "out"], "high-valley"),
    "a folder without pictures": (["keeper", "import", "."], "There are no pictures in"),
    "a folder that is not there": (["keeper", "import", "nowhere"], "There is no folder nowhere"),
    "a keeper of a trip without pictures": (
        ["keeper", "show", "0412"],
        'add one with "logbook keeper import FOLDER"',
    ),
    "a file where a folder belongs": (["keeper", "import", "a-file"], "a-file is a file, not a folder"),
    "a book that is not there to merge": (["merge", "none.sqlite"], "There is no file none.sqlite; name the"),
    "a day file that is not there": (
        ["day", "read", "nowhere.md"],
        "There is no file nowhere.md; check its name",
    ),
    "a slug that is taken": (["trip", "add", "X", "--slug", "high-valley"], "already"),
    "what others refer to": (["site", "remove", "quarry"], "viewpoint quarry-ledge"),
    "a report into a file": (
        ["report", "high-valley", "--for", "client", "--into", "a-file"],
        "a-file",
    ),
    "a report below a file": (["report", "high-valley", "--for", "client", "--into", "a-file/out"], "a-file"),
    "a report where nobody may write": (
        ["report", "high-valley", "--for", "client", "--into", "/proc/out"],
        "/proc",
    ),
    "a demo below a file": (["demo", "--into", "a-file/demo"], "a-file"),
    "a demo among other things": (["demo", "--into", "."], "choose another"),
}


def one_sentence(answer: Any) -> None:
    assert answer.out == ""
    assert "Traceback" not in answer.err
    assert answer.err.startswith("logbook: ")
    assert answer.err.count("\n") == 1
    assert answer.err.rstrip().endswith((".", '"'))


@pytest.mark.parametrize("what", WRONG_USE)
def test_wrong_use_leaves_with_2_and_says_what_is_wrong(stocked: Run, what: str) -> None:
    line, sentence = WRONG_USE[what]
    answer = stocked(*line)
    assert answer.status == 2, answer.err
    assert sentence in answer.err
    one_sentence(answer)


@pytest.mark.parametrize("what", NOT_MET)
def test_what_cannot_be_met_leaves_with_1_and_says_why(stocked: Run, tmp_path: Path, what: str) -> None:
    (tmp_path / "a-file").write_text("in the way", encoding="utf-8")
    line, sentence = NOT_MET[what]
    answer = stocked(*line)
    assert answer.status == 1, answer.err
    assert sentence in answer.err
    one_sentence(answer)
    assert (tmp_path / "a-file").read_text(encoding="utf-8") == "in the way"


def test_what_is_no_book_leaves_with_1(logbook: Run, tmp_path: Path) -> None:
    (tmp_path / "diary.txt").write_text("Dear diary", encoding="utf-8")
    with closing(sqlite3.connect(tmp_path / "other.sqlite")) as connection:
        connection.execute("CREATE TABLE note (x)")
    for name, sentence in (
        ("diary.txt", "is not a logbook"),
        ("other.sqlite", "another program"),
        (".", "is a folder"),
        ("missing.sqlite", "There is no book"),
        ("diary.txt/book.sqlite", "book"),
    ):
        answer = logbook("trip", "list", "--book", name)
        assert answer.status == 1, name
        assert sentence in answer.err
        one_sentence(answer)


def test_a_misspelt_viewpoint_in_a_day_file_is_told_with_its_line_and_stops_nothing(
    stocked: Run, tmp_path: Path
) -> None:
    (tmp_path / "day.md").write_text(
        "---\ntrip: high-valley\ndate: 2031-10-14\n---\nIce.\n\n## Quary lege 17:20\n- tries: 3\n",
        encoding="utf-8",
    )
    answer = stocked("day", "read", "day.md")
    assert answer.status == 0
    assert "day.md:7: ## Quary lege 17:20" in answer.err
    assert "the nearest name is quarry-ledge" in answer.err
    assert "day.md:8: - tries: 3" in answer.err
    assert "Quary" not in answer.out
    shown = stocked("day", "show", "2031-10-14")
    assert shown.status == 0
    assert "Ice." in shown.out
    assert "day.md:7" in shown.err


def test_a_day_that_holds_only_lines_to_sort_out_shows_them(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "day.md").write_text("---\ndate: 2031-10-14\n---\n- shot nothing: made\n", encoding="utf-8")
    assert stocked("day", "read", "day.md").status == 0
    assert "day.md:4: - shot nothing: made" in stocked("day", "show", "2031-10-14").err


@pytest.mark.slow
def test_a_clock_correction_beyond_the_calendar_stops_nothing(on_demo: Run) -> None:
    on_demo("trip", "add", "Again")
    line = ("keeper", "import", "sample_trip/high-valley-autumn/pictures", "--trip", "again")
    answer = on_demo(*line, "--clock", "999999999")  # 31 years
    assert answer.status == 0, answer.err
    refused = on_demo(*line, "--clock", "999999999999")
    assert (refused.status, "is not a correction" in refused.err) == (2, True)


def test_a_demo_never_overwrites_a_book_of_ones_own(logbook: Run, tmp_path: Path) -> None:
    logbook("trip", "add", "My own")
    before = (tmp_path / "book.sqlite").read_bytes()
    answer = logbook("demo", "--into", str(tmp_path))
    assert answer.status == 1
    assert "is a book of your own" in answer.err
    assert (tmp_path / "book.sqlite").read_bytes() == before
    assert [row["slug"] for row in logbook("trip", "list", "--json").data] == ["my-own"]


@pytest.mark.parametrize("odd", ["\x1b]0;owned\x07", "\x9b31m", "a\u202eb"])
def test_no_name_steers_the_terminal(stocked: Run, tmp_path: Path, odd: str) -> None:
    picture = tmp_path / "pictures" / f"{odd}.jpg"
    picture.parent.mkdir()
    Image.new("RGB", (8, 8)).save(picture)
    (tmp_path / "pictures" / f"{odd}-damaged.jpg").write_text("no picture", encoding="utf-8")
    for line in (
        ("keeper", "import", "pictures"),
        ("keeper", "list"),
        ("keeper", "list", "--json"),
        ("shot", "show", odd),
        ("shot", odd),
        ("trip", "add", odd),
        ("trip", "list"),
        ("shot", "list", "--outcome", odd),
        ("day", "show", odd),
    ):
        answer = stocked(*line)
        for letter in "\x1b\x07\x9b\u202e":
            assert letter not in answer.out + answer.err, line


def test_a_refused_picture_is_named_once(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "pictures").mkdir()
    (tmp_path / "pictures" / "damaged.jpg").write_text("no picture", encoding="utf-8")
    said = stocked("keeper", "import", "pictures").err
    assert "Refused " in said
    assert said.count("damaged.jpg") == 1


def test_an_empty_list_says_what_fills_it(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    for noun, example in (
        ("shot", '"logbook shot add TITLE"'),
        ("kit", '"logbook kit add TITLE --kind filter"'),
        ("site", '"logbook site add TITLE"'),
        ("keeper", '"logbook keeper import FOLDER"'),
        ("lesson", '"logbook lesson add change TEXT"'),
        ("visit", '"logbook visit add --viewpoint NAME --on DATE"'),
        ("condition", '"logbook condition add crowd --level few --on DATE"'),
    ):
        answer = logbook(noun, "list")
        assert (answer.status, answer.out) == (0, ""), noun
        assert example in answer.err, noun


def test_a_place_where_nothing_was_planned_says_so_once(stocked: Run) -> None:
    stocked("site", "add", "Long dune")
    assert "No shot was ever planned here." in stocked("before", "long-dune").out
