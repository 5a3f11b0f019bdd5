"""RW2: laid out as TIFF, with a whole JPEG preview in which all metadata stands.

One surprising decision: the preview's Exif block goes before the file's own directories, which lack several
settings. Source: no published specification; the layout as ExifTool's documentation of RW2 files gives it.
"""

from dataclasses import replace
from io import BytesIO
from typing import BinaryIO

from logbook.intake.exif.jpeg import read_jpeg
from logbook.intake.exif.packets import DamagedError, Packets
from logbook.intake.exif.tiff import read_tiff

RW2_SIGNATURE = b"IIU\0"
_PREVIEW = (0x002E).to_bytes(2, "little") + b"\7\0"  # tag and type of the preview's entry
_MOST_BYTES = 1_000_000  # of the preview that are read; its headers have at most some 100 kB


def read_rw2(stream: BinaryIO, raw_format: str) -> Packets:
    """Packets of an RW2 stream; raises DamagedError when its first directory cannot be read."""
    packets = read_tiff(stream, raw_format)
    stream.seek(4)
    stream.seek(int.from_bytes(stream.read(4), "little"))
    table = stream.read(12 * int.from_bytes(stream.read(2), "little"))
    for at in range(0, len(table), 12):
        if table[at : at + 4] == _PREVIEW:
            stream.seek(int.from_bytes(table[at + 8 : at + 12], "little"))
            preview = stream.read(min(int.from_bytes(table[at + 4 : at + 8], "little"), _MOST_BYTES))
            try:
                inner = read_jpeg(BytesIO(preview))
            except DamagedError:
                break
            if inner.exif is not None:
                return replace(packets, exif=inner.exif, xmp=packets.xmp or inner.xmp, is_tiff=False)
    return packets
