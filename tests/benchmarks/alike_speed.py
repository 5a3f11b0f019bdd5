"""How fast looking back answers: `alike`, `worked` and `before` on generated books, in this process.

The floor is SQLite itself handing over the same keepers, a dozen columns of each, to a program that does
nothing with them. Times are processor time, the middle and the slowest of several runs; the aims are for a
hundred thousand keepers. Growth is the exponent between the smallest and the largest book.

Run: python -m tests.benchmarks.alike_speed [keepers ...]   (else 1000 10000 100000)
"""

import gc
import re
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime
from fractions import Fraction
from math import log
from pathlib import Path
from statistics import median

from logbook.domain.words import SubjectKind
from logbook.faces.main import GARBAGE_THRESHOLD
from logbook.services.alike import alike
from logbook.services.before import Wish, before
from logbook.services.worked import By, WorkedQuestion, worked
from logbook.store.book import Book
from tests.benchmarks.generated_book import make_book

SIZES = (1_000, 10_000, 100_000)
RUNS = 7
AIMS_S = {"worked": 0.2, "alike": 0.1, "before": 0.1}  # s at a hundred thousand keepers, by the first word
FLOOR = (
    "SELECT id, trip_id, viewpoint_id, shot_id, taken_local, support, filters, sharpness, f_number, "
    "exposure_s, iso, focal_mm FROM keeper"
)


def asked(book: Book) -> dict[str, Callable[[], object]]:
    """Return what is asked of a book, by name."""
    with book.reading() as desk:
        kinds: dict[SubjectKind, list[str]] = {}
        for site in desk.sites.all():
            for kind in site.kinds:
                kinds.setdefault(kind, []).append(site.slug)
    kind, slugs = max(kinds.items(), key=lambda pair: len(pair[1]))
    slug = slugs[len(slugs) // 2]
    wish = {"kinds": frozenset({str(kind)}), "crowd": {"evening": "few"}, "wind": 3.0}
    return {
        "alike SITE": lambda: alike(book, slug, {}),
        "alike described": lambda: alike(book, None, wish),
        "worked --kind --by support": lambda: worked(book, WorkedQuestion(By.SUPPORT, kind=kind)),
        "worked --kind --by filters": lambda: worked(book, WorkedQuestion(By.FILTERS, kind=kind)),
        "worked --kind --by phase": lambda: worked(book, WorkedQuestion(By.PHASE, kind=kind)),
        "worked --near SITE": lambda: worked(book, WorkedQuestion(By.TECHNIQUE, near=slug)),
        "worked --near --within-km": lambda: worked(
            book, WorkedQuestion(By.SUPPORT, near=slug, within_km=20)
        ),
        "worked --by reason": lambda: worked(book, WorkedQuestion(By.REASON)),
        "worked, whole book": lambda: worked(book, WorkedQuestion(By.SUPPORT)),
        "before SITE --wish": lambda: before(book, slug, date(2031, 10, 20), Wish(Fraction(1), 16.0)),
    }


def timed(ask: Callable[[], object]) -> list[float]:
    """Return the seconds of several runs after one that warms up."""
    ask()
    found = []
    for _ in range(RUNS):
        begin = time.process_time()
        ask()
        found.append(time.process_time() - begin)
    return sorted(found)


def floor(path: Path) -> list[float]:
    """Return the seconds SQLite takes to hand over every keeper."""
    with closing(sqlite3.connect(path)) as connection:
        return timed(lambda: connection.execute(FLOOR).fetchall())


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main(sizes: tuple[int, ...]) -> None:
    """Print a table: a row for each question, a column for each size."""
    gc.set_threshold(GARBAGE_THRESHOLD)  # as the program itself does
    middles: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for size in sizes:
            path = Path(folder) / f"{size}.sqlite"
            make_book(path, size)
            book = Book(path, lambda: datetime.now(UTC), create=False)
            ground = floor(path)
            say(f"\n{size} keepers; SQLite hands them all over in {median(ground) * 1000:.0f} ms")
            for name, ask in asked(book).items():
                took = timed(ask)
                middles.setdefault(name, []).append(median(took))
                ratio = median(took) / median(ground)
                aim_s = AIMS_S[re.split(r"[ ,]", name)[0]]
                over = "" if median(took) <= aim_s else ", over it"
                say(
                    f"  {name:28} {median(took) * 1000:6.0f} ms, slowest {took[-1] * 1000:6.0f} ms, "
                    f"{ratio:5.1f} × the floor, aim {aim_s * 1000:.0f} ms{over}"
                )
    if len(sizes) > 1:
        say("\ngrowth exponent")
        for name, took in middles.items():
            say(f"  {name:28} {log(took[-1] / took[0]) / log(sizes[-1] / sizes[0]):5.2f}")


if __name__ == "__main__":
    main(tuple(map(int, sys.argv[1:])) or SIZES)
