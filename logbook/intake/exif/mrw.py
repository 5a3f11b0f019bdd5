"""MRW: a raw file whose first part is a row of named blocks, one of which is a TIFF structure.

One surprising decision: only that block is looked at. Source: no published specification; the layout as
ExifTool's documentation of MRW files gives it.
"""

from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets

MRW_SIGNATURE = b"\0MRM"
_TIFF = b"\0TTW"
_MOST_BLOCKS = 100
_MOST_BYTES = 4_000_000


def read_mrw(stream: BinaryIO) -> Packets:
    """Packets of an MRW stream; raises DamagedError when the block with its settings is missing."""
    stream.seek(8)
    for _ in range(_MOST_BLOCKS):
        head = stream.read(8)
        length = int.from_bytes(head[4:], "big")
        if len(head) < 8:
            break
        if head[:4] == _TIFF and length <= _MOST_BYTES:
            return Packets("MRW", exif=stream.read(length))
        stream.seek(length, 1)
    raise DamagedError("the settings block of the MRW file is missing")
