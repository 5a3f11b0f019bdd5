"""A session killed at any moment loses nothing that was acknowledged, and ends as an undisturbed one does.

An answer is acknowledged when the next question has been printed.
"""

import os
import random
import shutil
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from logbook.services.night.opening import PLAN
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night, day_to_write
from logbook.store.backups import folder_of
from logbook.store.book import Book
from logbook.store.changes.objects import TABLES
from logbook.store.seals import TABLES as SEALS
from tests.examples import slow
from tests.services.night.sittings import LAST_DAY, TRIP, now

SAID = {
    Asks.CHANGES: "north rim road closed; water: high",
    Asks.CROWD: "few dozens none",
    Asks.SUPPORT: "tripod",
    Asks.TRIES: "14",
    Asks.IN_THE_WAY: "a coach",
    Asks.SHARPNESS: "sharp",
    Asks.OUTCOME: "partly, light",
    Asks.KEEP: "wait",
    Asks.CHANGE: "come early",
    Asks.JOURNAL: "A long day.",
}
OF_ITS_OWN = {"id", "created", "updated", "slug", "visit_id"}  # what two runs cannot have in common


def night_at(path: Path) -> Night:
    """The night of the last day of a book."""
    book = Book(path, now, create=False)
    return Night(book, *day_to_write(book, TRIP, LAST_DAY))


def answered(path: Path) -> list[str]:
    """The keys of the answers that a book holds, in order."""
    with Book(path, now, create=False).reading() as desk:
        return [one.key for one in desk.night_answers.all() if one.key != PLAN]


def script_of(path: Path) -> list[tuple[Question, str]]:
    """Sit through a night undisturbed; return its questions and what was answered."""
    night = night_at(path)
    script = []
    process = _start(path)
    while (step := night.step()) is not None:
        script.append((step.question, SAID.get(step.question.asks, "")))
        assert process.stdin is not None
        process.stdin.write(script[-1][1] + "\n")
        process.stdin.flush()
        while night.step() == step:
            assert process.poll() is None or night.step() != step
            time.sleep(0.002)
    process.communicate()
    assert process.returncode == 0
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


def acknowledged(printed: str, script: list[tuple[Question, str]], begun: int) -> int:
    """Count the answers after which another question was printed, or the end was."""
    at, asked = 0, 0
    for question, _ in script[begun:]:
        found = printed.find(f"{question.text}", at)
        if found < 0:
            break
        at, asked = found + len(question.text), asked + 1
    return asked if "The day is in the book" in printed else max(asked - 1, 0)


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


@pytest.mark.parametrize("kills", [8, *slow(50)])
def test_kills_lose_nothing_and_the_day_is_the_same(sample_book: Path, tmp_path: Path, kills: int) -> None:
    undisturbed = shutil.copyfile(sample_book, tmp_path / "undisturbed.sqlite")
    script = script_of(undisturbed)
    wanted = content(undisturbed)
    chance = random.Random(50)
    path = tmp_path / "killed.sqlite"
    shutil.copyfile(sample_book, path)
    rounds, lost_at = 0, set()
    for _ in range(kills):
        begun = len(answered(path))
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
        process.stdin.write("".join(f"{line}\n" for _, line in script[begun:]))
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
        held = answered(path)
        assert held == [question.key for question, _ in script[: len(held)]]
        assert len(held) >= begun + acknowledged(printed, script, begun)
        lost_at.add(len(held))
    assert len(lost_at) > kills // 8  # the kills met different questions
    final = _start(path)
    final.communicate("".join(f"{line}\n" for _, line in script[len(answered(path)) :]))
    assert final.returncode == 0
    assert content(path) == wanted
    sys.stdout.write(f"\n{kills} kills over {rounds + 1} nights, after {sorted(lost_at)} answers")
