"""RAF: a raw file that begins with a whole JPEG preview, in which all metadata stands.

One surprising decision: the preview's size is not taken, because it is not that of the picture. Source: no
published specification; the layout as ExifTool's documentation of RAF files gives it.
"""

from dataclasses import replace
from io import BytesIO
from typing import BinaryIO

from logbook.intake.exif.jpeg import read_jpeg
from logbook.intake.exif.packets import DamagedError, Packets
from logbook.intake.jpeg_segments import SIGNATURE

RAF_SIGNATURE = b"FUJIFILMCCD-RAW"
_PREVIEW_AT = 84  # offset and length of the preview, big-endian
_MOST_BYTES = 1_000_000  # of the preview that are read; its headers have at most some 100 kB


def read_raf(stream: BinaryIO) -> Packets:
    """Packets of a RAF stream; raises DamagedError when its preview is missing."""
    stream.seek(_PREVIEW_AT)
    place = stream.read(8)
    stream.seek(int.from_bytes(place[:4], "big"))
    preview = stream.read(min(int.from_bytes(place[4:], "big"), _MOST_BYTES))
    if not preview.startswith(SIGNATURE):
        raise DamagedError("the RAF file's preview, which holds its settings, is missing")
    return replace(read_jpeg(BytesIO(preview)), format="RAF", width_px=None, height_px=None, notes=())
