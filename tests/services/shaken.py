"""Pictures of one view on the disk, some of them blurred by known amounts."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import piexif

from tests.truth.blurred_pictures import Kernel, blurred, jpeg, stones, with_water

STILL = (Kernel.LINE, 0.0)
SHAKEN = (Kernel.LINE, 8.0)
OUT_OF_FOCUS = (Kernel.DISC, 12.0)


def shoot(folder: Path, blurs: Sequence[tuple[Kernel, float]], first: int = 2101, seed: int = 5) -> list[str]:
    """Write one frame a minute, blurred as told, of stones at the water; return the names."""
    folder.mkdir(exist_ok=True)
    rng = np.random.default_rng(seed)
    view = stones(rng)
    names = []
    for number, (kernel, amount) in enumerate(blurs):
        seen = blurred(with_water(view, rng), kernel, amount, 0.6)
        colours = seen[..., None] + rng.normal(size=(*seen.shape, 3)) * 2
        made = {
            "0th": {piexif.ImageIFD.Make: b"Halvern", piexif.ImageIFD.Model: b"Thistle"},
            "Exif": {
                piexif.ExifIFD.DateTimeOriginal: f"2031:10:14 17:{10 + number}:00".encode(),
                piexif.ExifIFD.FocalLength: (24, 1),
            },
        }
        names.append(f"TRN_{first + number}.JPG")
        pixels = np.clip(colours, 0, 255).astype(np.uint8)
        (folder / names[-1]).write_bytes(jpeg(pixels, 88, exif=piexif.dump(made)))
    return names
