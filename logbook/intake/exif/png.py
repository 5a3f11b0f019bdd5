"""PNG: a chain of chunks; Exif in `eXIf` or, from older programs, as hexadecimal text.

One surprising decision: pixel chunks are stepped over, because some programs put metadata behind them.
Source: Portable Network Graphics, third edition, W3C 2023.
"""

import binascii
import zlib
from typing import BinaryIO

from logbook.intake.exif.packets import DamagedError, Packets, tiff_block

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_MAX_CHUNKS = 200_000  # a 1 GB file in 8 kB chunks has about 130 000
_MAX_METADATA_BYTES = 4_000_000  # also for what compressed text unpacks to
_MOST_TEXTS = 16  # of those with a keyword known here, so that unpacking ends
_TEXT_CHUNKS = (b"tEXt", b"zTXt", b"iTXt")
_EXIF_KEYWORDS = (b"Raw profile type exif", b"Raw profile type APP1")
_IPTC_KEYWORD = b"Raw profile type iptc"
_XMP_KEYWORD = b"XML:com.adobe.xmp"


def read_png(stream: BinaryIO) -> Packets:
    """Packets of a PNG stream; raises DamagedError when it does not begin with its header chunk."""
    stream.seek(len(PNG_SIGNATURE))
    start = stream.read(16)
    if len(start) < 16 or start[4:8] != b"IHDR":
        raise DamagedError("the PNG file has no header")
    width, height = int.from_bytes(start[8:12], "big"), int.from_bytes(start[12:16], "big")
    stream.seek(len(PNG_SIGNATURE) + 8 + int.from_bytes(start[:4], "big") + 4)
    exif: bytes | None = None
    xmp: bytes | None = None
    iptc: bytes | None = None
    texts = 0
    for _ in range(_MAX_CHUNKS):
        head = stream.read(8)
        length, kind = int.from_bytes(head[:4], "big"), head[4:]
        if len(head) < 8 or kind == b"IEND":
            break
        wanted = (kind == b"eXIf" or kind in _TEXT_CHUNKS) and length <= _MAX_METADATA_BYTES
        if not wanted:
            stream.seek(length + 4, 1)
            continue
        payload = stream.read(length)
        stream.seek(4, 1)  # checksum
        if kind == b"eXIf":
            exif = tiff_block(payload)
            continue
        if texts == _MOST_TEXTS:
            continue
        keyword, text = _text(kind, payload)
        texts += bool(keyword)
        if keyword in _EXIF_KEYWORDS and exif is None:
            profile = _raw_profile(text)
            exif = None if profile is None else tiff_block(profile)
        elif keyword == _IPTC_KEYWORD and iptc is None:
            iptc = _raw_profile(text)
        elif keyword == _XMP_KEYWORD and xmp is None:
            xmp = text
    return Packets("PNG", width or None, height or None, exif, xmp, iptc=iptc)


def _text(kind: bytes, payload: bytes) -> tuple[bytes, bytes]:
    """Keyword and unpacked text of a textual chunk; empty when it is damaged."""
    keyword, _, rest = payload.partition(b"\0")
    if keyword not in (*_EXIF_KEYWORDS, _XMP_KEYWORD, _IPTC_KEYWORD):
        return b"", b""
    if kind == b"tEXt":
        return keyword, rest
    if kind == b"zTXt":
        return keyword, _unpack(rest[1:])
    packed = rest[:1] == b"\1"
    text = rest[2:].split(b"\0", 2)[-1]  # past language tag and translated keyword
    return keyword, _unpack(text) if packed else text


def _unpack(packed: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(packed, _MAX_METADATA_BYTES)
    except zlib.error:
        return b""


def _raw_profile(text: bytes) -> bytes | None:
    """The bytes behind "\\nexif\\n    1234\\n<hexadecimal lines>"; None when damaged."""
    words = text.split()
    try:
        return binascii.unhexlify(b"".join(words[2:]))
    except ValueError:
        return None
