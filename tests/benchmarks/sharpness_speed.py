"""What measuring the sharpness of 24 megapixels costs beside decoding them, in processor time of one run.

Run by hand: `python -m tests.benchmarks.sharpness_speed`. The picture is drawn and written as a JPEG of
quality 90; decoding is Pillow's alone, to colour as for a page and to luminance as for measuring.
"""

import hashlib
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

from logbook.intake.acutance import MeasuredEdges, WantedPicture, measured
from tests.truth.blurred_pictures import HEIGHT, WIDTH, jpeg, rock_face

SIZE_PX = (6000, 4000)
RUNS = 9
WANTED_MS = 60.0  # more than decoding costs


def main() -> None:
    """Print medians in ms, and what measuring adds."""
    rng = np.random.default_rng(1)
    tiles = (-(-SIZE_PX[1] // HEIGHT), -(-SIZE_PX[0] // WIDTH), 1)
    colours = np.tile(rock_face(rng)[..., None], tiles)[: SIZE_PX[1], : SIZE_PX[0]]
    colours = colours + rng.normal(size=(*colours.shape[:2], 3)) * 3
    data = jpeg(np.clip(colours, 0, 255).astype(np.uint8), 90)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "drawn.jpg"
        path.write_bytes(data)
        wanted = WantedPicture(path, hashlib.sha256(data).hexdigest(), len(data), "JPEG", SIZE_PX[0])

        def measure() -> None:
            found = measured(wanted)
            assert isinstance(found, MeasuredEdges)
            assert found.edges is not None

        works: dict[str, Callable[[], None]] = {
            "decoding to colour": lambda: decode(data, "RGB"),
            "decoding to luminance": lambda: decode(data, "L"),
            "reading and hashing": lambda: hash_of(path),
            "measuring, all in all": measure,
        }
        measure()
        taken = {name: statistics.median(times(work)) for name, work in works.items()}
    for name, ms in taken.items():
        sys.stdout.write(f"{name:24} {ms:6.0f} ms\n")
    luminance, all_in_all = taken["decoding to luminance"], taken["measuring, all in all"]
    sys.stdout.write(
        f"{SIZE_PX[0] * SIZE_PX[1] / 1e6:.0f} megapixels, {len(data) / 1e6:.1f} MB: measuring "
        f"costs {all_in_all - luminance:.0f} ms more than decoding to grey, {all_in_all / luminance:.2f} "
        f"times that, and {all_in_all - taken['decoding to colour']:.0f} ms more than to colour "
        f"(wanted: {WANTED_MS:.0f} ms)\n"
    )


def decode(data: bytes, mode: str) -> None:
    """Decode a JPEG at its full size."""
    with Image.open(BytesIO(data)) as picture:
        picture.draft(mode, picture.size)
        picture.load()


def hash_of(path: Path) -> None:
    """Read a file and hash it, as must be done to know that it is the one that was taken in."""
    hashlib.sha256(path.read_bytes()).hexdigest()


def times(work: Callable[[], None]) -> list[float]:
    """Return the processor time of each run in ms."""
    taken = []
    for _ in range(RUNS):
        begins = time.process_time()
        work()
        taken.append((time.process_time() - begins) * 1000)
    return taken


if __name__ == "__main__":
    main()
