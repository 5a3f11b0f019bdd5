"""Telling picture formats apart by their first bytes and fetching their packets; the short formats read here.

One surprising decision: the file's name is not asked, except to name a raw format, because most of them are
TIFF inside. Of a WebP the size comes from whichever of the three picture chunks is met first, of an MRW only
the settings' block is looked at, and a RAF's preview, which holds all its metadata, does not say the
picture's size. An RW2's preview goes before the file's own directories, which lack several settings. A CR3's
main, Exif, maker's and satellite directories come as four blocks, because nothing points from one to the
other. Sources: RFC 9649, and RFC 6386 section 9.1 for the lossy frame header; ISO/IEC 14496-12 for CR3's
boxes; no published specification of the raw formats, the layouts as ExifTool's documentation gives them.
"""

from dataclasses import replace
from io import BytesIO
from typing import BinaryIO

from logbook.intake.exif.heif import HEIF_BRANDS, boxes, file_boxes, read_heif
from logbook.intake.exif.jpeg import SIGNATURE, read_jpeg
from logbook.intake.exif.packets import DamagedError, Packets, tiff_block
from logbook.intake.exif.png import PNG_SIGNATURE, read_png
from logbook.intake.exif.tiff import RAW_FORMATS, read_tiff

_CAMERA = bytes.fromhex("85c0b687820f11e08111f4ce462b6a48")  # the uuid box with the directories
_XMP = bytes.fromhex("be7acfcb97a942e89c71999491e3afac")  # the uuid box with the XMP packet
_MOST_BOXES = 50
_MOST_CR3_BYTES = 8_000_000


def read_cr3(stream: BinaryIO) -> Packets:
    """Packets of a CR3 stream; raises DamagedError when its directories are missing."""
    blocks: dict[bytes, bytes] = {}
    xmp: bytes | None = None
    for kind, length, size in file_boxes(stream, _MOST_BOXES):
        if kind in (b"moov", b"uuid") and length <= _MOST_CR3_BYTES:
            content = stream.read(size)
            if kind == b"uuid" and content.startswith(_XMP):
                xmp = content[16:] or None
            elif kind == b"moov":
                for inner, part in boxes(content):
                    if inner == b"uuid" and part.startswith(_CAMERA):
                        blocks.update(boxes(part[16:]))
    if b"CMT1" not in blocks:
        raise DamagedError("the CR3 file's directory of settings is missing")
    return Packets(
        "CR3",
        exif=blocks[b"CMT1"],
        xmp=xmp,
        camera=blocks.get(b"CMT2"),
        maker=blocks.get(b"CMT3"),
        satellites=blocks.get(b"CMT4"),
    )


RW2_SIGNATURE = b"IIU\0"
_PREVIEW = (0x002E).to_bytes(2, "little") + b"\7\0"  # tag and type of the preview's entry


def read_rw2(stream: BinaryIO, raw_format: str) -> Packets:
    """Packets of an RW2 stream; raises DamagedError when its first directory cannot be read."""
    packets = read_tiff(stream, raw_format)
    stream.seek(4)
    stream.seek(int.from_bytes(stream.read(4), "little"))
    table = stream.read(12 * int.from_bytes(stream.read(2), "little"))
    for at in range(0, len(table), 12):
        if table[at : at + 4] == _PREVIEW:
            stream.seek(int.from_bytes(table[at + 8 : at + 12], "little"))
            preview = stream.read(min(int.from_bytes(table[at + 4 : at + 8], "little"), _MOST_PREVIEW_BYTES))
            try:
                inner = read_jpeg(BytesIO(preview))
            except DamagedError:
                break
            if inner.exif is not None:
                return replace(packets, exif=inner.exif, xmp=packets.xmp or inner.xmp, is_tiff=False)
    return packets


RAF_SIGNATURE = b"FUJIFILMCCD-RAW"
_PREVIEW_AT = 84  # offset and length of the preview, big-endian
_MOST_PREVIEW_BYTES = 1_000_000  # of the preview that are read; its headers have at most some 100 kB


def read_raf(stream: BinaryIO) -> Packets:
    """Packets of a RAF stream; raises DamagedError when its preview is missing."""
    stream.seek(_PREVIEW_AT)
    place = stream.read(8)
    stream.seek(int.from_bytes(place[:4], "big"))
    preview = stream.read(min(int.from_bytes(place[4:], "big"), _MOST_PREVIEW_BYTES))
    if not preview.startswith(SIGNATURE):
        raise DamagedError("the RAF file's preview, which holds its settings, is missing")
    return replace(read_jpeg(BytesIO(preview)), format="RAF", width_px=None, height_px=None, notes=())


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


MRW_SIGNATURE = b"\0MRM"
_TIFF = b"\0TTW"
_MOST_BLOCKS = 100
_MOST_MRW_BYTES = 4_000_000


def read_mrw(stream: BinaryIO) -> Packets:
    """Packets of an MRW stream; raises DamagedError when the block with its settings is missing."""
    stream.seek(8)
    for _ in range(_MOST_BLOCKS):
        head = stream.read(8)
        length = int.from_bytes(head[4:], "big")
        if len(head) < 8:
            break
        if head[:4] == _TIFF and length <= _MOST_MRW_BYTES:
            return Packets("MRW", exif=stream.read(length))
        stream.seek(length, 1)
    raise DamagedError("the settings block of the MRW file is missing")


_TIFF_STARTS = (
    b"II*\0",
    b"MM\0*",
    b"IIRO",
    b"IIRS",
    b"MMOR",
)  # TIFF, and raw formats laid out like it


def read_packets(stream: BinaryIO, suffix: str) -> Packets:
    """Packets of the picture in a seekable stream; `suffix` (".nef") only names raw formats.

    Raises DamagedError for an empty, unknown or damaged file.
    """
    head = stream.read(32)
    if not head:
        raise DamagedError("the file is empty")
    if head.startswith(SIGNATURE):
        return read_jpeg(stream)
    if head.startswith(PNG_SIGNATURE):
        return read_png(stream)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return read_webp(stream)
    if head.startswith(RAF_SIGNATURE):
        return read_raf(stream)
    if head.startswith(MRW_SIGNATURE):
        return read_mrw(stream)
    if head[4:12] == b"ftypcrx ":
        return read_cr3(stream)
    if head[4:8] == b"ftyp" and any(brand in head[8:] for brand in HEIF_BRANDS):
        return read_heif(stream)
    if head.startswith(RW2_SIGNATURE):
        return read_rw2(stream, RAW_FORMATS.get(suffix.lower(), "RW2"))
    if head[:4] in _TIFF_STARTS:
        return read_tiff(stream, RAW_FORMATS.get(suffix.lower()))
    raise DamagedError("it is not a picture in a format this program reads")
