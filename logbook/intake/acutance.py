"""Measuring how wide the edges of an original are, and how bright it is: decoded at full size, in grey, once.

One surprising decision: a raw file is measured by its preview, and only where that is as large as the
picture. A smaller one looks sharp whatever was lost.
"""

import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from logbook.domain.acutance import NO_EDGES
from logbook.domain.errors import UnreadableFileError
from logbook.intake.plain_files import NotPlainError
from logbook.intake.previews import RAW, open_picture
from logbook.intake.shown_light import shown_stops
from logbook.intake.verified import NOT_THERE, AnotherContentError, open_verified
from logbook.intake.workers import Ended

if TYPE_CHECKING:
    from PIL import Image as Pillow

    from logbook.craft.edges import Pixels

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
        return MeasuredEdges(None, f"the original cannot be read ({type(error).__name__})", again=refused)


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
