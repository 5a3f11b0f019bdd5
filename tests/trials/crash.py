"""Kills the program at random moments of what changes a book or a report, and looks at what is left.

    python -m tests.trials.crash --kills 500

After each kill: the book is sound by its own checks; the command, run again, ends in the same book or
folder as an undisturbed run. What differs between any two runs (random ids, instants) is left out of the
comparison; references are compared by the names of what they refer to. A night's acknowledged answers have a
trial of their own in `tests/services/night/test_killed.py`.
"""

import argparse
import hashlib
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

from tests.store.older import older_book

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_trip"
TRIP = "high-valley-autumn"
PICTURES = 160  # in the import; five batches
# What two runs cannot have in common, and what is derived or only remembers what was done.
_ID = re.compile("[0-9a-f]{32}")
OWN_COLUMNS = {"id", "created", "updated", "rowid"}
OWN_TABLES = (
    "search",
    "seal",
    "unsealed",
    "known_file",
    "measured_picture",
    "change",
    "earlier",
    "removal",
    "sqlite_",
)


@dataclass(frozen=True, slots=True)
class Trial:
    """One command: how its folder is laid out beforehand, what is run in it, what must come out equal."""

    name: str
    lay_out: Callable[[Path, Path], None]  # in a folder, with the demo's book at hand
    command: tuple[str, ...]
    outcome: Callable[[Path], Any]


@dataclass(slots=True)
class Tally:
    """What a trial came to."""

    kills: int = 0  # that hit the command while it ran
    late: int = 0  # the command had ended already


def book_rows(folder: Path) -> dict[str, list[str]]:
    """Return the book's rows without ids and instants, references as names."""
    with closing(sqlite3.connect(folder / "book.sqlite")) as book:
        book.row_factory = sqlite3.Row
        tables = [
            name
            for (name,) in book.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if not name.startswith(OWN_TABLES)
        ]
        rows = {name: [dict(row) for row in book.execute(f'SELECT * FROM "{name}"')] for name in tables}
    names = {
        row["id"]: f"{table}:{row.get('slug', '')}" for table in tables for row in rows[table] if "id" in row
    }

    def plain(value: object) -> object:
        if not isinstance(value, str):
            return value
        return _ID.sub(lambda one: names.get(one[0], one[0]), value.replace(str(folder), "."))

    return {
        table: sorted(
            repr({key: plain(value) for key, value in row.items() if key not in OWN_COLUMNS}) for row in found
        )
        for table, found in rows.items()
    }


def report_files(folder: Path) -> dict[str, str]:
    """Return each file of the report with a digest of its content; nothing half-built may be beside it."""
    assert not list(folder.glob(".report*")), "a killed build is left beside the report"
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted((folder / "report").rglob("*"))
        if path.is_file() and path.name != ".logbook-report"
    }


def program(folder: Path, *arguments: str) -> "subprocess.Popen[str]":
    """Start the program on the folder's book."""
    return subprocess.Popen(
        [sys.executable, "-m", "logbook", *arguments],
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"LOGBOOK_BOOK": str(folder / "book.sqlite"), "PYTHONPATH": str(ROOT)},
    )


def done(folder: Path, *arguments: str) -> str:
    """Run the program to its end; anything but success is an error of the trial."""
    running = program(folder, *arguments)
    out, errors = running.communicate(timeout=120)
    if running.returncode != 0:
        raise AssertionError(f"{arguments} ended with {running.returncode}: {errors}")
    return out


def check_book(path: Path) -> None:
    """Raise where a book that was left behind is not sound."""
    if not path.exists() or not path.stat().st_size:
        return  # killed before there was one
    with closing(sqlite3.connect(path)) as book:
        assert book.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert book.execute("PRAGMA foreign_key_check").fetchall() == []


def trial(one: Trial, kills: int, chance: random.Random, into: Path, demo_book: Path) -> Iterator[Tally]:
    """Kill a command so many times, in new folders; yield the tally after each kill."""
    laid, wanted = into / "laid", into / "undisturbed"
    laid.mkdir(parents=True)
    one.lay_out(laid, demo_book)
    shutil.copytree(laid, wanted)
    begun = time.perf_counter()
    done(wanted, *one.command)
    lasts_s = time.perf_counter() - begun
    expected = one.outcome(wanted)
    tally = Tally()
    while tally.kills < kills:
        folder = into / "killed"
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(laid, folder)
        running = program(folder, *one.command)
        time.sleep(chance.uniform(0.15 * lasts_s, lasts_s))  # before that, Python is still starting
        running.send_signal(signal.SIGKILL)
        running.communicate(timeout=60)  # which also waits for whatever the program had started
        if running.returncode != -signal.SIGKILL:
            tally.late += 1
            assert running.returncode == 0
        else:
            tally.kills += 1
        check_book(folder / "book.sqlite")
        done(folder, *one.command)
        check_book(folder / "book.sqlite")
        assert one.outcome(folder) == expected, f"{one.name}: another result after a kill"
        yield tally


def _import(folder: Path, _demo_book: Path) -> None:
    done(folder, "trip", "add", "Many", "--zone", "Asia/Dushanbe")
    (folder / "pictures").mkdir()
    for number in range(PICTURES):
        colour = (number % 256, number // 256, 7)
        Image.new("RGB", (8, 8), colour).save(folder / "pictures" / f"P_{number:04}.JPG")


def _demo(folder: Path, demo_book: Path) -> None:
    shutil.copy(demo_book, folder / "book.sqlite")


def _day(folder: Path, demo_book: Path) -> None:
    """The demo's book, and its fullest day written anew with changes on many lines."""
    _demo(folder, demo_book)
    text = (SAMPLE / TRIP / "days" / "2025-10-16.md").read_text(encoding="utf-8")
    lines = [f"{line} (seen again)" if line.startswith("- light") else line for line in text.splitlines()]
    more = [f"- lesson keep: look behind you, {number}" for number in range(120)]
    (folder / "day.md").write_text("\n".join([*lines, *more, ""]), encoding="utf-8")


def _merge(folder: Path, demo_book: Path) -> None:
    """Two copies of the demo's book that went different ways."""
    _demo(folder, demo_book)
    shutil.copyfile(folder / "book.sqlite", folder / "other.sqlite")
    other = ("--book", str(folder / "other.sqlite"))
    done(folder, *other, "lesson", "add", "keep", "Learned elsewhere", "--trip", TRIP)
    done(folder, *other, "keeper", "import", str(SAMPLE / TRIP / "pictures"), "--trip", "slate-coast")
    done(folder, "site", "add", "Found here")


def _behind(folder: Path, _demo_book: Path) -> None:
    book = older_book(folder / "book.sqlite", 1)
    with closing(sqlite3.connect(book)) as connection, connection:
        for number in range(400):
            columns = "id, created, updated, provenance, slug, title, day_ends_at, location_shown"
            made = (f"t{number:031}", "2024-01-01 00:00:00", "2024-01-01 00:00:00", "{}", f"t-{number}")
            connection.execute(
                f"INSERT INTO trip ({columns}) VALUES (?, ?, ?, ?, ?, 'T', '04:00:00', 'area')", made
            )


def trials() -> tuple[Trial, ...]:
    """Return every trial there is."""
    return (
        Trial("import", _import, ("keeper", "import", "pictures"), book_rows),
        Trial("day read", _day, ("day", "read", "day.md"), book_rows),
        Trial(
            "report",
            _demo,
            ("report", TRIP, "--for", "client", "--into", "report"),
            report_files,
        ),
        Trial("merge", _merge, ("merge", "other.sqlite"), book_rows),
        Trial("migration", _behind, ("trip", "list"), book_rows),
    )


def main() -> None:
    """Kill each trial's command its share of times and print what came of it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    every = trials()
    for number, one in enumerate(every):
        share = told.kills // len(every) + (number < told.kills % len(every))
        tally = Tally()
        with tempfile.TemporaryDirectory() as folder:
            done(Path(folder), "demo", "--into", "demo")
            book = Path(folder) / "demo" / "book.sqlite"
            for tally in trial(one, share, random.Random(told.seed + number), Path(folder), book):  # noqa: B007
                pass
        sys.stdout.write(
            f"{one.name}: {tally.kills} kills, {tally.late} too late; all ended as undisturbed\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
