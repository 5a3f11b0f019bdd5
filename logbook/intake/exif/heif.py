"""HEIF (HEIC, AVIF): boxes in boxes, as in CR3; a directory says where the Exif and XMP items lie.

One surprising decision: the directory is read here, because the tag reader knows only three of the brands,
not XMP, and not the size; only the Exif block itself goes to it. Only the boxes of the file itself are walked
by seeking; what lies within one is small enough to be read whole. Source: ISO/IEC 14496-12 (section 4.2,
boxes meta, pitm, iinf, iloc, iprp); ISO/IEC 23008-12 (ispe, Exif items).
"""

from collections.abc import Iterator
from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets, tiff_block


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


HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")
_MAX_DIRECTORY_BYTES = 8_000_000
_MAX_METADATA_BYTES = 4_000_000
_MAX_TOP_BOXES = 200


class _Fields:
    """Big-endian numbers taken one after another; running past the end is damage."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.at = 0

    def take(self, length: int) -> bytes:
        piece = self.data[self.at : self.at + length]
        if len(piece) < length:
            raise DamagedError("the HEIF file's directory is cut off")
        self.at += length
        return piece

    def number(self, length: int) -> int:
        return int.from_bytes(self.take(length), "big")


def read_heif(stream: BinaryIO) -> Packets:
    """Packets of a HEIF stream; raises DamagedError when its directory is missing or broken."""
    brands = b""
    meta: bytes | None = None
    for kind, length, size in file_boxes(stream, _MAX_TOP_BOXES):
        if kind == b"ftyp":
            brands = stream.read(min(size, 4096))
        elif kind == b"meta" and length <= _MAX_DIRECTORY_BYTES:
            meta = stream.read(size)
            break
    if meta is None:
        raise DamagedError("the HEIF file has no directory")
    parts = dict(boxes(meta[4:]))
    places = _places(parts.get(b"iloc", b""))
    idat = parts.get(b"idat", b"")
    exif: bytes | None = None
    xmp: bytes | None = None
    for number, kind in _items(parts.get(b"iinf", b"")):
        if kind == b"Exif" and exif is None:
            block = _fetch(stream, idat, places.get(number))
            exif = tiff_block(block[4 + int.from_bytes(block[:4], "big") :]) if len(block) > 8 else None
        elif kind == b"application/rdf+xml" and xmp is None:
            xmp = _fetch(stream, idat, places.get(number)) or None
    width, height = _size(parts.get(b"iprp", b""), int.from_bytes(parts.get(b"pitm", b"")[4:], "big"))
    return Packets("AVIF" if brands[:4] in (b"avif", b"avis") else "HEIC", width, height, exif, xmp)


def _items(iinf: bytes) -> Iterator[tuple[int, bytes]]:
    """Number and type of every item; a mime item gives its content type instead."""
    for kind, entry in boxes(iinf[6 if iinf[:1] == b"\0" else 8 :]):
        if kind == b"infe" and entry[:1] in (b"\2", b"\3"):
            fields = _Fields(entry)
            width = 2 if fields.number(4) >> 24 == 2 else 4
            number = fields.number(width)
            fields.take(2)
            item_type = fields.take(4)
            strings = entry[fields.at :].split(b"\0")
            yield number, strings[1] if item_type == b"mime" and len(strings) > 1 else item_type


def _places(iloc: bytes) -> dict[int, tuple[int, list[tuple[int, int]]]]:
    """Where each item's bytes lie: construction method and (offset, length) pieces."""
    if not iloc:
        return {}
    fields = _Fields(iloc)
    version = fields.number(4) >> 24
    sizes = fields.number(2)
    offset_size, length_size, base_size = sizes >> 12, sizes >> 8 & 15, sizes >> 4 & 15
    index_size = sizes & 15 if version in (1, 2) else 0
    places = {}
    for _ in range(fields.number(4 if version == 2 else 2)):
        number = fields.number(4 if version == 2 else 2)
        method = fields.number(2) & 15 if version in (1, 2) else 0
        fields.take(2)
        base = fields.number(base_size)
        pieces = []
        for _ in range(fields.number(2)):
            fields.take(index_size)
            offset = base + fields.number(offset_size)
            pieces.append((offset, fields.number(length_size)))
        places[number] = (method, pieces)
    return places


def _fetch(stream: BinaryIO, idat: bytes, place: tuple[int, list[tuple[int, int]]] | None) -> bytes:
    """The bytes of one item; empty when it lies nowhere that can be read."""
    if place is None or sum(length for _, length in place[1]) > _MAX_METADATA_BYTES:
        return b""
    found = b""
    for offset, length in place[1]:
        if place[0] == 1:
            found += idat[offset : offset + length]
        elif place[0] == 0 and offset < 1 << 62:
            stream.seek(offset)
            found += stream.read(length)
    return found


def _size(iprp: bytes, primary: int) -> tuple[int | None, int | None]:
    """Width and height in pixels of the primary item, before rotation."""
    parts = dict(boxes(iprp))
    properties = list(boxes(parts.get(b"ipco", b"")))
    if b"ipma" not in parts:
        return None, None
    fields = _Fields(parts[b"ipma"])
    flags = fields.number(4)
    for _ in range(fields.number(4)):
        item = fields.number(4 if flags >> 24 else 2)
        for _ in range(fields.number(1)):
            index = fields.number(2) & 0x7FFF if flags & 1 else fields.number(1) & 0x7F
            if item == primary and 0 < index <= len(properties) and properties[index - 1][0] == b"ispe":
                content = _Fields(properties[index - 1][1])
                content.take(4)
                return content.number(4) or None, content.number(4) or None
    return None, None
