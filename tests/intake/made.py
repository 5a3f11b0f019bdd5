"""Whole picture files, made small, in every format that Pillow writes or that is easily put together."""

import struct
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import piexif
from piexif import GPSIFD, ExifIFD, ImageIFD
from PIL import Image

HEIC = Path(__file__).parent / "files" / "made.heic"
SIZE = (48, 32)
XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    b'<rdf:Description xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="4"/></rdf:RDF></x:xmpmeta>'
)
EXIF: bytes = piexif.dump(
    {
        "0th": {
            ImageIFD.Make: b"Example Corporation",
            ImageIFD.Model: b"Example Quill",
            ImageIFD.Orientation: 6,
        },
        "Exif": {
            ExifIFD.DateTimeOriginal: b"2031:10:14 17:42:05",
            ExifIFD.SubSecTimeOriginal: b"25",
            ExifIFD.OffsetTimeOriginal: b"+02:00",
            ExifIFD.ExposureTime: (10, 80),
            ExifIFD.FNumber: (110, 10),
            ExifIFD.ISOSpeedRatings: 100,
            ExifIFD.ExposureBiasValue: (-1, 3),
            ExifIFD.FocalLength: (35, 1),
            ExifIFD.FocalLengthIn35mmFilm: 52,
            ExifIFD.ExposureProgram: 3,
            ExifIFD.ExposureMode: 2,
            ExifIFD.MeteringMode: 5,
            ExifIFD.Flash: 0x10,
            ExifIFD.LensModel: b"Example Reed",
        },
        "GPS": {
            GPSIFD.GPSLatitudeRef: b"S",
            GPSIFD.GPSLatitude: ((33, 1), (30, 1), (0, 1)),
            GPSIFD.GPSLongitudeRef: b"W",
            GPSIFD.GPSLongitude: ((70, 1), (15, 1), (0, 1)),
            GPSIFD.GPSAltitudeRef: 0,
            GPSIFD.GPSAltitude: (2310, 1),
            GPSIFD.GPSImgDirectionRef: b"T",
            GPSIFD.GPSImgDirection: (265, 1),
            GPSIFD.GPSDateStamp: b"2031:10:14",
            GPSIFD.GPSTimeStamp: ((15, 1), (42, 1), (5, 1)),
        },
    }
)


def picture(kind: str, **options: object) -> bytes:
    """A plain picture in Pillow's format `kind`."""
    out = BytesIO()
    Image.new("RGB", SIZE, (90, 120, 150)).save(out, kind, **options)
    return out.getvalue()


def jpeg() -> bytes:
    segment = b"http://ns.adobe.com/xap/1.0/\0" + XMP
    whole = picture("JPEG", exif=EXIF)
    return whole[:2] + b"\xff\xe1" + struct.pack(">H", len(segment) + 2) + segment + whole[2:]


def tiff() -> bytes:
    """A TIFF file without pixels: an Exif block with an XMP tag and a size, as piexif lays it out."""
    loaded = piexif.load(EXIF)
    loaded["0th"] |= {
        ImageIFD.ImageWidth: SIZE[0],
        ImageIFD.ImageLength: SIZE[1],
        ImageIFD.XMLPacket: XMP,
    }
    block: bytes = piexif.dump(loaded)
    return block[6:]


def chunk(kind: bytes, payload: bytes) -> bytes:
    return struct.pack(">I", len(payload)) + kind + payload + struct.pack(">I", zlib.crc32(kind + payload))


def png_with(*chunks: bytes, at_end: bool = False) -> bytes:
    plain = picture("PNG")
    at = plain.index(b"IEND") - 4 if at_end else 33
    return plain[:at] + b"".join(chunks) + plain[at:]


XMP_CHUNK = chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + XMP)
RAW_PROFILE = b"\nexif\n%8d\n" % len(EXIF) + EXIF.hex().encode() + b"\n"


def segment(marker: int, content: bytes) -> bytes:
    return b"\xff" + bytes((marker,)) + struct.pack(">H", len(content) + 2) + content


FILES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "a.jpg": ("JPEG", jpeg),
    "a.tif": ("TIFF", tiff),
    "chunk.png": ("PNG", lambda: png_with(chunk(b"eXIf", EXIF[6:]), XMP_CHUNK)),
    "chunk-at-end.png": ("PNG", lambda: png_with(chunk(b"eXIf", EXIF[6:]), XMP_CHUNK, at_end=True)),
    "text.png": (
        "PNG",
        lambda: png_with(chunk(b"tEXt", b"Raw profile type exif\0" + RAW_PROFILE), XMP_CHUNK),
    ),
    "packed.png": (
        "PNG",
        lambda: png_with(
            chunk(b"zTXt", b"Raw profile type APP1\0\0" + zlib.compress(RAW_PROFILE)), XMP_CHUNK
        ),
    ),
    "lossy.webp": ("WebP", lambda: picture("WEBP", exif=EXIF, xmp=XMP)),
    "lossless.webp": ("WebP", lambda: picture("WEBP", exif=EXIF[6:], xmp=XMP, lossless=True)),
}
