"""Spoilt pictures and sidecars: every one is read or refused in one sentence, quickly, and fits the book.

`python -m tests.fuzz.pictures 200000 1` tries so many with a seed; the suite tries a few thousand. Seeds are
the real files of tests/intake/files.
"""

import random
import sys
from collections.abc import Iterator
from dataclasses import fields
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import UnreadableFileError
from logbook.domain.keeper import Keeper
from tests.fuzz.trying import tell, tried
from tests.intake.reading import read_picture, read_sidecar

FILES = Path(__file__).parents[1] / "intake" / "files"
SILENT = FILES / "cameras" / "ExtendedXMP.jpg"  # a picture whose Exif block says nothing
NASTY = (
    b"\xff\xff\xff\xff",
    b"\0\0\0\0",
    b"\x7f\xff\xff\xff",
    b"\x80\0\0\0",
    b"\0\0\0\1",
    b"\1\0\0\0",
    b"&a;",
    b"<!",
    b"\xff\xd8\xff",
    b"II*\0",
    b"8BIM",
    b"\x1c\2",
)
EARLY = 3000  # bytes in which most of what is read lies


def seeds() -> list[tuple[str, bytes]]:
    """Suffix and content of every file to be spoilt."""
    paths = sorted([*(FILES / "cameras").iterdir(), FILES / "made.heic"])
    return [(path.suffix, path.read_bytes()) for path in paths]


def spoilt(chance: random.Random, content: bytes, others: list[tuple[str, bytes]]) -> bytes:
    """The content with some bytes changed, cut, doubled or taken from another file."""
    data = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 4, 16))):
        end = len(data) if chance.random() < 0.3 else min(len(data), EARLY)
        at = chance.randrange(max(1, end))
        match chance.randrange(7):
            case 0:
                data[at : at + 1] = bytes((chance.randrange(256),))
            case 1:
                data[at : at + 4] = chance.choice(NASTY)
            case 2:
                data[at:at] = chance.choice(NASTY)
            case 3:
                del data[at : at + chance.choice((1, 2, 4, 100))]
            case 4:
                data[at:at] = data[at : at + chance.choice((2, 12, 200))]
            case 5:
                other = chance.choice(others)[1]
                start = chance.randrange(len(other))
                length = chance.choice((4, 12, 500))
                data[at : at + length] = other[start : start + length]
            case _:
                data[at : at + 2] = chance.choice(
                    (b"\0\1", b"\1\0", b"\0\2", b"\0\5", b"\0\x0c", b"\xff\xff")
                )
    return bytes(data[: chance.randrange(len(data) + 1)] if chance.random() < 0.05 else data)


def believable(facts: CameraFacts) -> None:
    """Raise where facts could not be put into a book."""
    now = datetime(2031, 10, 14, tzinfo=UTC)
    names = {field.name for field in fields(Keeper)} & {field.name for field in fields(CameraFacts)}
    Keeper(
        id="1",
        created=now,
        updated=now,
        slug="a",
        trip_id="1",
        file="a",
        path="a",
        hash="0",
        size_bytes=1,
        **{name: getattr(facts, name) for name in names},
    )
    for text in (
        facts.body,
        facts.lens,
        facts.taken_text,
        facts.caption,
        facts.place,
        *facts.keywords,
        *facts.notes,
    ):
        (text or "").encode()
        assert "\n" not in (text or "")
    assert facts.rating in (None, -1, 0, 1, 2, 3, 4, 5)


def trials(count: int, seed: int, folder: Path) -> Iterator[bool]:
    """Spoil and read; yield for each whether it could be read. Raises AssertionError with what went wrong."""
    chance = random.Random(seed)
    files = seeds()
    for number in range(count):
        suffix, content = chance.choice(files)
        path = folder / f"a{suffix}"
        path.write_bytes(spoilt(chance, content, files))
        yield tried(partial(read, path), UnreadableFileError, f"trial {number} of seed {seed} ({suffix})")


def read(path: Path) -> None:
    """Read a picture or a sidecar as an import does."""
    is_sidecar = path.suffix == ".xmp"
    believable(read_picture(SILENT, [read_sidecar(path)]) if is_sidecar else read_picture(path))


if __name__ == "__main__":
    with TemporaryDirectory() as scratch:
        wanted, told_seed = int(sys.argv[1]), int(sys.argv[2])
        tell(wanted, trials(wanted, told_seed, Path(scratch)))
