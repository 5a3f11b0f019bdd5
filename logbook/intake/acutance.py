"""Measuring how wide the edges of an original are: decoded at its full size, in grey, once.

One surprising decision: what is measured is the file whose hash the book knows. It is read whole and hashed
first, so that a picture that was edited since never passes for the one that was taken in.
"""

import hashlib
import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.domain.errors import UnreadableFileError
from logbook.intake.previews import RAW, open_picture
from logbook.intake.workers import MEBIBYTE, Ended

if TYPE_CHECKING:
    from PIL import Image as Pillow

    from logbook.craft.edges import Pixels

LARGEST_BYTES = 256 * MEBIBYTE  # of a file that is read whole
RAW_SHARE = 0.9  # of a raw picture's width that its preview must have; a smaller one hides the blur
NO_EDGES = "too small, or with too few strong edges to measure"


@dataclass(frozen=True, slots=True)
class Wanted:
    """An original to measure, as the book knows it."""

    path: Path
    hash: str  # SHA-256 of the content, hexadecimal
    format: str
    long_px: int | None  # its longer side


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured, as `craft.edges.Edges.as_text` writes it; None with the reason why nothing was.

    `again` is whether measuring again may find more: the file was gone, changed or not readable just then.
    """

    edges: str | None
    why: str | None = None
    again: bool = False


def measured(wanted: Wanted) -> Measured | Ended:
    """Measure one original: the work of a helper. Raises MemoryError for a picture that takes too much."""
    try:
        data = _content(wanted)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # damaged tags are no concern here
            return _measured(data, wanted)
    except OSError as error:
        return Measured(None, f"the original cannot be read ({error.strerror or type(error).__name__})", True)
    except UnreadableFileError as error:
        return Measured(None, str(error), again=isinstance(error, _NotNowError))
    except MemoryError:
        raise
    except Exception as error:  # decoders raise almost anything on a damaged file
        return Measured(None, f"the original cannot be read ({type(error).__name__})")


class _NotNowError(UnreadableFileError):
    """The file is not what the book knows."""


def _content(wanted: Wanted) -> BytesIO:
    if not wanted.path.exists():
        raise _NotNowError("the original is no longer there")
    if wanted.path.stat().st_size > LARGEST_BYTES:
        raise UnreadableFileError(f"the original has more than {LARGEST_BYTES // MEBIBYTE} MiB")
    data = wanted.path.read_bytes()
    if hashlib.sha256(data).hexdigest() != wanted.hash:
        raise _NotNowError("the original was changed since it was taken in; import it again")
    return BytesIO(data)


def _measured(data: BytesIO, wanted: Wanted) -> Measured:
    from logbook.craft.edges import edges_at

    with open_picture(data, wanted.format).picture as picture:
        width, height = picture.size
        if wanted.format in RAW and (not wanted.long_px or max(width, height) < RAW_SHARE * wanted.long_px):
            return Measured(None, "a raw file whose preview is smaller than the picture")
        picture.seek(0)
        picture.draft("L", picture.size)  # a JPEG then gives its luminance alone
        grey = _grey(picture)
        edges = edges_at(_overview(grey), grey.size, lambda left, top: _place(grey, left, top))
    if edges is None or edges.edge_px is None:
        return Measured(None, NO_EDGES)
    return Measured(edges.as_text())


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
