"""Work on a day file grows with its length and not with the square of it: calls are counted, not seconds."""

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.draft import draft_day
from logbook.store.book import Book
from tests.services.conftest import valley_book

FEW, MANY = 60, 240  # entries; four times as many may cost five times as much, the square would be sixteen
MOST_GROWTH = 5.0


def day(entries: int, kind: str, said: str = "people") -> str:
    """A long day: on one stay, in the same words, or a heading for every other entry."""
    head = "---\ntrip: valley\ndate: 2031-10-14\n---\n\n## Quarry ledge 07:00-20:00\n"
    lines = {
        "one stay": lambda n: f"- crowd: {n} {said} at {8 + n % 12:02}:{n % 60:02}",
        "same words": lambda n: "- crowd: dozens" if said == "people" else "- crowd: hundreds",
        "lessons": lambda n: f"- lesson keep: count {said} at stone {n}",
        "journal": lambda n: f"Line {n} of what the {said} did.",
        "loose": lambda n: f"- todo: ask {said} {n}",
        "headings": lambda n: _under_a_heading(n, entries, said),
    }[kind]
    return (
        (head if kind != "headings" else head.partition("##")[0])
        + "\n".join(map(lines, range(entries)))
        + "\n"
    )


def _under_a_heading(n: int, entries: int, said: str) -> str:
    """An entry, after a heading of its own where its number is even: 10 hours, one stay after the other."""
    place, begun, ends = (
        ("Quarry ledge", "Dune crest")[n // 2 % 2],
        *(f"{7 + at // 60:02}:{at % 60:02}" for at in (600 * n // entries, 600 * (n + 2) // entries)),
    )
    entry = f"- lesson keep: count {said} {n}" if n % 2 else f"- crowd: {n} {said}"
    return entry if n % 2 else f"## {place} {begun}-{ends}\n{entry}"


def calls_of(work: Callable[[], object]) -> int:
    """How many functions, of Python and of C, some work calls."""
    count = 0

    def note(_frame: object, event: str, _what: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count


def costs(book: Book, folder: Path, entries: int, kind: str) -> list[int]:
    """Reading it, the same again, edited in every line, and cut in half; then a draft of what is left."""
    path = folder / f"{kind}.md"
    found = []
    for text in (
        day(entries, kind),
        day(entries, kind),
        day(entries, kind, "walkers"),
        day(entries // 2, kind, "walkers"),
    ):
        path.write_text(text)
        found.append(calls_of(lambda: read_day(book, path)))
    found.append(calls_of(lambda: draft_day(book, "valley", date(2031, 10, 14))))
    return found


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["one stay", "headings", "same words", "lessons", "journal", "loose"])
def test_a_day_four_times_as_long_costs_about_four_times_as_much(tmp_path: Path, kind: str) -> None:
    _, few, many = (  # the first for what is done once in a process
        costs(valley_book(tmp_path / f"{entries}.sqlite"), tmp_path, entries, kind)
        for entries in (4, FEW, MANY)
    )
    growth = [round(long / short, 2) for long, short in zip(many, few, strict=True)]
    assert max(growth) <= MOST_GROWTH, growth
