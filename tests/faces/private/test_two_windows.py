"""Two windows and a terminal on one evening: the book is what the acts make of it one after another.

Each window holds a form of its own, often an old one. A line that is refused stands in the page that answers.
"""

import random
import re
import shutil
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from html import unescape
from itertools import combinations
from pathlib import Path
from threading import Barrier, Thread

import pytest

from logbook.domain.errors import LogbookError
from logbook.services.night.cards import seal_written
from logbook.services.night.clocks import take_clocks
from logbook.services.night.planned import PlannedVisit
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.book import Book
from tests.faces.private.conftest import served
from tests.faces.private.routes import Elements, Form
from tests.faces.private.test_two_faces import PAGE, line_for, rows
from tests.faces.private.visitor import Answer, Visitor
from tests.services.night.sittings import TRIP, now

STEPS = 5  # of one interleaving
STALE = "Another window has since written"
OTHER_STAY = "That stay has changed since this page was opened"

Line = tuple[str, str]  # the key of a question, and what is typed there


def night_in(path: Path) -> Night:
    """The evening in a book."""
    book = Book(path, now, create=False)
    return Night(book, *day_to_write(book, TRIP, None))


@dataclass
class Window:
    """A browser's window: the form that it shows, as old as it may be."""

    visitor: Visitor
    token: str
    seen: Mapping[str, str] = field(default_factory=dict)  # what the form sends unseen
    keys: Sequence[str] = ()  # of the questions that it has a field for

    def load(self) -> None:
        """Load the evening."""
        form = self.form()
        self.seen = {name: value for name, value in form.fields if name != "token"}
        self.keys = [name.removeprefix("line:") for name in form.typed if name.startswith("line:")]

    def form(self) -> Form:
        """The evening's form as it would be loaded now."""
        (form,) = (one for one in Elements(self.visitor.ask(PAGE).text).forms if one.typed)
        return form

    def send(self, lines: Sequence[Line]) -> Answer:
        """Send lines with what the form showed."""
        typed = [(f"line:{key}", line) for key, line in lines]
        return self.visitor.ask(
            PAGE, "POST", [("token", self.token), *self.seen.items(), *typed, ("do", "keep")]
        )


@dataclass
class Table:
    """A book that two windows work on, and a second one to which the same acts are done one by one."""

    book: Path
    model: Path
    windows: tuple[Window, Window]
    chance: random.Random
    pairs: dict[str, str] = field(default_factory=dict)

    def lines(self, count: int, keys: Sequence[str] = ()) -> list[Line]:
        """Some lines that a person may type now, or at those questions that a window shows."""
        asked = {one.question.key: one.question for one in whole_evening(night_in(self.book)).items}
        chosen = self.chance.sample(sorted(keys or asked), count)
        return [(key, self.typed_at(asked.get(key))) for key in chosen]

    def typed_at(self, question: Question | None) -> str:
        """What is typed there; a proposal is written out, as a page's fields have no other Enter."""
        if question is None:
            return "what was asked before"
        line = line_for(question, self.chance)
        if question.asks is Asks.CHANGES:
            line = self.chance.choice((line, "cut 2 at 17:30", "join 1 2"))
        return question.default if line == "y" and question.default else line

    def step(self) -> None:
        """Load a page, type in the terminal, send one form, or both at the same moment."""
        self.pair()
        first = self.chance.choice(self.windows)
        doing = self.chance.choice(("load", "terminal", "one", "both", "both"))
        if doing == "load":
            first.load()
        elif doing == "terminal":
            said(self.book, lines := self.lines(1))
            self.follow([lines], [None])
        elif doing == "one":
            lines = self.lines(self.chance.randint(1, 2), first.keys)
            stale = self.stale(first, lines)
            answer = first.send(lines)
            self.follow([lines], [answer])
            for key, line in stale:
                assert answer.status == 422, f"{key}: an old form wrote over what came meanwhile"
                assert STALE in answer.text or OTHER_STAY in answer.text
                assert line in typed_in(answer)
        else:
            forms = [self.lines(self.chance.randint(1, 2), one.keys) for one in self.windows]
            self.follow(forms, at_once(self.windows, forms))

    def stale(self, window: Window, lines: Sequence[Line]) -> list[Line]:
        """Which lines answer questions of which the window shows something old."""
        current = dict(window.form().fields)
        names = {key: f"seen:{key}" for key, _ in lines}
        return [
            (key, line)
            for key, line in lines
            if names[key] in current and read_apart(window.seen.get(names[key], ""), current[names[key]])
        ]

    def pair(self) -> None:
        """Note which stay of the one book is which of the other: a cut draws its id by lot in each."""
        found = [[one.id for one in stays_in(path)] for path in (self.book, self.model)]
        self.pairs |= dict(zip(*found, strict=True))

    def key_in_model(self, key: str) -> str:
        """The key of the same question in the second book."""
        stem, dot, rest = key.partition(".")
        number, *more = rest.split(".")
        return f"{stem}{dot}{'.'.join([self.pairs.get(number, number), *more])}"

    def follow(self, forms: Sequence[Sequence[Line]], answers: Sequence[Answer | None]) -> None:
        """Find an order of the acts that makes the second book what the first is and explains the answers.

        Whatever was not kept stands in the page that answered.
        """
        before = self.model.read_bytes()
        forms = [[(self.key_in_model(key), line) for key, line in form] for form in forms]
        found: list[str] = []
        for order in explanations(forms):
            self.model.write_bytes(before)
            kept = said(self.model, order)
            if not are_alike(self.book, self.model):
                continue
            found = [
                f"{line} of {key} is lost"
                for form, answer in zip(forms, answers, strict=True)
                for key, line in form
                if answer is not None and (key, line) not in kept and line not in typed_in(answer)
            ]
            if not found:
                assert all(one is None or one.status in (303, 422) for one in answers)
                return
        raise AssertionError(found or f"no order of {forms} makes this book")


def read_apart(seen: str, current: str) -> bool:
    """Whether something was written or the stay was cut since; what is proposed may be worked out again."""
    then, now_ = (seal_written(one) for one in (seen, current))
    return then is not None and now_ is not None and (then.value, then.about) != (now_.value, now_.about)


def are_alike(first: Path, second: Path) -> bool:
    """Whether two books say the same; the id of a visit that a cut makes is drawn by lot in each."""
    cuts = [[(one.arrived, one.departed) for one in stays_in(path)] for path in (first, second)]
    if cuts[0] != cuts[1]:  # two that were joined leave no row, before something is said of them
        return False
    texts = [[f"{name} {row}" for name, held in rows(one).items() for row in held] for one in (first, second)]
    ids = [set(re.findall(r"\b[0-9a-f]{32}\b", "\n".join(text))) for text in texts]
    by_lot = re.compile("|".join(ids[0] ^ ids[1]) or "(?!)")
    mine, others = (sorted(by_lot.sub("drawn by lot", row) for row in text) for text in texts)
    return mine == others


def stays_in(path: Path) -> Sequence[PlannedVisit]:
    """The stays of the evening as they are cut now."""
    night = night_in(path)
    with night.book.reading() as desk:
        plan = night.stand(desk).plan
    return plan.visits if plan else ()


def explanations(forms: Sequence[Sequence[Line]]) -> Iterator[list[Line]]:
    """Yield what may have been kept, all of it first, in every order in which forms keep their lines."""
    lines = [(number, line) for number, form in enumerate(forms) for line in form]
    for size in range(len(lines), -1, -1):
        for chosen in combinations(lines, size):
            of = [[line for number, line in chosen if number == each] for each in range(len(forms))]
            yield from merges(of[0], of[1] if len(of) > 1 else [])


def merges(first: list[Line], second: list[Line]) -> Iterator[list[Line]]:
    """Yield the ways to merge two lists that keep the order of each."""
    if not first or not second:
        yield [*first, *second]
        return
    yield from ([first[0], *rest] for rest in merges(first[1:], second))
    yield from ([second[0], *rest] for rest in merges(first, second[1:]))


def said(path: Path, lines: Sequence[Line]) -> list[Line]:
    """Say lines as the terminal does; return those that were not refused."""
    night = night_in(path)
    kept = []
    for key, line in lines:
        with suppress(LogbookError):
            night.say(key, line)
            kept.append((key, line))
    return kept


def at_once(windows: Sequence[Window], forms: Sequence[Sequence[Line]]) -> list[Answer]:
    """Send each window's form at the same moment."""
    answers: dict[int, Answer] = {}
    ready = Barrier(len(windows))

    def send(number: int) -> None:
        ready.wait()
        answers[number] = windows[number].send(forms[number])

    threads = [Thread(target=send, args=(number,)) for number in range(len(windows))]
    for one in threads:
        one.start()
    for one in threads:
        one.join(60)
    return [answers[number] for number in range(len(windows))]


def typed_in(answer: Answer) -> set[str]:
    """What stands in the fields of a page, and what it says was written where there is no field any more."""
    inputs = [found.get("value") or "" for name, found in Elements(answer.text).seen if name == "input"]
    written = re.findall(r"<(textarea|q)\b[^>]*>(.*?)</\1>", answer.text, re.DOTALL)
    return {*inputs, *(unescape(text) for _, text in written)}


@contextmanager
def laid_out(sample: Path, folder: Path, seed: int) -> Iterator[Table]:
    """A book with two windows open on its evening."""
    book = Path(shutil.copyfile(sample, folder / "book.sqlite"))
    night = night_in(book)
    take_clocks(night.book, night.trip, whole_evening(night).untaken)  # as the first act on a page does
    model = Path(shutil.copyfile(book, folder / "model.sqlite"))
    chance = random.Random(seed)
    for pages in served(book, folder / "cache"):
        visitor = Visitor(pages.port)
        visitor.come_in(pages.address())
        windows = (Window(visitor, pages.guard.token), Window(replace(visitor), pages.guard.token))
        for one in windows:
            one.load()
        yield Table(book, model, windows, chance)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(80))
def test_the_book_is_what_some_order_of_the_acts_makes_it(
    sample_book: Path, tmp_path: Path, seed: int
) -> None:
    with laid_out(sample_book, tmp_path, seed) as table:
        for _ in range(STEPS):
            table.step()
