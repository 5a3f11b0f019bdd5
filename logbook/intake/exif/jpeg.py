"""JPEG: the segments it is made of, walked without decoding it, and the packets in them up to the first scan.

One surprising decision: only headers are read, so a picture cut off in its pixels is not noticed here; and
there are two ways to walk. Strictly, a marker must stand where the segment before it ends; leniently, what
stands between is passed over, as decoders do, so that nothing hides from a count of what they would work
through. Source: ITU-T T.81, annex B; CIPA DC-008 for Exif in APP1, XMP specification part 3 for XMP and
what does not fit into one segment, Photoshop file format for APP13.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets, tiff_block

SIGNATURE = b"\xff\xd8\xff"  # its own marker, and the begin of the first segment's
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # a frame's header, with height and width (B.1)
END, SCAN = 0xD9, 0xDA
_BARE = frozenset((0x01, *range(0xD0, 0xDA)))  # markers without a length
_MARKER = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")  # in coded data 0xFF is followed by 0 or a restart
_FIRST_BYTES, _MOST_SEARCHED_BYTES = 2, 65_536  # that are searched for a marker at a time


@dataclass(frozen=True, slots=True)
class Segment:
    """One segment: its marker's second byte, and how many bytes it says that it holds."""

    marker: int
    length: int


def segments(stream: BinaryIO, *, lenient: bool = False) -> Iterator[Segment]:
    """Yield the segments of a JPEG from behind its first marker, the end's own among them if it comes.

    At each the stream stands where its content begins, of which as much may be read as is wanted. The walk
    stops where no marker stands, and strictly also where a length cannot be.
    """
    stream.seek(2)
    is_coded = False
    while True:
        if is_coded or lenient:
            _go_to_marker(stream)
        marker = _marker(stream)
        if marker is None:
            return
        length = 0 if marker in _BARE else int.from_bytes(stream.read(2)) - 2
        if length < 0 and not lenient:
            return
        begin, length = stream.tell(), max(0, length)
        yield Segment(marker, length)
        if marker == END:
            return
        stream.seek(begin + length)
        is_coded = marker == SCAN


def _go_to_marker(stream: BinaryIO) -> None:
    """Go to the next marker, or to the end of the file; what is read grows with how far it lies."""
    size = _FIRST_BYTES
    while part := stream.read(size):
        if found := _MARKER.search(part):
            stream.seek(found.start() - len(part), 1)
            return
        if part.endswith(b"\xff") and len(part) > 1:  # perhaps the first half of one
            stream.seek(-1, 1)
        size = min(2 * size, _MOST_SEARCHED_BYTES)


def _marker(stream: BinaryIO) -> int | None:
    """The second byte of the marker at this place, past fill bytes; None where no marker stands."""
    if stream.read(1) != b"\xff":
        return None
    code = stream.read(1)
    while code == b"\xff":
        code = stream.read(1)
    return code[0] if code and code != b"\0" else None


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
