"""No command writes over anything but what the program wrote there itself, and nobody changed since."""

import os
import socket
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from PIL import Image

from tests.faces.conftest import Run
from tests.faces.file_options import Named, files_named

DAY = "2031-10-14"
WRITERS: dict[Named, list[str]] = {
    ("backup", "into"): ["backup", "--into", "PLACE"],
    ("before", "into"): ["before", "quarry", "--into", "PLACE"],
    ("day draft", "into"): ["day", "draft", "--on", DAY, "--into", "PLACE"],
    ("demo", "into"): ["demo", "--into", "PLACE"],
    ("export", "into"): ["export", "high-valley", "--private", "--into", "PLACE"],
    ("plan draft", "into"): ["plan", "draft", "high-valley", "--into", "PLACE"],
    ("report", "into"): ["report", "high-valley", "--for", "archive", "--into", "PLACE"],
    ("sheet", "into"): ["sheet", "high-valley", "--on", DAY, "--into", "PLACE"],
}
READERS: set[Named] = {
    ("day read", "file"),
    ("day unread", "which"),
    ("import", "file"),
    ("keeper import", "folder"),
    ("keeper locate", "roots"),
    ("merge", "other"),
    ("plan read", "file"),
    ("report", "check"),
    ("restore", "which"),
    ("track import", "file"),
    ("track remove", "name"),
}
FORMS = ["json", "csv", "gpx", "geojson", "kml", "ics", "markdown"]
LINES = {
    **{command: line for (command, _), line in WRITERS.items()},
    "export --as csv": [*WRITERS["export", "into"], "--as", "csv", "--over"],
    "export --over": [*WRITERS["export", "into"], "--over"],
    "export for others": ["export", "high-valley", "--into", "PLACE", "--over"],
}
MORE_LINES = {
    f"export --as {form}": [*WRITERS["export", "into"], "--as", form, "--over"]
    for form in FORMS
    if form != "csv"
}


def test_every_option_that_names_a_file_is_known_to_read_or_to_write() -> None:
    assert files_named() == READERS | set(WRITERS)


@pytest.fixture
def precious(stocked: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, Path]]:
    """Everything that must stay as it is, by what it is."""
    folder = tmp_path / "precious"
    folder.mkdir()
    found = {what: folder / name for what, name in _NAMES.items()}
    Image.new("RGB", (8, 8)).save(found["a picture"])
    (tmp_path / "book.sqlite").rename(found["a book"])
    monkeypatch.setenv("LOGBOOK_BOOK", str(found["a book"]))
    assert stocked("visit", "add", "--viewpoint", "quarry-ledge", "--on", DAY, "--tries", "3").status == 0
    for what, line in (
        ("a backup", WRITERS["backup", "into"]),
        ("a draft with edits", WRITERS["day draft", "into"]),
        ("a draft", WRITERS["day draft", "into"]),
        ("a sheet with edits", WRITERS["sheet", "into"]),
        ("a brief with edits", WRITERS["before", "into"]),
        ("an export with edits", WRITERS["export", "into"]),
    ):
        assert stocked(*_placed(line, found[what])).status == 0
        if "edits" in what:
            found[what].write_text(
                found[what].read_text(encoding="utf-8").replace("igh", "ow"), encoding="utf-8"
            )
    found["a day file"].write_text(f"---\ntrip: high-valley\ndate: {DAY}\n---\nIce.\n", encoding="utf-8")
    found["a page like a sheet"].write_text(
        '<!doctype html><meta name="generator" content="shoot-logbook sheet"><p>Mine', encoding="utf-8"
    )
    found["an export of elsewhere"].write_text('{"format": "shoot-logbook", "version": 1}', encoding="utf-8")
    found["an empty file"].touch()
    found["a link to a book"].symlink_to(found["a book"])
    found["a link to a picture"].symlink_to(found["a picture"])
    os.mkfifo(found["a pipe"])
    found["a device"].symlink_to("/dev/null")
    with closing(socket.socket(socket.AF_UNIX)) as listening:
        listening.bind(str(found["a socket"]))
        yield found


_NAMES = {
    "a book": "book.sqlite",
    "a picture": "x.jpg",
    "a backup": "copy.sqlite",
    "a draft": "draft.md",
    "a draft with edits": "edited.md",
    "a day file": "day.md",
    "a sheet with edits": "sheet.html",
    "a brief with edits": "brief.html",
    "an export with edits": "edited.json",
    "an export of elsewhere": "elsewhere.json",
    "a page like a sheet": "mine.html",
    "an empty file": "empty",
    "a link to a book": "link.sqlite",
    "a link to a picture": "link.jpg",
    "a pipe": "pipe",
    "a device": "null",
    "a socket": "socket",
}
BOOKS_AND_PICTURES = ("a book", "a picture", "a backup", "an export with edits")
ITS_OWN = {("day draft", "a draft")}  # the same draft running it again changes nothing


def _placed(line: list[str], place: Path) -> list[str]:
    return [str(place) if word == "PLACE" else word for word in line]


def _as_it_is(path: Path) -> tuple[int, int, bytes]:
    found = path.lstat()
    return found.st_ino, found.st_mode, path.read_bytes() if path.is_file() else b""


@pytest.mark.slow
@pytest.mark.parametrize("writer", [*LINES, *MORE_LINES])
def test_what_it_does_not_know_stays_whatever_is_asked(
    writer: str, precious: dict[str, Path], stocked: Run
) -> None:
    before = {what: _as_it_is(path) for what, path in precious.items()}
    there = set(precious["a book"].parent.iterdir())
    for what, place in precious.items():
        if (writer, what) in ITS_OWN or (writer.startswith("export --as") and what not in BOOKS_AND_PICTURES):
            continue
        answer = stocked(*_placed((LINES | MORE_LINES)[writer], place))
        assert answer.status in (1, 2), what
        assert answer.out == "", what
        assert answer.err.count("\n") == 1, (what, answer.err)
        assert str(place) in answer.err or str(place.resolve()) in answer.err, answer.err
    assert {what: _as_it_is(path) for what, path in precious.items()} == before
    left = {path.name for path in precious["a book"].parent.iterdir()} - {path.name for path in there}
    assert left <= {"book.sqlite-wal", "book.sqlite-shm"}


def test_a_zip_of_somebody_elses_stays(stocked: Run, tmp_path: Path) -> None:
    line = ("report", "high-valley", "--for", "archive", "--into", "out", "--zip")
    assert stocked(*line).status == 0
    assert stocked("shot", "edit", "bridge-flow", "--title", "Bridge in silk").status == 0
    assert stocked(*line).status == 0, "its own is replaced"
    packed = tmp_path / "out.zip"
    packed.write_bytes(packed.read_bytes() + b"a picture that somebody added")
    before = _as_it_is(packed)
    refused = stocked(*line)
    assert (refused.status, refused.err.count("\n")) == (1, 1 + refused.err.count("for you alone"))
    assert _as_it_is(packed) == before


@pytest.mark.slow
@pytest.mark.parametrize("form", ["json", "csv", *FORMS[2:]])
def test_what_it_wrote_is_replaced_when_asked_and_by_its_own_kind_alone(
    form: str, stocked: Run, tmp_path: Path
) -> None:
    (tmp_path / "pictures").mkdir()
    Image.new("RGB", (8, 8)).save(tmp_path / "pictures" / "0001.jpg")
    assert stocked("keeper", "import", "pictures").status == 0
    stocked("visit", "add", "--viewpoint", "quarry-ledge", "--on", DAY, "--tries", "3")
    place = tmp_path / "out"
    line = ("export", "high-valley", "--as", form, "--into", "out")
    assert stocked(*line).status == 0
    first = place.read_bytes()
    for other in FORMS:
        if other != form:
            assert stocked("export", "high-valley", "--as", other, "--into", "out", "--over").status == 1
    private = stocked(*line, "--private", "--over")
    assert private.status == 1 or form in ("gpx", "geojson", "kml", "ics", "markdown"), "nothing was hidden"
    assert place.read_bytes() == first
    for edit in (
        ("trip", "edit", "high-valley", "--title", "Higher valley"),
        ("site", "edit", "quarry", "--title", "Old quarry"),
        ("shot", "edit", "bridge-flow", "--title", "Silk"),
        ("visit", "edit", f"quarry-ledge-{DAY}", "--tries", "4"),
        ("keeper", "note", "0001", "--caption", "Silk"),
    ):
        answer = stocked(*edit)
        assert answer.status == 0, answer.err
    refused = stocked(*line)
    assert refused.status == 1
    assert "--over replaces it" in refused.err
    assert stocked(*line, "--over").status == 0
    assert place.read_bytes() != first


@pytest.mark.parametrize("command", ["before", "sheet"])
def test_a_page_to_print_replaces_its_older_self_and_no_other(
    command: str, stocked: Run, tmp_path: Path
) -> None:
    place = tmp_path / "page.html"
    line = _placed(WRITERS[command, "into"], place)
    other = _placed(WRITERS["before" if command == "sheet" else "sheet", "into"], place)
    assert stocked(*line).status == 0
    first = place.read_bytes()
    assert stocked("site", "edit", "quarry", "--hazards", "Loose rock").status == 0
    assert stocked("shot", "edit", "bridge-flow", "--title", "Silk").status == 0
    assert stocked(*other).status == 1
    assert place.read_bytes() == first
    assert stocked(*line).status == 0
    assert place.read_bytes() != first


def test_where_its_list_is_lost_or_cannot_be_kept_it_writes_and_replaces_nothing(
    stocked: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a-file").touch()
    for state in (tmp_path / "elsewhere", tmp_path / "a-file" / "below"):
        line = ("export", "high-valley", "--into", f"{state.name}.json", "--over")
        assert stocked(*line).status == 0
        monkeypatch.setenv("XDG_STATE_HOME", str(state))
        assert stocked("trip", "edit", "high-valley", "--title", f"Valley {state.name}").status == 0
        assert stocked(*line).status == 1


def test_its_list_names_nothing(stocked: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    assert stocked("sheet", "high-valley", "--on", DAY, "--into", "for-smith.html").status == 0
    (kept,) = (path for path in (tmp_path / "state").rglob("*") if path.is_file())
    kind, size, digest = kept.read_text().rstrip("\n").split("\t")
    assert (kind, int(size)) == ("field sheet", (tmp_path / "for-smith.html").stat().st_size)
    assert len(digest) == 32
    assert [path.stat().st_mode & 0o777 for path in (kept, kept.parent)] == [0o600, 0o700]


def test_a_minus_is_standard_output_and_never_a_file(stocked: Run, tmp_path: Path) -> None:
    before = set(tmp_path.iterdir())
    for line in WRITERS.values():
        answer = stocked(*_placed(line, Path("-")))
        if line[0] in ("backup", "demo", "report"):
            assert (answer.status, answer.out) == (2, "")
            assert answer.err.count("\n") == 1
        else:
            assert answer.status == 0, answer.err
            assert answer.out.startswith(
                {"day": "---", "plan": "---", "export": "{"}.get(line[0], "<!doctype html>")
            ), line
    assert set(tmp_path.iterdir()) - before <= {tmp_path / "book.sqlite-wal", tmp_path / "book.sqlite-shm"}


@pytest.mark.parametrize("command", ["sheet", "before", "export"])
def test_a_folder_takes_the_file_under_a_name_that_says_it_is_private(
    command: str, stocked: Run, tmp_path: Path
) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    assert stocked(*_placed(WRITERS[command, "into"], folder)).status == 0
    (written,) = folder.iterdir()
    assert written.name.startswith("private-")


def test_a_book_without_a_trip_is_not_the_demos(logbook: Run, tmp_path: Path) -> None:
    book = tmp_path / "demo" / "book.sqlite"
    (tmp_path / "demo").mkdir()
    assert logbook("--book", str(book), "site", "add", "Own site").status == 0
    before = book.read_bytes()
    refused = logbook("demo", "--into", "demo")
    assert (refused.status, "another folder" in refused.err) == (1, True), (
        "a book without a trip is one's own"
    )
    assert book.read_bytes() == before


def test_a_demo_with_a_lesson_of_ones_own_is_kept(on_demo: Run, tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    assert on_demo("lesson", "add", "change", "Bring gloves").status == 0
    before = book.read_bytes()
    refused = on_demo("demo", "--into", str(tmp_path))
    assert (refused.status, refused.err.count("\n")) == (1, 1)
    assert "another folder" in refused.err
    assert book.read_bytes() == before
    assert "Bring gloves" in {row["text"] for row in on_demo("lesson", "list", "--json").data}


@pytest.mark.slow
def test_a_demo_whose_own_lesson_was_taken_back_is_built_anew(on_demo: Run, tmp_path: Path) -> None:
    assert on_demo("lesson", "add", "change", "Bring gloves").status == 0
    assert on_demo("undo").status == 0
    assert on_demo("demo", "--into", str(tmp_path)).status == 0
