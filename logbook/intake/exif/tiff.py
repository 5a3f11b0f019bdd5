"""TIFF: the file is its own Exif block; here only the size and the packets are fetched.

One surprising decision: raw files give no size, because their first directory often describes a preview.
Source: TIFF revision 6.0, section 2; XMP specification part 3 for the packets' tags.
"""

from typing import BinaryIO, Literal

from logbook.intake.exif.packets import DamagedError, Packets

RAW_FORMATS = {
    ".3fr": "3FR",
    ".arw": "ARW",
    ".cr2": "CR2",
    ".cr3": "CR3",
    ".dng": "DNG",
    ".iiq": "IIQ",
    ".mrw": "MRW",
    ".nef": "NEF",
    ".nrw": "NRW",
    ".orf": "ORF",
    ".pef": "PEF",
    ".raf": "RAF",
    ".rw2": "RW2",
    ".rwl": "RWL",
    ".srw": "SRW",
}  # raw formats by suffix; all but CR3, RAF and MRW are laid out as TIFF
_WIDTH, _LENGTH, _XMP, _IPTC, _RESOURCES = 256, 257, 700, 33723, 34377  # tag numbers
_BYTES_EACH = {1: 1, 3: 2, 4: 4, 7: 1}  # of the types these tags may have
_MAX_PACKET_BYTES = 4_000_000


def read_tiff(stream: BinaryIO, raw_format: str | None) -> Packets:
    """Packets of a TIFF or raw stream; raises DamagedError when its first directory cannot be read."""
    stream.seek(0)
    head = stream.read(8)
    order: Literal["little", "big"] = "little" if head[:1] == b"I" else "big"
    stream.seek(int.from_bytes(head[4:8], order))
    count = int.from_bytes(stream.read(2), order)
    table = stream.read(12 * count)
    if not count or len(table) < 12 * count:
        raise DamagedError("the TIFF file's first directory is missing or cut off")
    found: dict[int, tuple[int, int, bytes]] = {}
    for at in range(0, len(table), 12):
        tag, kind = int.from_bytes(table[at : at + 2], order), int.from_bytes(table[at + 2 : at + 4], order)
        if tag in (_WIDTH, _LENGTH, _XMP, _IPTC, _RESOURCES) and kind in _BYTES_EACH:
            found[tag] = (kind, int.from_bytes(table[at + 4 : at + 8], order), table[at + 8 : at + 12])

    def number(tag: int) -> int | None:
        if tag not in found or raw_format:
            return None
        kind, _, value = found[tag]
        return int.from_bytes(value[: _BYTES_EACH[kind]], order) or None

    def packet(tag: int) -> bytes | None:
        kind, length, value = found.get(tag, (1, 0, b""))
        length *= _BYTES_EACH[kind]
        if not 4 < length <= _MAX_PACKET_BYTES:
            return None
        stream.seek(int.from_bytes(value, order))
        return stream.read(length) or None

    return Packets(
        raw_format or "TIFF",
        number(_WIDTH),
        number(_LENGTH),
        None,
        packet(_XMP),
        iptc=packet(_IPTC) or packet(_RESOURCES),
        is_tiff=True,
    )
