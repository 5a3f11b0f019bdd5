"""Damages books at random, every kind of page, and looks at what the program makes of them.

    python -m tests.trials.damage --damages 1000

Each damaged book must answer as the whole one does or refuse in one sentence, with no wrong record and no
traceback; a site written into it is there afterwards with all that was there before, or refused; and a repair
that says it worked leaves a book that answers as the whole one, found whole by SQLite too.
"""

import argparse
import json
import os
import random
import shutil
import sqlite3
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from logbook.domain.errors import LogbookError
from logbook.services import kinds, records
from logbook.services.books import checks, undo
from logbook.services.exports.book_json import book_records
from logbook.services.find.limits import Limits
from logbook.services.find.searching import find
from logbook.services.find.synonyms import synonyms_with
from logbook.store.book import Book
from tests.benchmarks.generated_book import make_book

PAGE = 4096  # bytes
KEEPERS = 40  # in the book that is damaged
KINDS = ("a table", "an index", "search index", "the schema", "free pages", "anything")
Damage = Callable[[bytearray, int, random.Random], None]


def now() -> datetime:
    """A clock that stands still."""
    return datetime(2031, 10, 14, 18, 45, tzinfo=UTC)


def _random_bytes(content: bytearray, page: int, chance: random.Random) -> None:
    begin = (page - 1) * PAGE + chance.randrange(PAGE - 64)
    length = chance.choice((1, 4, 64))
    content[begin : begin + length] = chance.randbytes(length)


def _whole_page(content: bytearray, page: int, chance: random.Random) -> None:
    content[(page - 1) * PAGE : page * PAGE] = chance.choice(
        (bytes(PAGE), b"\xff" * PAGE, chance.randbytes(PAGE))
    )


def _another_page(content: bytearray, page: int, chance: random.Random) -> None:
    other = chance.randrange(1, len(content) // PAGE)
    content[(page - 1) * PAGE : page * PAGE] = content[other * PAGE : (other + 1) * PAGE]


def _another_letter(content: bytearray, page: int, chance: random.Random) -> None:
    """One letter becomes another one: what no structure shows."""
    letters = [
        at
        for at in range((page - 1) * PAGE, page * PAGE)
        if chr(content[at]).isascii() and chr(content[at]).isalpha()
    ]
    if letters:
        content[chance.choice(letters)] = chance.choice(b"abcdefghijklmnopqrstuvwxyz0123456789")


def _a_number_on_top(content: bytearray, page: int, chance: random.Random) -> None:
    """The head of a page: its kind, its cells, its children."""
    content[(page - 1) * PAGE + (100 if page == 1 else 0) + chance.randrange(12)] = chance.randrange(256)


DAMAGES: tuple[Damage, ...] = (_random_bytes, _whole_page, _another_page, _another_letter, _a_number_on_top)


def pages_by_kind(book: Path) -> dict[str, list[int]]:
    """Return the pages of a book's file by what they are for."""
    with closing(sqlite3.connect(book)) as connection:
        types = dict(connection.execute("SELECT name, type FROM sqlite_master").fetchall())
        total = connection.execute("PRAGMA page_count").fetchone()[0]
        used = connection.execute("SELECT name, pageno FROM dbstat").fetchall()
    kinds_of: dict[str, list[int]] = {kind: [] for kind in KINDS}
    for name, page in used:
        if name == "sqlite_schema" or name == "sqlite_master":
            kinds_of["the schema"].append(page)
        elif name.startswith(("search_", "sqlite_autoindex_search")):
            kinds_of["search index"].append(page)
        else:
            kinds_of["an index" if types.get(name) == "index" else "a table"].append(page)
    kinds_of["free pages"] = sorted({*range(1, total + 1)} - {page for _, page in used})
    kinds_of["anything"] = list(range(1, total + 1))
    return kinds_of


def answers(book: Book) -> dict[str, Any]:
    """Return all that a book says: its records, what is found, and what undo would take back."""
    with book.reading() as desk:
        told: dict[str, Any] = dict(book_records(desk))
    return told


def found(book: Book) -> list[Any]:
    """Return what is found for a few words."""
    limits = Limits()
    return [
        find(book, word, limits, synonyms_with(()), limit=20).results for word in ("fog", "warden", "f/16")
    ]


def one(whole: Path, folder: Path, kind: str, damage: Damage, chance: random.Random) -> Iterator[str]:
    """Damage a copy of a book and yield what became of it; AssertionError where that is wrong."""
    path = folder / "book.sqlite"
    content = bytearray(whole.read_bytes())
    damage(content, chance.choice(pages_by_kind(whole)[kind]), chance)
    path.write_bytes(content)
    expected = answers(Book(whole, now, create=False))
    wanted = found(Book(whole, now, create=False))
    try:
        opened = Book(path, now, create=False)
        assert answers(opened) == expected, "other records than were written"
        yield "read"
        try:
            assert found(opened) == wanted, "found otherwise"
            yield "found"
        except LogbookError as refusal:
            yield _sentence(refusal, "not found")
        try:
            undone = undo.undo(Book(path, now, create=False), dry_run=True)
            assert undone.change.effects
        except LogbookError as refusal:
            _sentence(refusal, "")
        try:
            records.add(Book(path, now, create=False), kinds.SITE, {"title": "Written after the damage"})
            after = answers(Book(path, now, create=False))
            assert [one for one in after["sites"] if one.title != "Written after the damage"] == [
                *expected["sites"]
            ]
            assert len(after["sites"]) == len(expected["sites"]) + 1, "what was written is gone"
            assert after | {"sites": ()} == expected | {"sites": ()}, "writing changed something else"
            expected = after
            yield "written"
        except LogbookError as refusal:
            yield _sentence(refusal, "not written")
    except LogbookError as refusal:
        yield _sentence(refusal, "refused")
    try:
        opened = Book(path, now, create=False, even_damaged=True)
        looked = checks.check_book(opened)
        repaired = checks.repair_book(opened, looked)
        wrong = [one for one in repaired.after.wrong if one.kind is not checks.CheckArea.ORIGINAL]
    except LogbookError as refusal:
        yield _sentence(refusal, "not repaired")
        return
    if wrong:
        yield "not repaired"
        return
    yield "repaired" if repaired.done else "sound"
    assert answers(Book(path, now, create=False)) == expected, "a repair made other records"
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def _sentence(refusal: LogbookError, what: str) -> str:
    assert len(str(refusal).splitlines()) == 1, f"more than a sentence: {refusal}"
    return what


def make_whole(folder: Path) -> Path:
    """Make the book that is damaged; some of its pages are free."""
    path = folder / "whole.sqlite"
    make_book(path, KEEPERS)
    for title in ("Slate coast", "Left again"):
        records.add(Book(path, now, create=False), kinds.SITE, {"title": title})
    records.remove(Book(path, now, create=False), kinds.SITE, "left-again", with_dependents=False)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE spare AS SELECT randomblob(40000)")
        connection.execute("DROP TABLE spare")
        connection.commit()
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def trial(damages: int, seed: int, into: Path) -> Iterator[tuple[int, str, Counter[str]]]:
    """Damage books one after another; yield the number, the kind and what came of each."""
    whole = make_whole(into)
    for number in range(damages):
        chance = random.Random(f"{seed}:{number}")
        kind = KINDS[number % len(KINDS)]
        folder = into / "damaged"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        damage = DAMAGES[number // len(KINDS) % len(DAMAGES)]
        try:
            yield number, kind, Counter(one(whole, folder, kind, damage, chance))
        except Exception as error:
            raise AssertionError(f"damage {seed}:{number}, {kind}, {damage.__name__}: {error!r}") from error


def main() -> None:
    """Damage so many books and print what came of them, by kind of page."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--damages", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    sums: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        for _, kind, came in trial(told.damages, told.seed, Path(folder)):
            sums[kind] += came
            sys.stderr.write(".")
            sys.stderr.flush()
    sys.stdout.write(json.dumps(sums, indent=2) + "\n")


if __name__ == "__main__":
    main()
