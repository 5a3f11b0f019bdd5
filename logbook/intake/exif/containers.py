"""Telling picture formats apart by their first bytes and fetching their packets.

One surprising decision: the file's name is not asked, except to name a raw format, because most of them are
TIFF inside.
"""

from typing import BinaryIO

from logbook.intake.exif.cr3 import read_cr3
from logbook.intake.exif.heif import HEIF_BRANDS, read_heif
from logbook.intake.exif.jpeg import read_jpeg
from logbook.intake.exif.mrw import MRW_SIGNATURE, read_mrw
from logbook.intake.exif.packets import DamagedError, Packets
from logbook.intake.exif.png import PNG_SIGNATURE, read_png
from logbook.intake.exif.raf import RAF_SIGNATURE, read_raf
from logbook.intake.exif.rw2 import RW2_SIGNATURE, read_rw2
from logbook.intake.exif.tiff import RAW_FORMATS, read_tiff
from logbook.intake.exif.webp import read_webp
from logbook.intake.jpeg_segments import SIGNATURE

_TIFF_STARTS = (
    b"II*\0",
    b"MM\0*",
    b"IIRO",
    b"IIRS",
    b"MMOR",
)  # TIFF, and raw formats laid out like it


def read_packets(stream: BinaryIO, suffix: str) -> Packets:
    """Packets of the picture in a seekable stream; `suffix` (".nef") only names raw formats.

    Raises DamagedError for an empty, unknown or damaged file.
    """
    head = stream.read(32)
    if not head:
        raise DamagedError("the file is empty")
    if head.startswith(SIGNATURE):
        return read_jpeg(stream)
    if head.startswith(PNG_SIGNATURE):
        return read_png(stream)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return read_webp(stream)
    if head.startswith(RAF_SIGNATURE):
        return read_raf(stream)
    if head.startswith(MRW_SIGNATURE):
        return read_mrw(stream)
    if head[4:12] == b"ftypcrx ":
        return read_cr3(stream)
    if head[4:8] == b"ftyp" and any(brand in head[8:] for brand in HEIF_BRANDS):
        return read_heif(stream)
    if head.startswith(RW2_SIGNATURE):
        return read_rw2(stream, RAW_FORMATS.get(suffix.lower(), "RW2"))
    if head[:4] in _TIFF_STARTS:
        return read_tiff(stream, RAW_FORMATS.get(suffix.lower()))
    raise DamagedError("it is not a picture in a format this program reads")
