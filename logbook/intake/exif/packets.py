"""The metadata packets found inside a picture file, before anybody interprets them.

One surprising decision: a picture whose pixels are cut off still gives its packets; only a file in which
nothing can be found is damaged.
"""

from dataclasses import dataclass, field


class DamagedError(ValueError):
    """The file is not a picture, or is damaged past reading; the text is the reason."""


@dataclass(frozen=True, slots=True)
class Packets:
    """Size, Exif block (a TIFF structure), XMP packets and IPTC data of one picture; None is absent."""

    format: str
    width_px: int | None = None
    height_px: int | None = None
    exif: bytes | None = None  # begins with the TIFF byte order
    xmp: bytes | None = None
    extended_xmp: bytes | None = None  # what did not fit the XMP packet of a JPEG
    iptc: bytes | None = None  # IIM datasets, bare or within Photoshop's resources
    camera: bytes | None = None  # an Exif directory that has a block of its own
    is_tiff: bool = False  # the file is its own Exif block
    maker: bytes | None = None  # Canon's own directory, where it has a block of its own
    satellites: bytes | None = None  # a GPS directory that has a block of its own
    notes: tuple[str, ...] = field(default=())


def tiff_block(block: bytes) -> bytes:
    """The Exif block without the "Exif" marker that some containers' writers leave in front of it."""
    return block[6:] if block.startswith(b"Exif\0") else block
