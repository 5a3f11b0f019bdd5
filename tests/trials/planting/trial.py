"""Builds all that others get of a planted trip, and finds what survived between the marks."""

import html
import json
import random
import re
import zipfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import cycle
from pathlib import Path
from typing import Any

from logbook.domain.discretion import Discretion, account_for
from logbook.domain.formats import ExportFormat
from logbook.domain.words import Audience
from logbook.faces.before.builder import build_brief
from logbook.faces.before.writing import rendered as rendered_brief
from logbook.faces.report.build import fill, originals_of
from logbook.faces.report.editions import EDITIONS
from logbook.faces.report.leaks import Leak, find_in_texts, find_leaks
from logbook.faces.report.order import put_in_order
from logbook.faces.report.writing import swapped_in
from logbook.faces.report.zipping import zip_report
from logbook.faces.sheet.builder import build_sheet
from logbook.faces.sheet.models import Paper
from logbook.faces.sheet.writing import rendered as rendered_sheet
from logbook.services.accounts import account_of
from logbook.services.before import before
from logbook.services.exports.trip_export import export_trip
from logbook.services.keepers.originals import look_at_all
from logbook.services.plans.feasibility import judge_all
from logbook.services.plans.sheets import field_day
from logbook.store.book import Book
from tests.trials.planting.forms import Planted, names, squeezed
from tests.trials.planting.harmless import texts
from tests.trials.planting.notations import positions
from tests.trials.planting.trip import DAY, book_of, planted, records

TEMPLATES = Path(__file__).parents[3] / "templates"
OTHERS = (Audience.CLIENT, Audience.STUDENTS)
BEFORE, AFTER = "at dusk", "was quiet"
OURS = (".jpg", ".js", ".css", ".woff2")  # pictures, type and files of the program: nobody's words
LONGEST = 1500  # characters between two marks, with whatever a format puts there
_LETTERS = "bcdfghjkmn"


@dataclass(slots=True)
class Survivors:
    """What was found: of each piece that survived in which files, and what the search for leaks saw."""

    pieces: dict[int, set[str]] = field(default_factory=dict)
    seen: Counter[str] = field(default_factory=Counter)  # marks met, by file
    leaks: tuple[Leak, ...] = ()


@dataclass(frozen=True, slots=True)
class Result:
    """The figures of one trial."""

    forms: Sequence[Planted]
    notations: Sequence[Planted]
    survivors: Survivors
    unfound: Sequence[Planted]  # what the search for leaks does not find where nothing is struck
    words: int
    lost: Counter[str]
    refused: tuple[Leak, ...]  # what the search for leaks says of harmless texts

    def survived(self, pieces: Sequence[Planted], first: int) -> list[tuple[str, set[str]]]:
        """Return which of the pieces, numbered from `first`, survived, and where."""
        found = self.survivors.pieces
        return [(one.text, found[n]) for n, one in enumerate(pieces, first) if n in found]

    @property
    def share_lost(self) -> float:
        """The share of harmless words that were struck."""
        return sum(self.lost.values()) / max(self.words, 1)


def marks(number: int) -> tuple[str, str]:
    """Return the marks that stand before and after a piece: letters, that mean nothing to anybody."""
    code = "".join(_LETTERS[int(one)] for one in f"{number:04d}")
    return f"zq{code}zz", f"vx{code}zz"


def marked(number: int, text: str) -> str:
    """Return a piece between its marks, in a sentence."""
    first, last = marks(number)
    return f"{first} {BEFORE} {text} {AFTER} {last}."


def outputs(book: Book, folder: Path) -> Iterator[tuple[str, str]]:
    """Yield the name and the text of every file that others get: exports, reports and their zips."""
    for form in ExportFormat:
        for one in export_trip(book, "valley", form, private=False).files:
            yield one.name, one.text
    for audience in OTHERS:
        built = report(book, audience, folder / str(audience))
        for name, text in _files(built):
            yield f"{audience}/{name}", text
        with zipfile.ZipFile(zip_report(built)) as packed:
            for name in packed.namelist():
                if not name.endswith(OURS):
                    yield f"{audience}.zip/{name}", packed.read(name).decode("utf-8")


def report(book: Book, audience: Audience, folder: Path) -> Path:
    """Fill a folder with a report as it is built, without the search that would refuse it."""
    account = account_of(book, "valley")
    shown = account_for(account, audience, feasibility=judge_all(account))
    folder.parent.mkdir(parents=True, exist_ok=True)
    order = put_in_order(shown)
    originals = originals_of(account, order)
    with swapped_in(folder) as building:
        looked = look_at_all(originals)
        edition = EDITIONS[audience]
        fill(account, order, edition, originals, building, TEMPLATES, lambda *_: None, looked)
    return folder


def own_papers(book: Book) -> Iterator[str]:
    """Yield the pages that are for the photographer's own pocket: the sheet and the brief."""
    yield rendered_sheet(build_sheet(field_day(book, "valley", DAY), Paper.A4), TEMPLATES)
    yield rendered_brief(build_brief(before(book, "quarry")), TEMPLATES)


def _files(folder: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.suffix not in OURS:
            yield path.relative_to(folder).as_posix(), path.read_text(encoding="utf-8")


def views(name: str, text: str) -> Iterator[str]:
    """Yield a file as a reader and as a curious reader meets it: without markup, and with it."""
    if name.endswith("json"):
        text = "\n".join(_strings(json.loads(text)))
    if name.endswith(".ics"):
        text = text.replace("\r\n ", "").replace("\\n", " ").replace("\\", "")
    yield html.unescape(re.sub(r"<[^>]*>", "", text)).casefold()
    yield html.unescape(html.unescape(text)).casefold()


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _strings(one)
    else:
        yield str(value)


def between(view: str, number: int) -> Iterator[str]:
    """Yield what stands between the marks of a piece, every time; cut where the last mark is missing."""
    first, last = marks(number)
    at = view.find(first)
    while at >= 0:
        begin = at + len(first)
        end = view.find(last, begin, begin + LONGEST)
        following = view.find("zq", begin, begin + LONGEST)
        end = min((one for one in (end, following) if one >= 0), default=begin + 300)
        yield view[begin:end].replace(BEFORE, " ").replace(AFTER, " ")
        at = view.find(first, begin)


def survivors_in(files: Iterator[tuple[str, str]], pieces: Sequence[Planted]) -> Survivors:
    """Look for the pieces between their marks in every file."""
    found = Survivors()
    for name, text in files:
        for view in views(name, text):
            for number, piece in enumerate(pieces):
                for part in between(view, number):
                    found.seen[name] += 1
                    told = squeezed(part)
                    if any(needle in told for needle in piece.needles):
                        found.pieces.setdefault(number, set()).add(name)
    return found


def planted_book(folder: Path, pieces: Sequence[str], rng: random.Random) -> Book:
    """Return a book with all pieces in every free text, and some of them in every title."""
    folder.mkdir(parents=True)
    whole = "\n\n".join(marked(number, text) for number, text in enumerate(pieces))
    lines = [marked(number, " ".join(text.split())) for number, text in enumerate(pieces)]
    short = [line for line in lines if len(line) <= 200]
    rng.shuffle(short)
    return book_of(folder / "book.sqlite", planted(records(folder), whole, cycle(short)))


def run(count: int, rng: random.Random, folder: Path) -> Result:
    """Plant so many forms, notations and harmless texts, and measure."""
    forms, notations = names(count, rng), positions(count, rng)
    pieces = [*forms, *notations]
    book = planted_book(folder / "secret", [one.text for one in pieces], rng)
    found = survivors_in(outputs(book, folder / "secret" / "out"), pieces)
    account = account_of(book, "valley")
    found.leaks = tuple(
        leak
        for audience in OTHERS
        for leak in find_leaks(folder / "secret" / "out" / str(audience), account, TEMPLATES)
    )
    bare = ((f"{number}.md", f"{BEFORE} {one.text} {AFTER}") for number, one in enumerate(pieces))
    seen = {leak.file for leak in find_in_texts(bare, account)}
    unfound = [piece for number, piece in enumerate(pieces) if f"{number}.md" not in seen]
    words, lost, refused = _control(texts(count, rng), rng, folder / "harmless")
    return Result(forms, notations, found, unfound, words, lost, refused)


def striking_alone(count: int, rng: random.Random, folder: Path) -> tuple[list[str], int, int]:
    """Return the pieces that striking alone leaves, without any file; harmless words, and those lost."""
    account = account_of(planted_book(folder, ["nothing"], rng), "valley")
    say = Discretion(account, Audience.STUDENTS)
    left = []
    for piece in (*names(count, rng), *positions(count, rng)):
        struck = say.scrub(f"{BEFORE} {piece.text} {AFTER}").replace(BEFORE, " ").replace(AFTER, " ")
        if any(needle in squeezed(html.unescape(struck)) for needle in piece.needles):
            left.append(piece.text)
    words, lost = 0, 0
    for text in texts(count, rng):
        told = Counter(re.findall(r"\w+", text))
        words += told.total()
        lost += (told - Counter(re.findall(r"\w+", say.scrub(text)))).total()
    return left, words, lost


def _control(
    harmless: Sequence[str], rng: random.Random, folder: Path
) -> tuple[int, Counter[str], tuple[Leak, ...]]:
    """Return how many harmless words were published, which of them were lost, and what would be refused."""
    book = planted_book(folder, harmless, rng)
    words, lost = 0, Counter[str]()
    files = list(outputs(book, folder / "out"))
    for name, text in files:
        view = next(views(name, text))
        for number, told in enumerate(harmless):
            wanted = Counter(re.findall(r"\w+", told.casefold()))
            for part in between(view, number):
                words += wanted.total()
                lost += wanted - Counter(re.findall(r"\w+", part))
    account = account_of(book, "valley")
    leaks = [*find_in_texts(iter([one for one in files if "/" not in one[0]]), account)]
    for audience in OTHERS:
        leaks += find_leaks(folder / "out" / str(audience), account, TEMPLATES)
    return words, lost, tuple(leaks)
