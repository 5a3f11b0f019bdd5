"""Spoilt exports: every one is taken in or refused in one sentence, quickly; a refused one leaves no trace.

`python -m tests.fuzz.export_json 200000 1 EXPORT.json` tries so many with a seed; the suite tries a few
thousand. Documents are spoilt as values and as bytes by turns.
"""

import json
import random
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from logbook.domain.errors import LogbookError
from logbook.services.books.imports import import_document
from logbook.services.exports.book_json import book_records, from_document
from logbook.services.exports.json_text import parse_json
from logbook.store.book import Book
from tests.services.exports.moment import NOW

SLOWEST_S = 5.0  # s; anything longer is a hang
STORED_EVERY = 40  # so many documents that can be read are also put into a book; each costs some writing
NASTY: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 2**31, 2**63, 2**64, 10**40, -(10**40), 0.5, -0.0, 1e308, 5e-324),
    *(
        "",
        " ",
        "none",
        "\x00",
        "\ud800",
        "\u202e",
        "a" * 300,
        "é" * 70,
        "=1+1",
        "../../x",
        "1/0",
        "-1/2",
        "0/1",
    ),
    *("2025-02-30", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00+23:59", "24:00:00", "17:20", "Z", "NaN"),
    *([], {}, [[]], [None], {"a": 1}, {"": ""}, [1, 2, 3, 4], [["2025-01-01T00:00:00Z", 1, 2, None]]),
)
BYTES = (
    b"{",
    b"}",
    b"[",
    b"]",
    b'"',
    b",",
    b":",
    b"\\",
    b"\\u",
    b"\xff",
    b"\x00",
    b"9" * 50,
    b"e999",
    b"-",
    b"NaN",
)


def spoilt_value(data: Any, chance: random.Random) -> Any:
    """Change a document in one to three places: values, names, items gone, doubled or exchanged."""
    for _ in range(chance.randint(1, 3)):
        at, key = _somewhere(data, chance)
        match chance.randrange(6):
            case 0 | 1:
                at[key] = chance.choice(NASTY)
            case 2:
                del at[key]
            case 3 if isinstance(at, dict):
                at[str(chance.choice(("id", "title", "novelty", "points", "", "\ud800")))] = at.pop(key)
            case 4 if isinstance(at, list):
                at.append(at[key])
            case _:
                other, another = _somewhere(data, chance)
                at[key] = json.loads(json.dumps(other[another]))
    return data


def _somewhere(data: Any, chance: random.Random) -> tuple[Any, Any]:
    """Return a container and a key in it, anywhere in the document."""
    at: Any = {"": data}
    key: Any = ""
    while isinstance(inner := at[key], dict | list) and inner and (inner is data or chance.random() < 0.85):
        at, key = inner, chance.choice(list(inner) if isinstance(inner, dict) else range(len(inner)))
    return at, key


def spoilt_bytes(content: bytes, chance: random.Random) -> bytes:
    """Change a document's bytes: cut, put in, doubled, overwritten."""
    spoilt = bytearray(content)
    for _ in range(chance.randint(1, 4)):
        at, length = chance.randrange(len(spoilt) + 1), chance.choice((1, 2, 8, 200))
        match chance.randrange(4):
            case 0:
                del spoilt[at : at + length]
            case 1:
                spoilt[at:at] = chance.choice(BYTES)
            case 2:
                spoilt[at:at] = spoilt[at : at + length]
            case _:
                spoilt[at : at + 1] = bytes([chance.randrange(256)])
    return bytes(spoilt)


def try_one(text: str, book: Book | None) -> bool:
    """Read one document, and put it into a book where one is given; tell whether it was taken in."""
    began = perf_counter()
    try:
        document = from_document(parse_json(text, "spoilt.json"), "spoilt.json")
        if book is not None:
            import_document(book, document, "spoilt.json")
    except LogbookError as error:
        said = str(error)
        assert "\n" not in said, said
        assert len(said) < 2000, said
        return False
    finally:
        took_s = perf_counter() - began
        assert took_s < SLOWEST_S, f"{took_s:.1f} s"
    return True


def is_empty(book: Book) -> bool:
    """Whether nothing was stored."""
    with book.reading() as desk:
        return not any(book_records(desk).values())


def trials(count: int, seed: int, seeds: list[str]) -> Iterator[bool]:
    """Try so many spoilt documents; yield for each whether it was taken in."""
    chance = random.Random(seed)
    with TemporaryDirectory() as folder:
        book: Book | None = None
        for number in range(count):
            text = chance.choice(seeds)
            if number % 2:
                spoilt = json.dumps(spoilt_value(json.loads(text), chance))
            else:
                spoilt = spoilt_bytes(text.encode(), chance).decode("utf-8", "replace")
            if number % STORED_EVERY == 1 and book is None:
                book = Book(Path(folder) / f"{number}.sqlite", lambda: NOW, create=True)
            taken = try_one(spoilt, book if number % STORED_EVERY == 1 else None)
            if number % STORED_EVERY == 1 and book is not None:
                if taken:
                    book.path.unlink()
                    book = None
                else:
                    assert is_empty(book), "a refused document leaves no trace"
            yield taken


def main() -> None:
    """Try as many as asked for on the documents in the files named."""
    count, seed = int(sys.argv[1]), int(sys.argv[2])
    seeds = [Path(name).read_text(encoding="utf-8") for name in sys.argv[3:]]
    began = perf_counter()
    taken = sum(trials(count, seed, seeds))
    sys.stdout.write(f"{count} tried with seed {seed}: {taken} taken in, {count - taken} refused, ")
    sys.stdout.write(f"{perf_counter() - began:.0f} s\n")


if __name__ == "__main__":
    main()
