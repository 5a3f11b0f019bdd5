"""Nights to sit through in tests, and a look at every row of a book."""

import sqlite3
from collections.abc import Collection
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from logbook.domain.visit import Visit
from logbook.services.books.imports import import_document, read_document
from logbook.services.keepers.importing import take_in
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night, SessionStand
from logbook.services.planfiles.taking import take_plan
from logbook.services.tracks import take_track
from logbook.store.book import Book
from logbook.store.changes.objects import TABLES
from logbook.store.engine import copy_book
from logbook.store.seals import TABLES as SEALS

SAMPLE = Path(__file__).parents[3] / "sample_trip"
TRIP = "high-valley-autumn"
LAST_DAY = date(2025, 10, 18)
UNPLACED = "A place"  # how the heading of a stay begins whose viewpoint nobody knows
LEDGE = "quarry-ledge"  # the last day's second visit, of six frames; the first is of one


def now() -> datetime:
    """The present instant."""
    return datetime.now(UTC)


def build_sample(path: Path) -> Path:
    """Make a book of the sample trip: planned, photographed, a track, and no day written down."""
    book = Book(path, now, create=True)
    import_document(book, read_document(SAMPLE / "book.json"), "book.json")
    take_plan(book, SAMPLE / TRIP / "plan.md")
    take_in(book, SAMPLE / TRIP / "pictures", trip=TRIP)
    take_track(book, SAMPLE / TRIP / "track.gpx", TRIP)
    return copy_book(path, path.with_name("whole.sqlite"))


Dump = dict[str, list[tuple[Any, ...]]]


def dump_of(path: Path, *without: str) -> Dump:
    """Every row of every table but some, as SQLite holds it."""
    with closing(sqlite3.connect(path)) as connection:
        names = [
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if name not in (*without, *TABLES)  # the journal
            and not name.startswith("search_")  # what is derived from the rows, as are
            and name not in SEALS  # the seals, also those of the tables left out
        ]
        return {name: connection.execute(f"SELECT * FROM '{name}'").fetchall() for name in names}


def next_question(night: Night) -> Question | None:
    """The first question of an evening that has no answer."""
    with night.book.reading() as desk:
        return first_open(night.stand(desk))


def first_open(stand: SessionStand) -> Question | None:
    """The first question without an answer; those about clocks come before all others."""
    return next((one for one in stand.questions if one.key not in stand.answers), None)


_REACHED: dict[tuple[Asks, str, bytes], bytes] = {}


@dataclass
class Sitting:
    """A night at the last day, with short ways to go on and to look."""

    night: Night
    said: list[str] = field(default_factory=list)  # keys, in order
    again: str | None = None

    @property
    def book(self) -> Book:
        """The book."""
        return self.night.book

    def ask(self) -> Question:
        """The question that is asked now."""
        question = self.next()
        assert question is not None
        return question

    def next(self) -> Question | None:
        """The first question without an answer, as the book stands; or the one that was gone back to."""
        with self.book.reading() as desk:
            stand = self.night.stand(desk)
        if self.again is None:
            return first_open(stand)
        before = stand.answers[self.again]
        return replace(stand.question(self.again), default=before.text, came_from=before.word)

    def enter(self, asked: Question | None = None) -> Question:
        """Take what is proposed, as what it is; what was answered before stays. `asked` is what is asked."""
        question = asked or self.ask()
        self.night.take([question.key])
        self._go_on(question)
        return question

    def say(self, text: str) -> tuple[str, ...]:
        """State something; return what it was taken for."""
        question = self.ask()
        told = self.night.say(question.key, text)
        self._go_on(question)
        return told

    def type(self, text: str) -> Question:
        """State something; return the question."""
        question = self.ask()
        self.say(text)
        return question

    def unknown(self) -> Question:
        """Answer with a question mark."""
        return self.type("?")

    def back(self) -> bool:
        """Go back to the last question that was answered here, to answer it anew."""
        answered = [key for key in self.said if key in self._answers()]
        self.again = answered[-1] if answered else None
        self.said = answered[:-1]
        return self.again is not None

    def _go_on(self, question: Question) -> None:
        self.said.append(question.key)
        self.again = None

    def _answers(self) -> Collection[str]:
        with self.book.reading() as desk:
            return self.night.stand(desk).answers.keys()

    def until(self, asks: Asks, at: str = "") -> Question:
        """Take what Enter takes up to a kind of question, at a viewpoint if one is named.

        From the same book Enter leads to the same: what was reached once is laid in its place.
        """
        path = self.book.path
        way = (asks, at, sha256(path.read_bytes()).digest())
        if way in _REACHED:
            path.write_bytes(_REACHED[way])
        while (question := self.ask()).asks is not asks or not question.chapter.startswith(at):
            self.enter(question)
        _REACHED[way] = path.read_bytes()
        return question

    def visit(self, at: str) -> Visit:
        """The only visit of the last day to a viewpoint."""
        with self.book.reading() as desk:
            viewpoint = desk.viewpoints.first(slug=at)
            assert viewpoint is not None
            (visit,) = desk.visits.all(on_date=LAST_DAY, viewpoint_id=viewpoint.id)
        return visit

    def finish(self) -> int:
        """Press Enter to the end and return how often."""
        count = 0
        while (question := self.next()) is not None:
            self.enter(question)
            count += 1
        return count
