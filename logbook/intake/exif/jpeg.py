"""JPEG: its marker segments, read up to the first scan.

One surprising decision: only headers are read, so a picture cut off in its pixels is not noticed here.
Source: CIPA DC-008 for Exif in APP1, XMP specification part 3 for XMP and
what does not fit into one segment, Photoshop file format for APP13.
"""

from itertools import islice
from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets, tiff_block
from logbook.intake.jpeg_segments import FRAMES, SCAN, segments

XMP_HEADER = b"http://ns.adobe.com/xap/1.0/\0"
_EXTENSION = b"http://ns.adobe.com/xmp/extension/\0"  # then 32 letters of a digest, total length, offset
_RESOURCES = b"Photoshop 3.0\0"
_APP1, _APP13 = 0xE1, 0xED
_MAX_SEGMENTS = 4000  # far more than any camera writes; bounds the time a crafted file can take
_MOST_BYTES = 4_000_000  # of what is spread over several segments


def read_jpeg(stream: BinaryIO) -> Packets:
    """Packets of a JPEG stream; raises DamagedError when it holds neither a picture nor metadata."""
    exif: bytes | None = None
    xmp: bytes | None = None
    pieces: dict[bytes, dict[int, bytes]] = {}  # of extended XMP, by digest and offset
    resources: list[bytes] = []
    width = height = spread = 0
    for segment in islice(segments(stream), _MAX_SEGMENTS):
        if segment.marker == SCAN:
            break
        length = segment.length
        if segment.marker == _APP1:
            payload = stream.read(length)
            if exif is None and payload.startswith(b"Exif\0"):
                exif = tiff_block(payload)
            elif xmp is None and payload.startswith(XMP_HEADER):
                xmp = payload[len(XMP_HEADER) :]
            elif payload.startswith(_EXTENSION) and (spread := spread + length) <= _MOST_BYTES:
                head, text = payload[len(_EXTENSION) :][:40], payload[len(_EXTENSION) + 40 :]
                pieces.setdefault(head[:32], {})[int.from_bytes(head[36:40], "big")] = text
        elif segment.marker == _APP13:
            payload = stream.read(length)
            if payload.startswith(_RESOURCES) and (spread := spread + length) <= _MOST_BYTES:
                resources.append(payload[len(_RESOURCES) :])
        elif segment.marker in FRAMES and length >= 5:
            frame = stream.read(5)
            height, width = int.from_bytes(frame[1:3], "big"), int.from_bytes(frame[3:5], "big")
    if not width and exif is None and xmp is None:
        raise DamagedError("the JPEG file is cut off or damaged before its picture begins")
    notes = () if width else ("size unknown: the file is cut off or damaged before its picture begins",)
    return Packets(
        "JPEG",
        width or None,
        height or None,
        exif,
        xmp,
        extended_xmp=_extended(xmp or b"", pieces),
        iptc=_whole(resources),
        notes=notes,
    )


def _extended(xmp: bytes, pieces: dict[bytes, dict[int, bytes]]) -> bytes | None:
    """The extended packet that the main one names by its digest."""
    for digest, parts in pieces.items():
        if digest in xmp:
            return _whole([part for _, part in sorted(parts.items())])
    return None


def _whole(parts: list[bytes]) -> bytes | None:
    return b"".join(parts) or None
