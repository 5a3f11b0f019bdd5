"""Pictures that unfold: small files that ask for much time or memory, each made here."""

import struct
import zlib
from io import BytesIO

from PIL import Image, ImageCms

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"


def png_chunk(kind: bytes, data: bytes) -> bytes:
    """One chunk with its checksum."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def flat_png(width: int, height: int, depth: int = 8, colour: int = 2, beside: bytes = b"") -> bytes:
    """A whole picture of zeros: `depth` bits each, `colour` in PNG's numbers (0 grey, 2 RGB, 3 palette)."""
    bits = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}[colour] * depth
    row = bytes(1 + (width * bits + 7) // 8)
    packer = zlib.compressobj(9)
    many = row * max(1, 2**20 // len(row))
    packed, rows = b"", height
    while rows > 0:
        some = many[: len(row) * rows]
        packed += packer.compress(some)
        rows -= len(some) // len(row)
    packed += packer.flush()
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    palette = png_chunk(b"PLTE", bytes(6)) + png_chunk(b"tRNS", b"\x80") if colour == 3 else b""
    return (
        PNG_SIGNATURE
        + png_chunk(b"IHDR", head)
        + palette
        + beside
        + png_chunk(b"IDAT", packed)
        + png_chunk(b"IEND", b"")
    )


def many_scans(size: tuple[int, int], scans: int, kind: str = "progressive", hidden: bytes = b"") -> bytes:
    """A JPEG whose last scan comes again and again; `hidden` stands between scans."""
    plain = BytesIO()
    Image.new("L", size, 128).save(plain, "JPEG", progressive=kind == "progressive")
    content = plain.getvalue()
    at = content.rindex(b"\xff\xda")
    scan = content[at:-2]
    return content[:at] + hidden + scan * scans + b"\xff\xd9"


def one_component_at_a_time(size: tuple[int, int], scans: int) -> bytes:
    """A baseline JPEG of two components that come in scans of their own, the second again and again."""
    plain = BytesIO()
    Image.new("L", size, 128).save(plain, "JPEG")
    content = plain.getvalue()
    frame, at = content.index(b"\xff\xc0"), content.rindex(b"\xff\xda")
    scan = bytearray(content[at:-2])
    other = bytearray(scan)
    other[5] = 2  # the component that a scan of one names
    head = content[frame : frame + 2 + 11]
    two = b"\xff\xc0" + (14).to_bytes(2) + head[4:9] + b"\x02" + b"\1\x11\0" + b"\2\x11\0"
    return content[:frame] + two + content[frame + 13 : at] + bytes(scan) + bytes(other) * scans + b"\xff\xd9"


def overlapping_tags(entries: int, kind: str) -> bytes:
    """A directory each of whose entries takes the whole of it as its value: as TIFF, or in a JPEG's Exif."""
    size = 8 + 2 + 12 * entries + 4
    table = b"".join(struct.pack("<HHLL", 300 + n, 7, size, 0) for n in range(entries))
    tiff = b"II*\0\x08\0\0\0" + struct.pack("<H", entries) + table + bytes(4)
    if kind == "TIFF":
        return tiff
    plain = BytesIO()
    Image.new("RGB", (64, 48)).save(plain, "JPEG")
    body = b"Exif\0\0" + tiff
    return b"\xff\xd8\xff\xe1" + struct.pack(">H", len(body) + 2) + body + plain.getvalue()[2:]


def empty_tiff(width: int, height: int) -> bytes:
    """A TIFF that says it is so large, deflated in one strip of which nothing is there."""
    entries = (
        (256, width),
        (257, height),
        (258, 8),
        (259, 8),
        (262, 2),
        (273, 8),
        (277, 3),
        (278, height),
        (279, 0),
    )
    table = b"".join(struct.pack("<HHLL", tag, 4, 1, value) for tag, value in entries)
    return b"II*\0\x08\0\0\0" + struct.pack("<H", len(entries)) + table + bytes(4)


def flat(kind: str, size: tuple[int, int]) -> bytes:
    """A picture of one colour in a format that Pillow writes."""
    out = BytesIO()
    Image.new("RGB", size, (90, 120, 150)).save(out, kind)
    return out.getvalue()


def profile_of(size_bytes: int) -> bytes:
    """An ICC profile that says it is so large."""
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return struct.pack(">I", size_bytes) + plain[4:]
