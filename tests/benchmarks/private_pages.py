"""The private pages on a book of 10,000 keepers: what each page and each act takes the server.

Run: python -m tests.benchmarks.private_pages [folder]. The book is made in the folder once, or in one that
goes again. Times are in ms, by the clock and of the processor, which a busy machine leaves nearly as it is.
Exits with 1 where an act takes more than 100 ms of the processor in the middle, or a page more than a second.
"""

import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from html import unescape
from itertools import cycle
from pathlib import Path
from statistics import median, quantiles
from threading import Thread

from logbook.domain.keeper import in_order
from logbook.faces.private.serving import PrivatePages
from logbook.faces.resources import resource
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.services.night.whole import whole_evening
from logbook.services.records import the_trip
from logbook.store.book import Book
from tests.benchmarks.pictured_book import FULL_DAY, LONG_TRIP, ON, pictured_book
from tests.faces.private.visitor import Answer, Visitor

ACT_AIM_MS, PAGE_AIM_MS = 100, 1000
TIMES = 15
EVENING = f"/trip/{FULL_DAY}/evening/{ON}"
PICTURES = f"/trip/{LONG_TRIP}/pictures"
HEAD = f"{'':32} {'median':>7} {'p95':>7} {'processor':>10} {'x floor':>8}  bytes\n"

Ask = Callable[[], Answer]


@dataclass(frozen=True, slots=True)
class Figure:
    """What something took each time, in ms, and the bytes of its answer."""

    name: str
    took_ms: Sequence[float]
    worked_ms: Sequence[float]
    aim_ms: int
    size: int

    @property
    def misses(self) -> bool:
        """Whether it takes the processor longer than it may."""
        return median(self.worked_ms) > self.aim_ms

    def line(self, floor_ms: float) -> str:
        """The figure as it is printed, beside what the shortest answer takes."""
        middle, late, worked = median(self.took_ms), quantiles(self.took_ms, n=20)[-1], median(self.worked_ms)
        missed = f"  over {self.aim_ms}" if self.misses else ""
        return (
            f"{self.name:32} {middle:7.0f} {late:7.0f} {worked:10.0f} {worked / floor_ms:8.1f}"
            f"  {self.size}{missed}\n"
        )


def now() -> datetime:
    """The present instant."""
    return datetime.now(UTC)


@contextmanager
def served(book: Path, cache: Path) -> Iterator[Visitor]:
    """Serve the book's pages, and come in."""
    pages = PrivatePages(book, now, resource("templates"), cache)
    thread = Thread(target=pages.serve, daemon=True)
    thread.start()
    visitor = Visitor(pages.port)
    visitor.come_in(pages.address())
    yield visitor
    pages.close()
    thread.join(10)


def measured(name: str, aim_ms: int, ask: Ask, status: int = 200) -> Figure:
    """Ask several times, after once for nothing."""
    took, worked = [], []
    for _ in range(TIMES + 1):
        begun, begun_work = time.perf_counter(), time.process_time()
        answer = ask()
        took.append((time.perf_counter() - begun) * 1000)
        worked.append((time.process_time() - begun_work) * 1000)
        assert answer.status == status, f"{name}: {answer.status} {answer.text[-600:]}"
    return Figure(name, took[1:], worked[1:], aim_ms, len(answer.body))


def pages_asked(visitor: Visitor, keeper_id: str) -> Iterator[Figure]:
    """Every page that shows much."""
    paths = {
        "a style sheet (the floor)": "/brought/desk.css",
        "front page": "/",
        "a trip of 2,000 pictures": f"/trip/{LONG_TRIP}",
        "evening of 150 keepers": EVENING,
        "evening, 100 keepers of 2,000": f"/trip/{LONG_TRIP}/evening/{ON}",
        "2,000 pictures": PICTURES,
        "a day's pictures of 2,000": f"{PICTURES}?day={ON}",
        "a picture large": f"/trip/{LONG_TRIP}/picture/{keeper_id}",
    }
    for name, path in paths.items():
        yield measured(name, PAGE_AIM_MS, _asked_for(visitor, path))


def _asked_for(visitor: Visitor, path: str) -> Ask:
    return lambda: visitor.ask(path)


@dataclass(frozen=True, slots=True)
class Acting:
    """Somebody who sends forms; each act leads to another page, which is not counted."""

    visitor: Visitor
    token: str

    def send(self, path: str, *pairs: tuple[str, str]) -> Answer:
        """Send one form."""
        return self.visitor.ask(path, "POST", [("token", self.token), *pairs])

    def on_evening(self, name: str, *forms: Sequence[tuple[str, str]]) -> Figure:
        """Send forms of the evening in turn."""
        turns = cycle(forms)
        return measured(name, ACT_AIM_MS, lambda: self.send(EVENING, *next(turns)), 303)

    def all(self, book: Path, keeper_ids: Sequence[str]) -> Iterator[Figure]:
        """Every act on the evening, while its clocks are open and once they are settled."""
        keys = _keys(book)
        told = cycle(keys[Asks.CROWD])
        line = ("line", "few dozens none")
        yield measured(
            "what a line would mean",
            ACT_AIM_MS,
            lambda: self.send(f"{EVENING}/understood", ("key", next(told)), line),
        )
        crowds = [[(f"line:{key}", "few dozens none")] for key in keys[Asks.CROWD]]
        yield self.on_evening("say a line", *crowds)
        filters = [[(f"line:{key}", "nd8")] for key in keys[Asks.FILTERS]]
        yield self.on_evening("filters of a group", *filters)
        yield self.on_evening("a shot not known", *([("do", f"unknown:{key}")] for key in keys[Asks.SHOT]))
        evening = self.visitor.ask(EVENING).text
        cut = re.findall(r'value="(cut:\w+)"', evening)[3]
        self.send(EVENING, ("do", cut))
        joins = re.findall(r'value="(join:\w+)"', self.visitor.ask(EVENING).text)
        join = next(one for one in joins if one not in evening)
        self.send(EVENING, ("do", join))
        yield self.on_evening("cut and join stays", [("do", cut)], [("do", join)])
        twenty = [("tick", one) for one in keeper_ids[:20]]
        captions = cycle(("One", "Two"))
        yield measured(
            "note 20 pictures",
            ACT_AIM_MS,
            lambda: self.send(PICTURES, *twenty, ("caption", next(captions)), ("do", "note")),
            303,
        )
        yield measured("undo", ACT_AIM_MS, lambda: self.send("/undo", ("here", EVENING)), 303)
        self.send(EVENING, *((f"line:{one}", "right") for one in keys.get(Asks.CLOCK, ())))
        yield self.on_evening("say a line, clocks settled", *crowds)
        yield measured("evening, clocks settled", PAGE_AIM_MS, lambda: self.visitor.ask(EVENING))
        shown = re.findall(r'name="(seen:[^"]+)" value="([^"]+)"', self.visitor.ask(EVENING).text)
        yield self.on_evening("state all", [*((unescape(key), seal) for key, seal in shown), ("do", "state")])
        yield measured("evening, all stated", PAGE_AIM_MS, lambda: self.visitor.ask(EVENING))


def _keys(path: Path) -> dict[Asks, list[str]]:
    """The keys of the full day's questions, by what they ask."""
    book = Book(path, now, create=False)
    with book.reading() as desk:
        trip = the_trip(desk, FULL_DAY)
    keys: dict[Asks, list[str]] = {}
    for item in whole_evening(Night(book, trip, ON)).items:
        keys.setdefault(item.question.asks, []).append(item.question.key)
    return keys


def main(folder: Path) -> int:
    """Measure, print, judge."""
    made = folder / "book.sqlite"
    if not made.exists():
        pictured_book(folder)
    with tempfile.TemporaryDirectory(prefix="private-pages-") as scratch:
        book = Path(shutil.copyfile(made, Path(scratch) / "book.sqlite"))
        with Book(book, now, create=False).reading() as desk:
            ids = [one.id for one in in_order(desk.keepers.all(trip_id=the_trip(desk, LONG_TRIP).id))]
        with served(book, Path(scratch) / "pictures") as visitor:
            figures = list(pages_asked(visitor, ids[1000]))
            figures += Acting(visitor, visitor.token()).all(book, ids)
    floor_ms = median(figures[0].worked_ms)
    sys.stdout.write(HEAD + "".join(one.line(floor_ms) for one in figures))
    return int(any(one.misses for one in figures))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        sys.exit(main(Path(sys.argv[1])))
    with tempfile.TemporaryDirectory(prefix="private-pages-") as made_here:
        sys.exit(main(Path(made_here)))
