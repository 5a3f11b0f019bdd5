"""Boxes, of which HEIF and CR3 files are made (ISO/IEC 14496-12, section 4.2).

One surprising decision: only the boxes of the file itself are walked by seeking; what lies within one is
small enough to be read whole.
"""

from collections.abc import Iterator
from typing import BinaryIO


def file_boxes(stream: BinaryIO, most: int) -> Iterator[tuple[bytes, int, int]]:
    """Yield kind, length and length of the content of a file's first `most` boxes, in bytes.

    The stream stands at the content meanwhile.
    """
    stream.seek(0)
    for _ in range(most):
        at = stream.tell()
        head = stream.read(8)
        length, kind, header = int.from_bytes(head[:4], "big"), head[4:], 8
        if length == 1:
            length, header = int.from_bytes(stream.read(8), "big"), 16
        if len(head) < 8 or length < header or length >= 1 << 62:
            return
        yield kind, length, length - header
        stream.seek(at + length)


def boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Kind and content of the boxes that follow each other in `data`."""
    at = 0
    while at + 8 <= len(data):
        length, kind, header = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8], 8
        if length == 1:
            length, header = int.from_bytes(data[at + 8 : at + 16], "big"), 16
        elif length == 0:
            length = len(data) - at
        if length < header:
            return
        yield kind, data[at + header : at + length]
        at += length
