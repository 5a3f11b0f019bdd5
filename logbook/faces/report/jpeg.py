"""What a published JPEG file carries: its segments, by which its size is known and metadata is found.

One surprising decision: read by its segments and not by a picture library, because a rebuilt report looks at
every published picture and should not decode one of them.
"""

from dataclasses import dataclass
from io import BytesIO

from logbook.intake.exif.jpeg import END, FRAMES, SCAN, SIGNATURE, segments

TABLES = frozenset({0xC4, 0xCC, 0xDB, 0xDD})  # DHT, DAC, DQT, DRI
JFIF = b"JFIF\x00"  # in APP0: density and no more; a thumbnail in it would make it longer
JFIF_BYTES = 14
_COMMENT, _APP0 = 0xFE, 0xE0


class NotJpegError(ValueError):
    """The bytes are not those of a whole JPEG file."""


@dataclass(frozen=True, slots=True)
class Jpeg:
    """A whole file: the markers and contents of its segments in order, its size, and what follows its end."""

    contents: tuple[tuple[int, bytes], ...]
    width_px: int
    height_px: int
    bytes_after: int


def read_jpeg(data: bytes) -> Jpeg:
    """Return what a JPEG file is made of; raises NotJpegError for anything cut short or not a JPEG."""
    if not data.startswith(SIGNATURE):
        raise NotJpegError("no JPEG")
    stream = BytesIO(data)
    contents: list[tuple[int, bytes]] = []
    size = (0, 0)
    for segment in segments(stream):
        if segment.marker == END:
            return Jpeg(tuple(contents), *size, len(data) - stream.tell())
        content = stream.read(segment.length)
        if len(content) != segment.length:
            break
        contents.append((segment.marker, content))
        if segment.marker in FRAMES:
            size = (int.from_bytes(content[3:5], "big"), int.from_bytes(content[1:3], "big"))
    raise NotJpegError("cut short")


def carried(picture: Jpeg) -> tuple[str, ...]:
    """Return what a picture carries beside its pixels, in words; nothing for one of ours."""
    found = [
        _KINDS.get(marker, f"an APP{marker - _APP0} segment")
        for marker, content in picture.contents
        if marker not in FRAMES | TABLES | {SCAN}
        and not (marker == _APP0 and content.startswith(JFIF) and len(content) == JFIF_BYTES)
    ]
    if picture.bytes_after:
        found.append("bytes after its end")
    return tuple(dict.fromkeys(found))


_KINDS = {
    _COMMENT: "a comment",
    _APP0: "a thumbnail",
    0xE1: "Exif or XMP metadata",
    0xE2: "a colour profile",
    0xED: "IPTC metadata",
}
