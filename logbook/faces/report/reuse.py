"""Taking over what the report being replaced already has: pictures whose every width lies there whole.

One surprising decision: an original that has gone meanwhile does not matter; the book knows its content by
hash, and the widths of that content are still the right ones.
"""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

from logbook.faces.report.jpeg import NotJpegError, carried, read_jpeg
from logbook.faces.report.models import Image
from logbook.faces.report.pictures import image_of, widths_of
from logbook.intake.report_list import Listed, digest


def pictures_of(folder: Path, listed: Listed | None, within: str = "") -> Callable[[str, Path], Image | None]:
    """Return a function that puts the widths of a named picture into another folder, or returns None.

    `within` is the part of the folder ("trips/1-dunes/") whose pictures are meant. Whole means: the same
    bytes as when the report was finished, all widths, and nothing beside the pixels.
    """
    begins = f"{within}pictures/"
    widths: dict[str, list[int]] = {}
    for name in listed.digests if listed else ():
        stem, _, width = Path(name).stem.partition("-")
        if name.startswith(begins) and width.isdecimal():
            widths.setdefault(stem, []).append(int(width))

    def take(name: str, into: Path) -> Image | None:
        there = sorted(widths.get(name, ()))
        if listed is None or not there or tuple(there) != widths_of(there[-1]):
            return None
        paths = [folder / begins / f"{name}-{width}.jpg" for width in there]
        try:
            contents = [path.read_bytes() for path in paths]
            widest = read_jpeg(contents[-1])
        except (OSError, NotJpegError):
            return None
        known = [listed.digests[f"{begins}{path.name}"] for path in paths]
        if known != [digest(content) for content in contents]:
            return None
        if widest.width_px != there[-1] or carried(widest):
            return None
        for path in paths:
            _put(path, into / path.name)
        return image_of(name, widest.width_px, widest.height_px, contents[0])

    return take


def _put(path: Path, to: Path) -> None:
    """Link where the file system can, so that nothing is written; the older name for it goes away."""
    to.unlink(missing_ok=True)
    try:
        os.link(path, to)
    except OSError:
        shutil.copyfile(path, to)
