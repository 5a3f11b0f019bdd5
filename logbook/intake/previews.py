"""Opening originals as pictures: raw files by the preview within them, else decoded; HEIC and AVIF as well.

One surprising decision: a raw file's own preview goes before decoding, because it is the picture that the
photographer saw and chose by; it is decoded only where the preview is too small for a page or missing.

It is called in a helper process (`workers`): `bounds` refuses what can be told beforehand, and for the rest
the helper is ended.
"""

from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from io import BytesIO
from os import SEEK_END
from types import ModuleType
from typing import TYPE_CHECKING, Any, BinaryIO

from logbook.domain.errors import UnreadableFileError
from logbook.intake.bounds import check_file, check_picture, check_raw, check_scans, too_many_pixels
from logbook.intake.exif.tiff import RAW_FORMATS

if TYPE_CHECKING:
    from PIL import Image as Pillow

LARGE_ENOUGH_PX = 1600  # long side of a preview that fills the widest picture of a page
RAW = frozenset(RAW_FORMATS.values())
_HEIF = frozenset(("HEIC", "HEIF"))
_ORIENTATION = 0x0112  # Exif tag (CIPA DC-008)
_TURNS = range(1, 9)  # what that tag may say
_READERS = ("Jpeg", "Mpo", "Png", "Tiff", "WebP", "Avif")  # Pillow's; nobody needs its others (one runs gs)


class MissingExtraError(UnreadableFileError):
    """The library that decodes such a file is not installed; the text says how to install it."""


@dataclass(frozen=True, slots=True)
class OpenedPicture:
    """An opened picture, and how it must still be turned (Exif's Orientation, 1 to 8; None: as it is)."""

    picture: "Pillow.Image"
    orientation: int | None


def open_picture(file: BinaryIO, file_format: str, orientation: int | None = None) -> OpenedPicture:
    """Open an original; `orientation` is what the book says, for a picture or preview that does not say.

    The file is read from its start, and must stay open until the picture is loaded. Raises MissingExtraError,
    TooLargeError, UnreadableFileError for what is not a picture, MemoryError, and what decoders raise on
    damaged files.
    """
    check_file(file)
    name = file_format.upper()
    if name in RAW:
        return _open_raw(file, name, orientation)
    if name in _HEIF:
        _library("pillow_heif", name).register_heif_opener()
    picture = _with_pillow(file, name)
    turn = picture.getexif().get(_ORIENTATION)
    if turn not in _TURNS and name not in _HEIF:  # a HEIF decoder turns the picture itself
        turn = orientation
    return OpenedPicture(picture, turn)


def why_unread(error: Exception) -> str:
    """Return why an original cannot be read, in the words of the system or of this program."""
    said = error.strerror if isinstance(error, OSError) else None
    if said:
        return f"the original cannot be read ({said.lower()})"
    return "the original cannot be read; export a plain copy of it"


def _with_pillow(file: BinaryIO, name: str) -> "Pillow.Image":
    """A picture whose size was checked and whose pixels are not yet read."""
    from PIL import Image as Pillow
    from PIL import UnidentifiedImageError

    try:
        for reader in _READERS:
            with suppress(ImportError):  # an old Pillow knows no AVIF
                import_module(f"PIL.{reader}ImagePlugin")
        readers = [one.upper() for one in (*_READERS, "HEIF") if one.upper() in Pillow.OPEN]
        picture = Pillow.open(file, formats=readers)
    except Pillow.DecompressionBombError:
        raise too_many_pixels() from None
    except UnidentifiedImageError:
        if name != "AVIF" or "AVIF" in Pillow.OPEN:
            raise UnreadableFileError(f"the original cannot be read as a picture ({name})") from None
        raise MissingExtraError(
            "this version of Pillow cannot read AVIF; install a newer one: pip install -U pillow"
        ) from None
    check_picture(picture, file.seek(0, SEEK_END))
    return picture


def _open_raw(file: BinaryIO, name: str, orientation: int | None) -> OpenedPicture:
    from PIL import Image as Pillow

    rawpy: Any = _library("rawpy", name)
    size_bytes = file.seek(0, SEEK_END)
    file.seek(0)
    with rawpy.imread(file) as raw:
        preview: Pillow.Image | None = None
        try:
            found = raw.extract_thumb()
            if found.format == rawpy.ThumbFormat.JPEG:
                within = BytesIO(found.data)
                check_scans(within)
                preview = _with_pillow(within, "JPEG")
            else:
                preview = Pillow.fromarray(found.data)
        except (rawpy.LibRawError, OSError, UnreadableFileError):
            preview = None
        if preview is None or max(preview.size) < LARGE_ENOUGH_PX:
            try:
                return OpenedPicture(_decoded(raw, Pillow, size_bytes), None)
            except rawpy.LibRawError:
                if preview is None:
                    raise
        turn = preview.getexif().get(_ORIENTATION)
        return OpenedPicture(preview, orientation if turn is None else turn)


def _decoded(raw: Any, pillow: Any, size_bytes: int) -> "Pillow.Image":
    """A raw file developed with the camera's white balance, already upright."""
    width, height = int(raw.sizes.width), int(raw.sizes.height)
    check_raw(width, height, size_bytes)
    half = max(width, height) >= 2 * LARGE_ENOUGH_PX
    picture: Pillow.Image = pillow.fromarray(raw.postprocess(use_camera_wb=True, half_size=half))
    return picture


def _library(module: str, name: str) -> ModuleType:
    try:
        return import_module(module)
    except ImportError:
        raise MissingExtraError(
            f"{name} pictures cannot be opened without an extra: pip install 'shoot-logbook[raw]'; "
            "their settings are in the book"
        ) from None
