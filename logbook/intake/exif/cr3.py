"""CR3: boxes in boxes, in which each metadata directory has a TIFF structure of its own.

One surprising decision: the main, Exif, maker's and satellite directories come as four blocks, because
nothing points from one to the other. Source: ISO/IEC 14496-12 for the boxes; no published specification of
what is in them, the layout as ExifTool's documentation of CR3 files gives it.
"""

from typing import BinaryIO

from logbook.intake.exif.boxes import boxes, file_boxes
from logbook.intake.exif.packets import DamagedError, Packets

_CAMERA = bytes.fromhex("85c0b687820f11e08111f4ce462b6a48")  # the uuid box with the directories
_XMP = bytes.fromhex("be7acfcb97a942e89c71999491e3afac")  # the uuid box with the XMP packet
_MOST_BOXES = 50
_MOST_BYTES = 8_000_000


def read_cr3(stream: BinaryIO) -> Packets:
    """Packets of a CR3 stream; raises DamagedError when its directories are missing."""
    blocks: dict[bytes, bytes] = {}
    xmp: bytes | None = None
    for kind, length, size in file_boxes(stream, _MOST_BOXES):
        if kind in (b"moov", b"uuid") and length <= _MOST_BYTES:
            content = stream.read(size)
            if kind == b"uuid" and content.startswith(_XMP):
                xmp = content[16:] or None
            elif kind == b"moov":
                for inner, part in boxes(content):
                    if inner == b"uuid" and part.startswith(_CAMERA):
                        blocks.update(boxes(part[16:]))
    if b"CMT1" not in blocks:
        raise DamagedError("the CR3 file's directory of settings is missing")
    return Packets(
        "CR3",
        exif=blocks[b"CMT1"],
        xmp=xmp,
        camera=blocks.get(b"CMT2"),
        maker=blocks.get(b"CMT3"),
        satellites=blocks.get(b"CMT4"),
    )
