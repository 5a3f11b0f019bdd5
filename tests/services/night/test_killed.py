"""A session killed at any moment loses nothing that was acknowledged, and ends as an undisturbed one does.

A screen is acknowledged when the next one has been printed.
"""

import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from logbook.services.night.opening import PLAN
from logbook.services.night.screens import ScreenOf, screens_of
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.backups import folder_of
from logbook.store.book import Book
from logbook.store.changes.objects import TABLES
from logbook.store.seals import TABLES as SEALS
from tests.examples import slow
from tests.services.night.sittings import LAST_DAY, TRIP, now

SAID = {
    ScreenOf.CLOCKS: "7 min slow",
    ScreenOf.DAY: "north rim road closed; water: high",
    ScreenOf.STAY: "few dozens none; tripod; tries: 14; in the way: a coach; all: sharp",
    ScreenOf.PLANS: "1 partly, light; 2 missed: closed",
    ScreenOf.AFTER: "keep: wait; change: come early; A long day.",
}
OF_ITS_OWN = {"id", "created", "updated", "slug", "visit_id"}  # what two runs cannot have in common


def night_at(path: Path) -> Night:
    """The night of the last day of a book."""
    book = Book(path, now, create=False)
    return Night(book, *day_to_write(book, TRIP, LAST_DAY))


def ahead(path: Path) -> int:
    """How many screens of a book's evening are still ahead, from the first on which something is open."""
    screens = screens_of(whole_evening(night_at(path)))
    first = next((at for at, one in enumerate(screens) if one.open_keys), len(screens))
    return len(screens) - first


def script_of(path: Path) -> list[str]:
    """Sit through a night undisturbed; return what was typed at each of its screens."""
    screens = screens_of(whole_evening(night_at(path)))
    script = [f"{SAID[one.of]}\n" + ("" if one.of is ScreenOf.CLOCKS else "\n") for one in screens]
    process = _start(path)
    printed, _ = process.communicate("".join(script))
    assert process.returncode == 0
    assert "The day is in the book" in printed
    assert ahead(path) == 0
    return script


def _start(path: Path) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "logbook", "night", "--trip", TRIP, "--on", str(LAST_DAY)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env=os.environ | {"LOGBOOK_BOOK": str(path)},
    )


def acknowledged(printed: str) -> int:
    """Count the screens after which another one was printed, or the end was."""
    reached = len(re.findall(r"^── ", printed, re.MULTILINE))
    return reached if "The day is in the book" in printed else max(reached - 1, 0)


def content(path: Path) -> dict[str, list[tuple[tuple[str, object], ...]]]:
    """All rows without what two runs cannot have in common."""
    result = {}
    left_out = (
        *TABLES,  # the journal: an undisturbed night is one run, a disturbed one several
        *SEALS,  # digests of the rows, with what is of their own
    )
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        names = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'search%'"  # derived
            f" AND name NOT IN ({', '.join('?' * len(left_out))})",
            left_out,
        ).fetchall()
        for (name,) in names:
            rows = [
                tuple((key, row[key]) for key in row.keys() if key not in OF_ITS_OWN)  # noqa: SIM118
                for row in connection.execute(f"SELECT * FROM '{name}'")
                if not (name == "night_answer" and row["key"] == PLAN)
            ]
            result[name] = sorted(rows, key=repr)
    return result


@pytest.mark.parametrize("kills", slow(50))  # one kill is quick: `test_stopping_anywhere…` of the terminal
def test_kills_lose_nothing_and_the_day_is_the_same(sample_book: Path, tmp_path: Path, kills: int) -> None:
    undisturbed = shutil.copyfile(sample_book, tmp_path / "undisturbed.sqlite")
    script = script_of(undisturbed)
    wanted = content(undisturbed)
    chance = random.Random(50)
    path = tmp_path / "killed.sqlite"
    shutil.copyfile(sample_book, path)
    rounds, lost_at = 0, set()
    for _ in range(kills):
        begun = len(script) - ahead(path)
        if begun == len(script):
            assert content(path) == wanted
            shutil.rmtree(folder_of(path), ignore_errors=True)
            for file in tmp_path.glob("killed.*"):
                file.unlink()
            shutil.copyfile(sample_book, path)
            rounds, begun = rounds + 1, 0
        process = _start(path)
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("".join(script[begun:]))
        process.stdin.close()
        printed = ""
        if chance.random() < 0.8:  # most kills come while it answers, some while it starts
            printed = process.stdout.read(chance.randint(1, 3000))  # as far as that, however slow the machine
            time.sleep(chance.uniform(0, 0.02))
        else:
            time.sleep(chance.uniform(0, 0.6))
        process.kill()
        printed += process.stdout.read()
        process.stdout.close()
        process.wait()
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        held = len(script) - ahead(path)
        assert held >= begun + acknowledged(printed)
        lost_at.add(held)
    assert len(lost_at) > max(1, min(kills // 8, len(script) // 2))  # the kills met different screens
    final = _start(path)
    final.communicate("".join(script[len(script) - ahead(path) :]))
    assert final.returncode == 0
    assert content(path) == wanted
    sys.stdout.write(f"\n{kills} kills over {rounds + 1} nights, after {sorted(lost_at)} screens")
