"""Spoilt tracks and day files: every one is read or refused in one sentence, quickly.

`python -m tests.fuzz.texts 100000 1` tries so many with a seed; the suite tries a few thousand. Seeds are the
sample trip's own files.
"""

import random
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.domain.errors import LogbookError
from logbook.intake.dayfile import read_day_file
from logbook.intake.tracks import read_track
from tests.fuzz.trying import tell, tried

SAMPLE = Path(__file__).parents[2] / "sample_trip" / "high-valley-autumn"
TRACK_POINTS = 40  # of the sample's track; the rest is more of the same
NASTY = (
    *("---", "## ", "- ", ": ", "?", "- shot ", "- keepers 0412-", "- crowd: ", "clock ", "[", "]", "\x00"),
    *("24:61", "99:99-00:00", "2025-02-30", "nd8 + ", "1/0", "f/0", "-1", "1e999", "9" * 60, "*" * 60),
    *('<trkpt lat="91" lon="181">', "</trkpt>", "<!DOCTYPE a>", "<!ENTITY a 'b'>", "&a;", "<time>", "NaN"),
    *("\n", "\r", "\t", "```", "é", "𝟜", "\u2028", "\ufeff", "\u202e", "\ud7ff"),
)


def seeds() -> list[tuple[str, str]]:
    """Suffix and text of every file to be spoilt."""
    days = [(".md", path.read_text(encoding="utf-8")) for path in sorted((SAMPLE / "days").iterdir())]
    lines = (SAMPLE / "track.gpx").read_text(encoding="utf-8").split("<trkpt")
    short = "<trkpt".join(lines[: TRACK_POINTS + 1]).rstrip() + "</trkseg></trk></gpx>"
    return [*days, *[(".gpx", short)] * len(days)]


def spoilt(chance: random.Random, text: str) -> bytes:
    """The text with parts changed, cut, doubled or moved, now and then as broken bytes."""
    for _ in range(chance.choice((1, 1, 2, 5, 20))):
        at, length = chance.randrange(len(text) + 1), chance.choice((0, 1, 5, 30))
        match chance.randrange(4):
            case 0:
                text = text[:at] + chance.choice(NASTY) + text[at + length :]
            case 1:
                text = text[:at] + text[at + length :]
            case 2:
                text = text[:at] + text[at : at + length] * 3 + text[at:]
            case _:
                lines = text.split("\n")
                chance.shuffle(lines)
                text = "\n".join(lines)
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data and chance.random() < 0.1:
        data[chance.randrange(len(data))] = chance.randrange(256)
    return bytes(data)


def trials(count: int, seed: int, folder: Path) -> Iterator[bool]:
    """Spoil and read; yield for each whether it could be read. Raises AssertionError with what went wrong."""
    chance = random.Random(seed)
    files = seeds()
    for number in range(count):
        suffix, text = chance.choice(files)
        path = folder / f"a{suffix}"
        path.write_bytes(spoilt(chance, text))
        read = read_track if suffix == ".gpx" else read_day_file
        yield tried(partial(read, path), LogbookError, f"trial {number} of seed {seed} ({suffix})")


if __name__ == "__main__":
    with TemporaryDirectory() as scratch:
        wanted, told_seed = int(sys.argv[1]), int(sys.argv[2])
        tell(wanted, trials(wanted, told_seed, Path(scratch)))
