"""A JPEG file as the segments it is made of: one walk for whoever asks what it holds without decoding it.

One surprising decision: there are two ways to walk. Strictly, a marker must stand where the segment before it
ends; leniently, what stands between is passed over, as decoders do, so that nothing hides from a count of
what they would work through. Source: ITU-T T.81, annex B.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

SIGNATURE = b"\xff\xd8\xff"  # its own marker, and the begin of the first segment's
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # a frame's header, with height and width (B.1)
END, SCAN = 0xD9, 0xDA
_BARE = frozenset((0x01, *range(0xD0, 0xDA)))  # markers without a length
_MARKER = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")  # in coded data 0xFF is followed by 0 or a restart
_FIRST_BYTES, _MOST_BYTES = 2, 65_536  # that are searched for a marker at a time


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
        size = min(2 * size, _MOST_BYTES)


def _marker(stream: BinaryIO) -> int | None:
    """The second byte of the marker at this place, past fill bytes; None where no marker stands."""
    if stream.read(1) != b"\xff":
        return None
    code = stream.read(1)
    while code == b"\xff":
        code = stream.read(1)
    return code[0] if code and code != b"\0" else None
