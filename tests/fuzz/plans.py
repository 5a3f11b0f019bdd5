"""Spoilt plans, texts and sheets: every one is read or refused in one sentence, quickly.

`python -m tests.fuzz.plans 50000 1` tries so many with a seed; `--book` takes each into a book. Seeds are
the sample's plans, and the sheets that are drafted of the same shots, as office programs would save them.
"""

import random
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.domain.errors import LogbookError
from logbook.domain.formats import PlanForm
from logbook.domain.written.plan_tokens import Around
from logbook.intake.planfile import open_plan, read_plan
from logbook.services.books.imports import import_document, read_document
from logbook.services.planfiles.draft import draft_plan
from logbook.services.planfiles.taking import take_plan
from logbook.store.book import Book
from tests.fuzz.texts import spoilt
from tests.fuzz.trying import tell, tried

SAMPLE = Path(__file__).parents[2] / "sample_trip"
TRIP = "high-valley-autumn"
AROUND = Around(date(2025, 10, 13), date(2025, 10, 18))
SEPARATORS = ";,\t"
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "cp1252")
NASTY = (
    *(
        "## 10/11/2025",
        "## Day 999",
        "- [x] ",
        "; else ",
        "[gorge-arch]",
        "fallback for: ",
        "title: ",
        "note: ",
    ),
    *(
        '"',
        '""',
        "'=",
        ";;;;",
        "\t\t",
        "sep=;\n",
        "f/",
        "f/0",
        "1/0",
        "1/",
        "9999 mm",
        "iso 0",
        "25:99-26:00",
    ),
    *("30. Jän", "0,0", "1.600.000", "31 Feb", "0000-00-00", "14.10.", "½", "at SITE", " at quarry-gorge"),
    *("# ", "### ", "- ", "\u2028", "\x00", "😀", "\ud800", "9" * 400, "a" * 3000, "- " * 50, "(" * 60),
)


def planned_book(folder: Path) -> Book:
    """A book of the sample's trips, places and plans."""
    book = Book(folder / "book.sqlite", lambda: datetime.now(UTC), create=True)
    import_document(book, read_document(SAMPLE / "book.json"), "book.json")
    take_plan(book, SAMPLE / TRIP / "plan.md")
    return book


def seeds(book: Book) -> list[tuple[str, str]]:
    """Suffix and text of every file to be spoilt."""
    texts = [(".md", path.read_text(encoding="utf-8")) for path in sorted(SAMPLE.glob("*/plan.md"))]
    sheet = draft_plan(book, TRIP, PlanForm.CSV).text
    return texts + [(".csv", sheet.replace(",", sign)) for sign in SEPARATORS]


def spoilt_plan(chance: random.Random, text: str) -> bytes:
    """A spoilt text in one of the usual encodings, now and then with what plans stumble over."""
    for _ in range(chance.choice((0, 1, 3, 9))):
        at = chance.randrange(len(text) + 1)
        text = text[:at] + chance.choice(NASTY) + text[at + chance.choice((0, 1, 8)) :]
    data = spoilt(chance, text)
    encoding = chance.choice(ENCODINGS)
    if encoding == "utf-8":
        return data
    return data.decode("utf-8", "replace").encode(encoding, "replace")


def trials(count: int, seed: int, folder: Path, *, into_book: bool = False) -> Iterator[bool]:
    """Spoil and read; yield for each whether it could be read. Raises AssertionError with what went wrong."""
    chance = random.Random(seed)
    book = planned_book(folder)
    files = seeds(book)
    for number in range(count):
        suffix, text = chance.choice(files)
        path = folder / f"a{suffix}"
        path.write_bytes(spoilt_plan(chance, text))

        def read(path: Path) -> object:
            if into_book:
                return take_plan(book, path, trip=TRIP)
            return read_plan(open_plan(path), AROUND)

        yield tried(partial(read, path), LogbookError, f"trial {number} of seed {seed} ({suffix})")


if __name__ == "__main__":
    with TemporaryDirectory() as scratch:
        wanted, told_seed = int(sys.argv[1]), int(sys.argv[2])
        tell(wanted, trials(wanted, told_seed, Path(scratch), into_book="--book" in sys.argv))
