"""How much a picture may ask for: pixels, scans of a JPEG, and memory in proportion to its file.

One surprising decision: memory is allowed by the size of the file, because that is what tells a large picture
from a small file that unfolds into one; scans are counted before anything is decoded, because a decoder
works through the whole picture for each.
"""

import os
from typing import TYPE_CHECKING, BinaryIO

from logbook.domain.errors import UnreadableFileError
from logbook.intake.exif.jpeg import FRAMES, SCAN, SIGNATURE, segments
from logbook.intake.workers import MEBIBYTE, allow_memory

if TYPE_CHECKING:
    from PIL import Image as Pillow

MOST_PIXELS = 178_956_970  # where Pillow calls a picture a bomb (twice its MAX_IMAGE_PIXELS)
MOST_SCANS = 100  # of a progressive JPEG; encoders write ten or so (common practice, no source)
LEAST_BYTES = 384 * MEBIBYTE  # of memory for any picture: 100 megapixels of PNG, 25 of WebP
BYTES_FOR_ONE = 400  # of memory for each byte of the file; photographs need 1 to 150 (measured)
MOST_BYTES = 1024 * MEBIBYTE  # of memory for the largest

_BYTES_A_PIXEL = {
    "WEBP": 16,
    "HEIF": 8,
    "AVIF": 10,
}  # while decoding (measured, Pillow 13.0, pillow-heif 1.1)
_NARROW = {
    "1": 1,
    "L": 1,
    "P": 1,
    "I;16": 2,
    "I;16L": 2,
    "I;16B": 2,
}  # Pillow's modes of less than four bytes
_BYTES_A_RAW_PIXEL = 8  # the sensor's values twice, and a developed picture of half the height and width
_PROGRESSIVE = frozenset((0xC2, 0xC6, 0xCA, 0xCE))


class TooLargeError(UnreadableFileError):
    """The picture asks for more than can be given safely."""


def check_file(file: BinaryIO) -> None:
    """Allow memory by the size of a file, and check its scans; ends at the start of the file."""
    allow_memory(allowed_bytes(file.seek(0, os.SEEK_END)))
    check_scans(file)


def check_scans(file: BinaryIO) -> None:
    """Raise TooLargeError for a JPEG of too many scans; ends at the start of the file."""
    file.seek(0)
    if file.read(3) == SIGNATURE and _has_more_scans(file, MOST_SCANS):
        raise TooLargeError(
            f"the original is a JPEG with more than {MOST_SCANS} scans, which takes too long to open; "
            "export a plain copy"
        )
    file.seek(0)


def allowed_bytes(size_bytes: int) -> int:
    """Return how much memory a picture of such a file may take."""
    return min(MOST_BYTES, max(LEAST_BYTES, BYTES_FOR_ONE * size_bytes))


def check_picture(picture: "Pillow.Image", size_bytes: int) -> None:
    """Raise TooLargeError when decoding an opened picture would take too much."""
    width, height = picture.size
    if picture.format in ("JPEG", "MPO"):
        each = (
            2 * len(picture.getbands()) if picture.info.get("progressive") else 0
        )  # coefficients; made smaller
    else:
        each = _BYTES_A_PIXEL.get(picture.format or "") or _NARROW.get(picture.mode, 4)
    _check(width * height, each, size_bytes)


def check_raw(width_px: int, height_px: int, size_bytes: int) -> None:
    """Raise TooLargeError when developing a raw picture would take too much."""
    _check(width_px * height_px, _BYTES_A_RAW_PIXEL, size_bytes)


def too_many_pixels() -> TooLargeError:
    """Return the refusal of a picture with too many pixels."""
    return TooLargeError(
        f"the original has more than {MOST_PIXELS // 1_000_000} million pixels, too many to read safely; "
        "export a smaller copy"
    )


def _check(pixels: int, bytes_each: int, size_bytes: int) -> None:
    if pixels > MOST_PIXELS:
        raise too_many_pixels()
    if pixels * bytes_each > allowed_bytes(size_bytes):
        raise TooLargeError(
            f"the original expands from {-(-size_bytes // 1000):,} kB to {pixels // 1_000_000} million "
            "pixels, too many for so small a file; export a smaller copy"
        )


def _has_more_scans(file: BinaryIO, most: int) -> bool:
    """Whether a JPEG has more scans that a decoder would work through."""
    components, progressive, scans = 0, False, 0
    for segment in segments(file, lenient=True):
        if segment.marker in FRAMES and segment.length > 5 and not scans:
            components = int.from_bytes(file.read(6)[5:])
            progressive = segment.marker in _PROGRESSIVE
        if segment.marker == SCAN:
            all_at_once = not progressive and file.read(min(1, segment.length)) == bytes((components,))
            if all_at_once and not scans:
                return False
            scans += 1
        if scans > most:
            return True
    return False
