"""Opening originals as pictures: raw files by the preview within them, else decoded; HEIC and AVIF as well.

One surprising decision: a raw file's own preview goes before decoding, because it is the picture that the
photographer saw and chose by; it is decoded only where the preview is too small for a page or missing.
"""

from dataclasses import dataclass
from importlib import import_module
from io import BytesIO
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

from logbook.domain.errors import UnreadableFileError
from logbook.intake.exif.tiff import RAW_FORMATS

if TYPE_CHECKING:
    from PIL import Image as Pillow

LARGE_ENOUGH_PX = 1600  # long side of a preview that fills the widest picture of a page
RAW = frozenset(RAW_FORMATS.values())
_HEIF = frozenset(("HEIC", "HEIF"))
_ORIENTATION = 0x0112  # Exif tag (CIPA DC-008)
_TURNS = range(1, 9)  # what that tag may say


class MissingExtraError(UnreadableFileError):
    """The library that decodes such a file is not installed; the text says how to install it."""


class TooLargeError(UnreadableFileError):
    """The picture has more pixels than can be read safely."""


@dataclass(frozen=True, slots=True)
class Opened:
    """An opened picture, and how it must still be turned (Exif's Orientation, 1 to 8; None: as it is)."""

    picture: "Pillow.Image"
    orientation: int | None


def open_picture(path: Path, file_format: str, orientation: int | None = None) -> Opened:
    """Open an original; `orientation` is what the book says, for a picture or preview that does not say.

    Raises MissingExtraError, TooLargeError, FileNotFoundError, and what decoders raise on damaged files.
    """
    from PIL import Image as Pillow
    from PIL import UnidentifiedImageError

    if not path.exists():
        raise FileNotFoundError(path)
    name = file_format.upper()
    if name in RAW:
        return _open_raw(path, name, orientation)
    if name in _HEIF:
        _library("pillow_heif", name).register_heif_opener()
    try:
        picture = Pillow.open(path)
    except Pillow.DecompressionBombError:
        raise _too_large() from None
    except UnidentifiedImageError:
        if name != "AVIF" or "AVIF" in Pillow.OPEN:
            raise
        raise MissingExtraError(
            "this Pillow reads no AVIF; install a newer one: pip install -U pillow"
        ) from None
    turn = picture.getexif().get(_ORIENTATION)
    if turn not in _TURNS and name not in _HEIF:  # a HEIF decoder turns the picture itself
        turn = orientation
    return Opened(picture, turn)


def _open_raw(path: Path, name: str, orientation: int | None) -> Opened:
    from PIL import Image as Pillow

    rawpy: Any = _library("rawpy", name)
    with path.open("rb") as file, rawpy.imread(file) as raw:
        preview: Pillow.Image | None = None
        try:
            found = raw.extract_thumb()
            if found.format == rawpy.ThumbFormat.JPEG:
                preview = Pillow.open(BytesIO(found.data))
            else:
                preview = Pillow.fromarray(found.data)
        except (rawpy.LibRawError, OSError, Pillow.DecompressionBombError):
            preview = None
        if preview is None or max(preview.size) < LARGE_ENOUGH_PX:
            try:
                return Opened(_decoded(raw, Pillow), None)
            except rawpy.LibRawError:
                if preview is None:
                    raise
        turn = preview.getexif().get(_ORIENTATION)
        return Opened(preview, orientation if turn is None else turn)


def _decoded(raw: Any, pillow: Any) -> "Pillow.Image":
    """A raw file developed with the camera's white balance, already upright."""
    width, height = int(raw.sizes.width), int(raw.sizes.height)
    if width * height > 2 * pillow.MAX_IMAGE_PIXELS:
        raise _too_large()
    half = max(width, height) >= 2 * LARGE_ENOUGH_PX
    picture: Pillow.Image = pillow.fromarray(raw.postprocess(use_camera_wb=True, half_size=half))
    return picture


def _too_large() -> TooLargeError:
    from PIL import Image as Pillow

    most = 2 * (Pillow.MAX_IMAGE_PIXELS or 0) // 1_000_000
    return TooLargeError(
        f"the original has more than {most} million pixels, too many to read safely; export a smaller copy"
    )


def _library(module: str, name: str) -> ModuleType:
    try:
        return import_module(module)
    except ImportError:
        raise MissingExtraError(
            f"{name} pictures need an extra: pip install 'shoot-logbook[raw]'; their settings are in the book"
        ) from None
