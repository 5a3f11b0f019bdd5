"""WebP: a RIFF file; metadata chunks stand behind the picture.

One surprising decision: the size comes from whichever of the three picture chunks is met first. Source: RFC
9649; RFC 6386 section 9.1 for the lossy frame header.
"""

from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets, tiff_block

_MAX_CHUNKS = 20_000  # animations have one per frame
_MAX_METADATA_BYTES = 4_000_000


def read_webp(stream: BinaryIO) -> Packets:
    """Packets of a WebP stream; raises DamagedError when it holds no picture chunk."""
    stream.seek(12)
    exif: bytes | None = None
    xmp: bytes | None = None
    size: tuple[int, int] | None = None
    for _ in range(_MAX_CHUNKS):
        head = stream.read(8)
        if len(head) < 8:
            break
        kind, length = head[:4], int.from_bytes(head[4:], "little")
        padded = length + length % 2
        if kind in (b"EXIF", b"XMP ") and length <= _MAX_METADATA_BYTES:
            payload = stream.read(length)
            stream.seek(padded - length, 1)
            if kind == b"EXIF" and exif is None:
                exif = tiff_block(payload)
            elif kind == b"XMP " and xmp is None:
                xmp = payload
        elif size is None and kind in (b"VP8X", b"VP8 ", b"VP8L"):
            start = stream.read(min(10, length))
            size = _size(kind, start)
            stream.seek(padded - len(start), 1)
        else:
            stream.seek(padded, 1)
    if size is None and exif is None and xmp is None:
        raise DamagedError("the WebP file is cut off or damaged before its picture begins")
    width, height = size or (None, None)
    return Packets("WebP", width, height, exif, xmp)


def _size(kind: bytes, start: bytes) -> tuple[int, int] | None:
    """Width and height in pixels from the first ten bytes of a picture chunk."""
    if kind == b"VP8X" and len(start) == 10:
        return int.from_bytes(start[4:7], "little") + 1, int.from_bytes(start[7:10], "little") + 1
    if kind == b"VP8L" and len(start) >= 5 and start[0] == 0x2F:
        bits = int.from_bytes(start[1:5], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if kind == b"VP8 " and len(start) == 10 and start[3:6] == b"\x9d\x01\x2a":
        return int.from_bytes(start[6:8], "little") & 0x3FFF, int.from_bytes(start[8:10], "little") & 0x3FFF
    return None
