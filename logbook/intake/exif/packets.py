"""The metadata packets found inside a picture file, before anybody interprets them.

One surprising decision: a picture whose pixels are cut off still gives its packets; only a file in which
nothing can be found is damaged.
"""

from dataclasses import dataclass, field


class DamagedError(ValueError):
    """The file is not a picture, or is damaged past reading; the text is the reason."""


@dataclass(frozen=True, slots=True)
class Packets:
    """Size, Exif block (a TIFF structure) and XMP packet of one picture; None is absent."""

    format: str
    width_px: int | None = None
    height_px: int | None = None
    exif: bytes | None = (
        None  # begins with the TIFF byte order; None for TIFF files, which are their own block
    )
    xmp: bytes | None = None
    notes: tuple[str, ...] = field(default=())


def tiff_block(block: bytes) -> bytes:
    """The Exif block without the "Exif" marker that some containers' writers leave in front of it."""
    return block[6:] if block.startswith(b"Exif\0") else block
