"""Finding and indexing at 1,000, 10,000 and 100,000 keepers in one run, beside the raw query as the floor.

Run: python tests/benchmarks/find_speed.py [keepers ...]. For each size a process of its own makes a generated
book (once with the index, once without its triggers) and tells its processor time and peak memory; then this
process asks 200 questions, warm, and beside each one the raw FTS5 query for the same words with its own
ranking and snippet. All times are processor time, so that a busy machine blurs them less. Either side keeps
one connection for all its questions, as the readings of one page do; start_speed.py has what opening takes.
Aimed at are three times the floor's 95th percentile, or 5 ms more than it. Exits with 1 when find's 95th
percentile is above 50 ms or above that aim, when making a book grows with a power above 1.05 of the number of
keepers, or when memory is above 300 MB.
"""

import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from itertools import pairwise
from math import log
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.services.find.limits import Limits
from logbook.services.find.searching import find
from logbook.services.find.synonyms import synonyms_with
from logbook.store.book import Book
from logbook.store.connections import Sharing
from tests.benchmarks import generated_book
from tests.benchmarks.generated_words import TECHNIQUES

SIZES = (1_000, 10_000, 100_000)
QUESTIONS = 200
P95_LIMIT_MS, GROWTH_LIMIT, MEMORY_LIMIT_MB = 50.0, 1.05, 300.0
AIM, AIM_MORE_MS = 3.0, 5.0  # find's 95th percentile: times the floor's, or so many ms more than it
FACTS = [
    "f/16",
    "f/2.8",
    "24mm",
    "200mm",
    "tripod",
    "handheld",
    "dusk",
    "night",
    "nd8",
    "polariser",
    "iso3200",
    "1/60",
    "2s",
    "missed",
    "sharp",
    "windy",
]
WORDS = [
    "warden",
    "battery",
    "path",
    "fog",
    "ferry",
    "coaches",
    "river",
    "lamps",
    "stones",
    "snow",
    "barrier",
    "dog",
    "boots",
    "legs",
    "arch",
    "reflections",
]
RAW = (
    "SELECT rowid, rank, snippet(search_text, -1, '[', ']', '…', 18) FROM search_text"
    " WHERE search_text MATCH ? ORDER BY rank LIMIT 20"
)


def make(path: Path, keepers: int, *, indexed: bool) -> None:
    """Make a book and tell its processor time in s and this process's peak memory in KiB."""
    begun = time.process_time()
    if not indexed:
        without_triggers()
    generated_book.make_book(path, keepers, seed=1)
    spent = time.process_time() - begun
    sys.stdout.write(f"{spent} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss}\n")


def without_triggers() -> None:
    """Keep this process from noting what changed, so that nothing is indexed."""
    from logbook.store.tallies import objects as tallies
    from logbook.store.tallies import site_objects
    from logbook.store.text_index import objects

    objects._triggers = list
    tallies.triggers = site_objects.triggers = tuple


def made(path: Path, keepers: int, *, indexed: bool) -> tuple[float, float]:
    """Make a book in a process of its own; return processor seconds and peak memory in MB."""
    how = "indexed" if indexed else "bare"
    done = subprocess.run(
        [sys.executable, __file__, "--make", str(path), str(keepers), how],
        capture_output=True,
        text=True,
        check=True,
    )
    spent, kib = done.stdout.split()
    return float(spent), float(kib) / 1024


def questions(path: Path) -> list[str]:
    """Questions of one to four parts: facts, common words, techniques and names of places that occur."""
    chance = Random(1)
    with closing(sqlite3.connect(path)) as connection:
        places = [
            row[0].split()[0] for row in connection.execute("SELECT title FROM site ORDER BY rowid LIMIT 200")
        ]
    pools = (FACTS, WORDS, WORDS, tuple(TECHNIQUES), places)
    return [
        " ".join(chance.choice(chance.choice(pools)) for _ in range(chance.randint(1, 4)))
        for _ in range(QUESTIONS)
    ]


def timed(ask: Callable[[str], object], asked: list[str]) -> list[float]:
    """Milliseconds of each question, the better of two tries."""
    spent = []
    for question in asked:
        tries = []
        for _ in range(2):
            begun = time.process_time()
            ask(question)
            tries.append((time.process_time() - begun) * 1000)
        spent.append(min(tries))
    return spent


def p95(values: list[float]) -> float:
    """The 95th percentile."""
    return statistics.quantiles(values, n=20)[-1]


def main() -> int:
    """Run all sizes, print a table, and return the exit status."""
    sizes = tuple(int(text) for text in sys.argv[1:]) or SIZES
    synonyms = synonyms_with()
    lines = [
        "         import  + index  rebuild  peak | find: p50    p95 |  raw: p50    p95 | ratio  more | aim",
        "keepers       s        s        s    MB |        ms     ms |        ms     ms | of p95   ms |",
    ]
    costs: list[tuple[int, float, float, float]] = []
    failed = False
    with tempfile.TemporaryDirectory() as folder:
        for keepers in sizes:
            bare_s, _ = made(Path(folder) / f"bare{keepers}.sqlite", keepers, indexed=False)
            Path(folder, f"bare{keepers}.sqlite").unlink()
            path = Path(folder) / f"book{keepers}.sqlite"
            indexed_s, peak_mb = made(path, keepers, indexed=True)
            book = Book(path, lambda: datetime.now(UTC), create=False, sharing=Sharing.READINGS)
            asked = questions(path)
            found = timed(lambda question: find(book, question, Limits(), synonyms, limit=20), asked)  # noqa: B023
            raw = raw_times(path, asked)
            book.let_go()
            begun = time.process_time()
            with book.writing() as desk:
                desk.index.rebuild()
            rebuild_s = time.process_time() - begun
            ratio, more_ms = p95(found) / p95(raw), p95(found) - p95(raw)
            is_over = ratio > AIM and more_ms > AIM_MORE_MS
            lines.append(
                f"{keepers:7} {bare_s:7.1f} {indexed_s:8.1f} {rebuild_s:8.1f} {peak_mb:5.0f} |"
                f" {statistics.median(found):9.1f} {p95(found):6.1f} | {statistics.median(raw):9.1f}"
                f" {p95(raw):6.1f} | {ratio:5.2f} {more_ms:6.1f} |"
                f" ratio {AIM:.2f} or {AIM_MORE_MS:.0f} ms more{', over it' if is_over else ''}"
            )
            costs.append((keepers, bare_s, indexed_s, rebuild_s))
            failed |= p95(found) > P95_LIMIT_MS or peak_mb > MEMORY_LIMIT_MB or is_over
    for (few, *before), (many, *after) in pairwise(costs):
        powers = [log(b / a) / log(many / few) for a, b in zip(before, after, strict=True)]
        names = ("import", "import with index", "rebuild")
        lines.append(
            f"growth from {few} to {many}: "
            + ", ".join(f"{name} {power:.2f}" for name, power in zip(names, powers, strict=True))
        )
        failed |= powers[1] > GROWTH_LIMIT
    sys.stdout.write("\n".join(lines) + "\n")
    return int(failed)


def raw_times(path: Path, asked: list[str]) -> list[float]:
    """What the bare index takes for the same words, ranked and with a snippet, and nothing else."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA cache_size = -32768")

        def ask(question: str) -> object:
            words = " AND ".join(f'"{word}"' for word in question.split())
            return connection.execute(RAW, (words,)).fetchall()

        return timed(ask, asked)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--make"]:
        make(Path(sys.argv[2]), int(sys.argv[3]), indexed=sys.argv[4] == "indexed")
    else:
        sys.exit(main())
