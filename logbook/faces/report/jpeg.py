"""What a JPEG file is made of: its segments, by which its size is known and metadata is found.

One surprising decision: read here in a few lines and not by a picture library, because a rebuilt report looks
at every published picture and should not decode one of them. Source: ISO/IEC 10918-1, annex B.
"""

import re
from dataclasses import dataclass

SOI, EOI, SOS, COM = 0xD8, 0xD9, 0xDA, 0xFE
SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # SOFn: a frame header, with height and width
TABLES = frozenset({0xC4, 0xCC, 0xDB, 0xDD})  # DHT, DAC, DQT, DRI
JFIF = b"JFIF\x00"  # in APP0: density and no more; a thumbnail in it would make it longer
JFIF_BYTES = 14
_NEXT = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]", re.DOTALL)  # after a scan: a marker that is no restart


class NotJpegError(ValueError):
    """The bytes are not those of a whole JPEG file."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One segment: its marker's second byte and its content."""

    marker: int
    content: bytes


@dataclass(frozen=True, slots=True)
class Jpeg:
    """A whole file: its segments in order, its size, and how many bytes follow its end."""

    segments: tuple[Segment, ...]
    width_px: int
    height_px: int
    bytes_after: int


def read_jpeg(data: bytes) -> Jpeg:
    """Return what a JPEG file is made of; raises NotJpegError for anything cut short or not a JPEG."""
    if data[:2] != bytes((0xFF, SOI)):
        raise NotJpegError("no JPEG")
    segments: list[Segment] = []
    size = (0, 0)
    at = 2
    while True:
        if data[at : at + 1] != b"\xff" or at + 2 > len(data):
            raise NotJpegError("cut short")
        marker = data[at + 1]
        if marker == 0xFF:  # a fill byte
            at += 1
            continue
        if marker == EOI:
            break
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        content = data[at + 4 : at + 2 + length]
        if length < 2 or len(content) != length - 2:
            raise NotJpegError("cut short")
        segments.append(Segment(marker, content))
        if marker in SIZES:
            size = (int.from_bytes(content[3:5], "big"), int.from_bytes(content[1:3], "big"))
        at += 2 + length
        if marker == SOS:
            found = _NEXT.search(data, at)
            if not found:
                raise NotJpegError("cut short")
            at = found.start()
    return Jpeg(tuple(segments), *size, len(data) - at - 2)


def carried(picture: Jpeg) -> tuple[str, ...]:
    """Return what a picture carries beside its pixels, in words; nothing for one of ours."""
    found = [
        _KINDS.get(one.marker, f"an APP{one.marker - 0xE0} segment")
        for one in picture.segments
        if one.marker not in SIZES | TABLES | {SOS}
        and not (one.marker == 0xE0 and one.content.startswith(JFIF) and len(one.content) == JFIF_BYTES)
    ]
    if picture.bytes_after:
        found.append("bytes after its end")
    return tuple(dict.fromkeys(found))


_KINDS = {
    COM: "a comment",
    0xE0: "a thumbnail",
    0xE1: "Exif or XMP metadata",
    0xE2: "a colour profile",
    0xED: "IPTC metadata",
}
