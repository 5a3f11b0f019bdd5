"""Measuring how wide the edges of an original are, and how bright it is: decoded at full size, in grey, once.

One surprising decision: a raw file is measured by its preview, and only where that is as large as the
picture. A smaller one looks sharp whatever was lost. Brightness is the mean linear light, in stops from a
middle grey; the tone curve that is undone is the standard one of sRGB alone. What a camera or a person did
beyond it differs from picture to picture, and is the doubt with which the figure is used.
"""

import warnings
from dataclasses import dataclass
from functools import cache
from math import log2
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from logbook.domain.acutance import NO_EDGES
from logbook.domain.errors import UnreadableFileError
from logbook.intake.plain_files import NOT_THERE, AnotherContentError, NotPlainError, open_verified
from logbook.intake.previews import RAW, open_picture, why_unread
from logbook.intake.workers import Ended

if TYPE_CHECKING:
    from PIL import Image as Pillow

    from logbook.craft.edges import Pixels


GREY_SHARE = 0.18  # of the light of white; a middle grey
LONG_PX = 256  # longer side of the small copy that is averaged; every so-many-th pixel, nothing blended
DARKEST_STOPS = -12.0  # stops; a black picture has no logarithm, and 8 bits tell no less


def shown_stops(picture: "Pillow.Image") -> float | None:
    """Return how much brighter than a middle grey a picture is on average; None where it has no tones.

    The transfer curve of IEC 61966-2-1 (sRGB) is undone on its luminance.
    """
    from PIL import Image as Pillow

    share = LONG_PX / max(picture.size)
    if share < 1:
        size = (max(1, round(picture.width * share)), max(1, round(picture.height * share)))
        picture = picture.resize(size, Pillow.Resampling.NEAREST)
    if picture.mode not in ("L", "RGB"):
        picture = picture.convert("RGB")
    counts = picture.convert("L").histogram()
    total = sum(counts)
    if not total:
        return None
    light = sum(count * linear for count, linear in zip(counts, _linear(), strict=True)) / total
    return DARKEST_STOPS if light <= 0 else max(DARKEST_STOPS, log2(light / GREY_SHARE))


@cache
def _linear() -> tuple[float, ...]:
    """The light of each of 256 steps, as a share of white (IEC 61966-2-1)."""
    steps = [step / 255 for step in range(256)]
    return tuple(one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in steps)


RAW_SHARE = 0.9  # of a raw picture's longer side that its preview must have
SMALL_PREVIEW = "a raw file with a preview smaller than the picture"


@dataclass(frozen=True, slots=True)
class WantedPicture:
    """An original to measure, as the book knows it; `long_px` is its longer side."""

    path: Path
    hash: str  # SHA-256 of the content, hexadecimal
    size_bytes: int
    format: str
    long_px: int | None


@dataclass(frozen=True, slots=True)
class MeasuredEdges:
    """What was measured, as `craft.edges.Edges.as_text` writes it; None with the reason why nothing was.

    `again` is whether measuring again may find more: the file was gone, changed or refused just then.
    """

    edges: str | None
    why: str | None = None
    again: bool = False
    shown_stops: float | None = None  # how bright it came out, in stops from a middle grey


def measured(wanted: WantedPicture) -> MeasuredEdges | Ended:
    """Measure one original: the work of a helper. Raises MemoryError for a picture that takes too much."""
    try:
        with (
            warnings.catch_warnings(),
            open_verified(wanted.path, wanted.hash, wanted.size_bytes) as file,
        ):
            warnings.simplefilter("ignore")  # damaged tags are no concern here
            return _measured(file, wanted)
    except (FileNotFoundError, NotADirectoryError):
        return MeasuredEdges(None, NOT_THERE, again=True)
    except (AnotherContentError, NotPlainError) as error:
        return MeasuredEdges(None, str(error), again=True)
    except UnreadableFileError as error:
        return MeasuredEdges(None, str(error))
    except MemoryError:
        raise
    except Exception as error:  # decoders raise almost anything on a damaged file
        refused = isinstance(error, PermissionError)
        return MeasuredEdges(None, why_unread(error), again=refused)


def _measured(file: BinaryIO, wanted: WantedPicture) -> MeasuredEdges:
    from logbook.craft.edges import edges_at

    with open_picture(file, wanted.format).picture as picture:
        width, height = picture.size
        picture.seek(0)
        picture.draft("L", picture.size)  # a JPEG then gives its luminance alone
        grey = _grey(picture)
        shown = shown_stops(grey)
        if wanted.format in RAW and (not wanted.long_px or max(width, height) < RAW_SHARE * wanted.long_px):
            return MeasuredEdges(None, SMALL_PREVIEW, shown_stops=shown)
        edges = edges_at(_overview(grey), grey.size, lambda left, top: _place(grey, left, top))
    if edges is None or edges.edge_px is None:
        return MeasuredEdges(None, NO_EDGES, shown_stops=shown)
    return MeasuredEdges(edges.as_text(), shown_stops=shown)


def _grey(picture: "Pillow.Image") -> "Pillow.Image":
    """The picture as eight bits of grey at its full size."""
    picture.load()
    if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
        return picture.convert("I").point(lambda value: value / 256).convert("L")
    return picture if picture.mode == "L" else picture.convert("L")


def _overview(grey: "Pillow.Image") -> "Pixels":
    """Every fourth pixel both ways, nothing averaged."""
    import numpy as np
    from PIL import Image as Pillow

    from logbook.craft.edges import STEP

    width, height = (side // STEP for side in grey.size)
    box = (0, 0, width * STEP, height * STEP)
    return np.asarray(grey.resize((width, height), Pillow.Resampling.NEAREST, box))


def _place(grey: "Pillow.Image", left: int, top: int) -> "Pixels":
    import numpy as np

    from logbook.craft.edges import SIDE

    return np.asarray(grey.crop((left, top, left + SIDE, top + SIDE)))
