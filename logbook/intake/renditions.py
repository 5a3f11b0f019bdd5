"""Pictures made smaller: an original decoded once, turned upright, brought to sRGB, saved in several widths.

One surprising decision: a picture is asked for with everything that is needed to make it and comes back as
bytes, so that a helper process (`workers`) can do it which writes nothing and imports little.
"""

import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.domain.errors import UnreadableFileError
from logbook.domain.keeper import LYING
from logbook.intake.colours import in_srgb, profile_of
from logbook.intake.plain_files import NOT_THERE, AnotherContentError, NotPlainError, open_verified
from logbook.intake.previews import open_picture, why_unread
from logbook.intake.workers import Ended

if TYPE_CHECKING:
    from PIL import Image as Pillow

BAND_BYTES = 2**25  # of memory for a part of a picture that is brought to another mode (32 MiB)
PAPER = (255, 255, 255)  # what shows through a transparent picture
SEEN_AS_THEY_ARE = ("RGB", "CMYK", "L", "LAB")  # Pillow's modes that can be made smaller without a copy
HIGHEST_PX = 65_500  # of a JPEG that libjpeg writes (JPEG_MAX_DIMENSION)


@dataclass(frozen=True, slots=True)
class Asked:
    """An original, and the widths and JPEG quality in which it is wanted."""

    path: Path
    hash: str  # SHA-256 of the content that is wanted; of another one nothing is made
    size_bytes: int | None  # of that content
    format: str
    orientation: int | None  # as the book says, for pictures and previews that do not say
    widths_px: tuple[int, ...]  # from narrow to wide; a narrower picture is not made wider
    quality: int


class Another(Ended):
    """What lies there is not the original that was asked for."""


@dataclass(frozen=True, slots=True)
class Rendition:
    """The JPEG files made of one original by their width, the widest last, and its size."""

    files: tuple[tuple[int, bytes], ...]
    size_px: tuple[int, int]


def widths_of(widest_px: int, widths_px: tuple[int, ...]) -> tuple[int, ...]:
    """Return the widths that are made of a picture: never wider than it is."""
    return (*(width for width in widths_px if width < widest_px), min(widest_px, widths_px[-1]))[
        : len(widths_px)
    ]


def made_of(asked: Asked) -> Rendition | Ended:
    """Return one original in its widths without any metadata, or why it cannot be: the work of a helper.

    Raises MemoryError for a picture that takes more memory than it may.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # damaged tags are no concern of a page
            upright = _upright(asked)
        return Rendition(_files(upright, asked), upright.size)
    except (FileNotFoundError, NotADirectoryError):
        return Ended(NOT_THERE)
    except (AnotherContentError, NotPlainError) as error:
        return Another(str(error))
    except UnreadableFileError as error:
        return Ended(str(error))
    except MemoryError:
        raise
    except Exception as error:  # decoders raise almost anything on a damaged file
        return Ended(why_unread(error))


def _files(upright: "Pillow.Image", asked: Asked) -> tuple[tuple[int, bytes], ...]:
    from PIL import Image as Pillow

    files, sized = [], upright
    widths = widths_of(upright.width, asked.widths_px)
    for width in reversed(widths):  # each from the next wider: half the work, same look
        if width != upright.width:
            height = max(1, round(upright.height * width / upright.width))
            sized = sized.resize((width, height), Pillow.Resampling.LANCZOS, reducing_gap=3.0)
        buffer = BytesIO()
        sized.save(buffer, "JPEG", quality=asked.quality, progressive=True, optimize=True)
        files.append((width, buffer.getvalue()))
    return tuple(reversed(files))


def _upright(asked: Asked) -> "Pillow.Image":
    """Decode once; return the widest upright sRGB picture, which carries nothing but its pixels."""
    from PIL import Image as Pillow

    with open_verified(asked.path, asked.hash, asked.size_bytes) as file:
        found = open_picture(file, asked.format, asked.orientation)
        with found.picture as opened:
            opened.seek(0)
            lies = found.orientation in LYING
            width, height = opened.size[::-1] if lies else opened.size
            across = min(width, asked.widths_px[-1])
            high = max(1, round(height * across / width))
            if high > HIGHEST_PX:
                raise UnreadableFileError("the original is too long and narrow for a page; export part of it")
            target = (high, across) if lies else (across, high)
            opened.draft("RGB", target)  # a JPEG decodes smaller, but never smaller than this
            shown = _as_seen(_reduced(opened, target))
            if shown.size != target:
                # Two thirds of the work, and 47 dB from Lanczos, where JPEG itself is 32 dB off
                shown = shown.resize(target, Pillow.Resampling.BICUBIC, reducing_gap=3.0)
            upright = in_srgb(_turned(shown, found.orientation), profile_of(opened))
    bare = Pillow.new("RGB", upright.size)
    bare.paste(upright)
    return bare


def _reduced(picture: "Pillow.Image", target: tuple[int, int]) -> "Pillow.Image":
    """Return a picture that can be made smaller as it is; another mode is brought to RGB band by band.

    A whole copy of a palette's 160 megapixels would be 640 MB, so a band is made smaller too, to twice the
    target at the least, above which nobody sees it (Pillow's own advice on `reducing_gap`).
    """
    from PIL import Image as Pillow

    picture.load()
    if picture.mode in SEEN_AS_THEY_ARE or 4 * picture.width * picture.height <= BAND_BYTES:
        return picture
    by = max(1, min(picture.width // (2 * target[0]), picture.height // (2 * target[1])))
    reduced = Pillow.new("RGB", (-(-picture.width // by), -(-picture.height // by)))
    high = by * max(1, BAND_BYTES // (4 * picture.width * by))
    for top in range(0, picture.height, high):
        band = picture.crop((0, top, picture.width, min(top + high, picture.height)))
        reduced.paste(_as_seen(band).reduce(by), (0, top // by))
    return reduced


def _turned(picture: "Pillow.Image", orientation: int | None) -> "Pillow.Image":
    """Return a picture the right way up (the values of Exif's Orientation, CIPA DC-008)."""
    from PIL import Image as Pillow

    turns = Pillow.Transpose
    how = {
        2: turns.FLIP_LEFT_RIGHT,
        3: turns.ROTATE_180,
        4: turns.FLIP_TOP_BOTTOM,
        5: turns.TRANSPOSE,
        6: turns.ROTATE_270,
        7: turns.TRANSVERSE,
        8: turns.ROTATE_90,
    }.get(orientation or 1)
    return picture if how is None else picture.transpose(how)


def _as_seen(picture: "Pillow.Image") -> "Pillow.Image":
    """Return a picture in a mode that can be made smaller: eight bits, no palette, on paper."""
    from PIL import Image as Pillow

    if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
        return picture.convert("I").point(lambda value: value / 256).convert("L").convert("RGB")
    if picture.mode in ("P", "PA", "LA", "La", "RGBa"):
        picture = picture.convert("RGBA")
    if picture.mode == "RGBA":
        paper = Pillow.new("RGB", picture.size, PAPER)
        paper.paste(picture, mask=picture.getchannel("A"))
        return paper
    if picture.mode in SEEN_AS_THEY_ARE:
        return picture
    return picture.convert("RGB")
