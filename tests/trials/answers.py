"""Every answer, page and export of a sample book, written into a folder, to compare two states of the code.

One surprising decision: it only writes; `diff -r` compares. A book is made once (`logbook demo --into OLD`),
and each checkout answers from a copy of it, so that ids and hashes are the same::

    python -m tests.trials.answers OLD BEFORE     # in one checkout
    python -m tests.trials.answers OLD AFTER      # in another
    diff -r BEFORE AFTER
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

NOUNS = ("trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson", "keeper")
FORMATS = ("json", "csv", "gpx", "geojson", "kml", "ics", "markdown")
AUDIENCES = ("client", "students", "archive")
QUESTIONS = (
    "bridge at dusk crowd",
    "nd8 + nd8 f/11",
    "waterfall tripod forbidden",
    "closure road",
    "soft because of wind",
    "coast december 1/125 s",
)
EXPOSE = (
    ("ev", "--f-number", "11", "--exposure", "4s", "--iso", "200", "--filters", "nd64,nd8"),
    ("reach", "--f-number", "8", "--exposure", "1/125", "--wish", "4s", "--owned", "nd64,nd8,pol"),
    ("steady", "--exposure", "1/4", "--focal", "35", "--sensor", "36x24", "--support", "handheld"),
)
FACTORS = ("support", "crowd", "light", "filters", "technique", "kind")
FEW = 8  # records of a noun that are shown one by one
TRIED = (
    ("keeper", "note", "{keeper}", "--trip", "high", "--caption", "An own caption", "--clear", "support"),
    ("viewpoint", "edit", "{viewpoint}", "--facing", "200", "--clear", "hazards"),
    ("viewpoint", "edit", "{viewpoint}", "--clear", "nonsense"),
    ("site", "add", "Wet wood", "--position", "52.3, -126.9", "--kind", "forest", "--also", "The drip"),
    (
        "condition",
        "add",
        "crowd",
        "--level",
        "dozens",
        "--on",
        "2025-10-14",
        "--trip",
        "high",
        "--viewpoint",
        "{viewpoint}",
    ),
    ("undo",),
    ("check",),
    ("backup",),
)


def run(book: Path, words: tuple[str, ...]) -> str:
    """Return what one command says on both streams, and its exit status."""
    done = subprocess.run(
        [sys.executable, "-m", "logbook", *words],
        capture_output=True,
        text=True,
        check=False,
        env={
            **os.environ,
            "COLUMNS": "80",
            "LOGBOOK_BOOK": str(book),
            "XDG_STATE_HOME": str(book.parent / "state"),
        },
    )
    said = f"{done.stdout}\n--- stderr\n{done.stderr}\n--- exit {done.returncode}\n"
    return said.replace(str(book.parent), "ROOM")


def _slugs(book: Path, noun: str) -> list[str]:
    records = json.loads(run(book, (noun, "list", "--json")).partition("\n--- stderr")[0])
    return [one.get("slug") or one["id"] for one in records]


def questions(book: Path, into: Path) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each command that reads, under the name of its file."""
    slugs = {noun: _slugs(book, noun) for noun in NOUNS}
    for noun in NOUNS:
        yield f"{noun}-help", (noun, "--help")
        for verb in ("add", "edit", "list", "show", "note"):
            yield f"{noun}-{verb}-help", (noun, verb, "--help")
        yield f"{noun}-list", (noun, "list")
        yield f"{noun}-list.json", (noun, "list", "--json")
        for slug in slugs[noun][:FEW]:
            yield f"{noun}-show-{slug}", (noun, "show", slug)
            yield f"{noun}-show-{slug}.json", (noun, "show", slug, "--json")
    for trip in slugs["trip"]:
        yield f"track-list-{trip}.json", ("track", "list", "--trip", trip, "--json")
        days = json.loads(run(book, ("visit", "list", "--trip", trip, "--json")).partition("\n--- stderr")[0])
        for day in sorted({one["on_date"] for one in days}):
            on = ("--trip", trip, "--on", day)
            show = ("day", "show", day, "--trip", trip)
            yield f"day-show-{trip}-{day}", show
            yield f"day-show-{trip}-{day}.json", (*show, "--json")
            yield f"day-draft-{trip}-{day}", ("day", "draft", *on)
            yield f"propose-{trip}-{day}.json", ("keeper", "propose", *on, "--json")
            yield f"propose-{trip}-{day}", ("keeper", "propose", *on)
            yield (
                f"sheet-{trip}-{day}",
                ("sheet", trip, "--on", day, "--into", str(into / f"sheet-{trip}-{day}.html")),
            )
            for viewpoint in slugs["viewpoint"][:2]:
                yield f"light-{viewpoint}-{day}.json", ("light", viewpoint, "--on", day, "--json")
                yield f"light-{viewpoint}-{day}", ("light", viewpoint, "--on", day)
        for kind in FORMATS:
            for private in ((), ("--private",)):
                yield (
                    f"export-{trip}-{kind}{''.join(private)}",
                    (
                        "export",
                        trip,
                        "--as",
                        kind,
                        *private,
                        "--into",
                        str(into / f"{trip}{''.join(private)}.{kind}"),
                    ),
                )
        yield f"feasible-{trip}.json", ("shot", "list", "--trip", trip, "--json")
    for at, words in enumerate(EXPOSE):
        yield f"expose-{at}", ("expose", *words)
        yield f"expose-{at}.json", ("expose", *words, "--json")
    yield "export-schema", ("export", "--schema")
    yield "export-book", ("export", "--as", "json", "--private")
    for at, question in enumerate(QUESTIONS):
        yield f"find-{at}", ("find", *question.split())
        yield f"find-{at}.json", ("find", *question.split(), "--json")
    for factor in FACTORS:
        yield f"worked-{factor}.json", ("worked", "--by", factor, "--json")
        yield f"worked-{factor}", ("worked", "--by", factor)
    for site in slugs["site"]:
        yield f"alike-{site}", ("alike", site)
        yield f"alike-{site}.json", ("alike", site, "--json")
        yield f"before-{site}", ("before", site, "--into", str(into / f"before-{site}.html"))
        yield f"before-{site}.json", ("before", site, "--json")


def write(book: Path, into: Path) -> None:
    """Write every answer into a folder."""
    into.mkdir(parents=True)

    def one(named: tuple[str, tuple[str, ...]]) -> None:
        name, words = named
        (into / f"{name}.txt").write_text(run(book, words), encoding="utf-8")

    with ThreadPoolExecutor(max_workers=2) as two:
        list(two.map(one, questions(book, into)))
    for trip in _slugs(book, "trip"):
        for audience in AUDIENCES:
            words = ("report", trip, "--for", audience, "--into", str(into / f"report-{trip}-{audience}"))
            (into / f"report-{trip}-{audience}.txt").write_text(run(book, words), encoding="utf-8")
    all_trips = ("report", "--all", "--for", "archive", "--into", str(into / "report-all"))
    (into / "report-all.txt").write_text(run(book, all_trips), encoding="utf-8")
    known = {noun: _slugs(book, noun)[0] for noun in ("keeper", "viewpoint")}
    for at, pattern in enumerate(TRIED):  # last, as these write
        tried = tuple(word.format(**known) for word in pattern)
        (into / f"tried-{at}.txt").write_text(run(book, tried), encoding="utf-8")


def main() -> None:
    """Answer from a copy of the book in one folder into another."""
    made, into = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    room = Path(tempfile.mkdtemp(prefix="answers"))
    shutil.copy2(made / "book.sqlite", room / "book.sqlite")
    write(room / "book.sqlite", room / "answers")
    shutil.move(room / "answers", into)


if __name__ == "__main__":
    main()
