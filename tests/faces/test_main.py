"""The program as a process: instant help, the book named early or late, pipes, signals."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from logbook import __version__
from logbook.faces.contents import CONTENTS
from logbook.services import records
from tests.store.older import older_book

Run = Callable[..., Any]
ROOT = Path(__file__).parents[2]
HEAVY = {
    "sqlalchemy",
    "sqlmodel",
    "numpy",
    "PIL",
    "skyfield",
    "exifread",
    "gpxpy",
    "jinja2",
    "geopy",
    "geographiclib",
}

LOADED = """
import sys
from logbook.faces.main import status_of
status = status_of(sys.argv[1:])
print("LOADED", *sorted({name.partition(".")[0] for name in sys.modules}))
sys.exit(status)
"""


@pytest.mark.parametrize(
    "line", [["--help"], ["--version"], ["trip", "--help"], ["keeper", "import", "--help"]]
)
def test_help_loads_nothing_heavy(line: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *line], cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    loaded = set(done.stdout.rsplit("LOADED", 1)[1].split())
    assert "typer" in loaded
    assert not loaded & HEAVY


def program(*arguments: str, **more: Any) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "logbook", *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **more,
    )


def test_the_version_is_the_packages(logbook: Run) -> None:
    assert logbook("--version").out == f"logbook {__version__}\n"


def test_no_argument_shows_the_help(logbook: Run) -> None:
    answer = logbook()
    assert answer.status == 2
    assert "Usage: logbook" in answer.out + answer.err


@pytest.mark.parametrize("place", ["before", "after", "variable"])
def test_the_book_is_named_before_the_command_or_after_it_or_in_the_environment(
    logbook: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    path = str(tmp_path / "other.sqlite")
    if place == "variable":
        monkeypatch.setenv("LOGBOOK_BOOK", path)
    early, late = (["--book", path] if place == word else [] for word in ("before", "after"))
    assert logbook(*early, "trip", "add", "High valley", *late).status == 0
    assert Path(path).is_file()
    assert not (tmp_path / "book.sqlite").exists()
    assert [row["slug"] for row in logbook(*early, "trip", "list", "--json", *late).data] == ["high-valley"]


def test_a_book_named_after_the_command_wins_and_an_early_one_is_forgotten_afterwards(
    logbook: Run, tmp_path: Path
) -> None:
    early, late = str(tmp_path / "early.sqlite"), str(tmp_path / "late.sqlite")
    assert logbook("--book", early, "trip", "add", "X", "--book", late).status == 0
    assert not Path(early).exists()
    assert logbook("trip", "list").status == 1


@pytest.mark.slow
def test_without_a_name_the_book_lies_in_the_users_data_folder(tmp_path: Path) -> None:
    environment = {**os.environ, "HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path / "data")}
    environment.pop("LOGBOOK_BOOK", None)
    adding = program("trip", "add", "High valley", "--zone", "Asia/Dushanbe", env=environment)
    _, errors = adding.communicate(timeout=60)
    assert (adding.returncode, errors) == (0, "")
    assert [path.name for path in tmp_path.rglob("book.sqlite")] == ["book.sqlite"]


@pytest.mark.slow
@pytest.mark.parametrize("json", [True, False])
def test_a_reader_that_stops_listening_stops_the_program_quietly(demo_book: Path, json: bool) -> None:
    book = str(demo_book)
    listing = program("--book", book, "condition", "list", *(["--json"] if json else []))
    assert listing.stdout is not None
    assert listing.stderr is not None
    listing.stdout.close()
    errors = listing.stderr.read()
    listing.stderr.close()
    assert (listing.wait(timeout=60), errors) == (0, "")


def keepers_in(book: Path) -> int:
    """How many keepers a book holds; 0 while it is locked, since waiting could take as long as an import."""
    with closing(sqlite3.connect(book, timeout=0)) as connection, suppress(sqlite3.OperationalError):
        return int(connection.execute("SELECT count(*) FROM keeper").fetchone()[0])
    return 0


@pytest.mark.slow
def test_an_interrupt_is_answered_in_one_sentence(stocked: Run, tmp_path: Path) -> None:
    many = 4000  # so many that a busy machine does not finish before the interrupt reaches the program
    folder = tmp_path / "pictures"
    folder.mkdir()
    for number in range(many):
        Image.new("RGB", (8, 8), (number % 256, number // 256, 0)).save(folder / f"{number}.png")
    importing = program(
        *("--book", str(tmp_path / "book.sqlite"), "keeper", "import", str(folder)),
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a shell's background ignores it
    )
    deadline = time.monotonic() + 30
    while not keepers_in(tmp_path / "book.sqlite"):
        assert time.monotonic() < deadline
        time.sleep(0.01)
    importing.send_signal(signal.SIGINT)
    out, errors = importing.communicate(timeout=60)
    sentence = "logbook: Stopped; what was confirmed is kept. Run it again to finish the rest.\n"
    assert (importing.returncode, out, errors) == (130, "", sentence)
    kept = len(stocked("keeper", "list", "--json").data)
    assert kept > 0
    again = stocked("keeper", "import", str(folder), "--json").data
    assert (again["known"], again["added"]) == (kept, many - kept)


def test_a_mistake_of_ours_is_owned_in_one_sentence(logbook: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    logbook("trip", "add", "X")
    monkeypatch.setattr(records, "list_all", broken)
    answer = logbook("trip", "list")
    assert (answer.status, answer.out) == (70, "")
    assert "An error in this program stopped it (ZeroDivisionError)" in answer.err
    monkeypatch.setenv("LOGBOOK_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        logbook("trip", "list")


def test_a_book_brought_up_to_date_says_where_the_copy_lies(logbook: Run, tmp_path: Path) -> None:
    older_book(tmp_path / "book.sqlite", 1)
    answer = logbook("trip", "list")
    assert answer.status == 0
    assert "was brought up to date" in answer.err
    assert len(list(tmp_path.glob("book.sqlite.backups/book-*-update.sqlite"))) == 1


def test_the_help_lists_every_command_under_its_moment_and_loads_none() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOADED.replace('.partition(".")[0]', ""), "--help"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
    )
    listed, loaded = done.stdout.rsplit("LOADED", 1)
    assert "logbook.faces.commands" not in loaded
    for name, of in CONTENTS.items():
        assert f"\n  {name.ljust(9)}  {of.says}\n" in listed.partition(f"{of.moment}:")[2]
