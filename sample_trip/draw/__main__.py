"""Draws the sample pictures, writes their metadata and the track: `python -m sample_trip.draw [NAME ...]`.

With names (TRN_0412 ...) only those pictures are drawn. The same seed gives the same picture.
"""

import json
import sys
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image

ROOT = Path(__file__).resolve().parents[1]
if __package__ in (None, ""):
    sys.path.insert(0, str(ROOT.parent))

from sample_trip.draw import metadata  # noqa: E402
from sample_trip.draw.frames import FRAMES, VALLEY, Frame  # noqa: E402
from sample_trip.draw.track import write_track  # noqa: E402

LARGEST_BYTES = 214_000  # before metadata; the whole sample stays small enough to travel with the program
QUALITIES = (84, 80, 76, 72, 68, 64, 60)
TRACK_DAY = "2025-10-16"
TRACK_STOPS = (
    ("upper-terrace", "05:48", "08:10"),
    ("mere-hide", "10:22", "11:48"),
    ("dune-foot", "14:20", "15:02"),
    ("dune-shoulder", "15:40", "17:36"),
    ("dune-foot", "18:05", "20:24"),
)


def _save(frame: Frame, path: Path) -> int:
    """Draw one picture and save it at the best quality that keeps it small; returns its size in bytes."""
    picture = frame.draw().finish(exposure=frame.lighter_stops)
    if frame.stored_sideways:
        picture = picture.transpose(Image.Transpose.ROTATE_90)
    for quality in QUALITIES:
        buffer = BytesIO()
        picture.save(buffer, "JPEG", quality=quality, optimize=True, subsampling=1 if quality > 80 else 2)
        if buffer.tell() <= LARGEST_BYTES:
            break
    path.write_bytes(buffer.getvalue())
    return buffer.tell()


def main(names: list[str]) -> None:
    """Draw all pictures, or those named, and write the track."""
    book: dict[str, Any] = json.loads((ROOT / "book.json").read_text(encoding="utf-8"))
    places = {place["slug"]: place for place in book["viewpoints"]}
    sites = {site["id"]: site for site in book["sites"]}
    lines: list[str] = []
    for frame in FRAMES:
        if names and not any(name in frame.name for name in names):
            continue
        path = ROOT / frame.trip / "pictures" / frame.name
        path.parent.mkdir(parents=True, exist_ok=True)
        size = _save(frame, path)
        place = places[frame.viewpoint]
        lines += metadata.arguments(frame, path, place, sites[place["site_id"]]["zone"])
        print(f"{frame.trip}/{frame.name}: {size / 1000:.0f} kB", flush=True)  # noqa: T201
    metadata.write(lines, ROOT)
    stops = [
        (places[s]["latitude_deg"], places[s]["longitude_deg"], places[s]["elevation_m"], a, d)
        for s, a, d in TRACK_STOPS
    ]
    write_track(ROOT / VALLEY / "track.gpx", "Town to dune", TRACK_DAY, "Asia/Dushanbe", stops)


if __name__ == "__main__":
    main(sys.argv[1:])
