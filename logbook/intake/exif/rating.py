"""The stars a photographer gave, in the embedded XMP packet or in Exif.

One surprising decision: XMP is read as a stream of elements and a document type declaration ends it at once,
so that no entity is ever expanded. Source: ISO 16684-1 (xmp:Rating: -1 rejected, 0 to 5).
"""

from xml.parsers import expat

from logbook.intake.exif.tags import Tags

_RATING = "http://ns.adobe.com/xap/1.0/ Rating"
_MAX_XMP_BYTES = 4_000_000
# Lowest percentage of 1 to 5 stars; how desktop systems map the Exif tag RatingPercent, from memory.
_PERCENT_STEPS = (1, 13, 38, 63, 88)


class _DoctypeError(Exception):
    """The packet declares a document type; metadata has none."""


def read_rating(tags: Tags, xmp: bytes | None) -> tuple[int | None, tuple[str, ...]]:
    """Stars (-1 rejected, 0 to 5) and notes; XMP goes before Exif, because editors write it last."""
    notes: list[str] = []
    written = xmp_rating(xmp, notes) if xmp else None
    if written is not None:
        stars = _stars(written)
        if stars is not None:
            return stars, tuple(notes)
        notes.append(f"rating unknown: the file says {written!r}")
    exif = tags.integer("Rating")
    if exif is not None and 0 <= exif <= 5:
        return exif, tuple(notes)
    percent = tags.integer("RatingPercent")
    if percent is not None and 0 <= percent <= 100:
        return sum(percent >= step for step in _PERCENT_STEPS), tuple(notes)
    if exif is not None:
        notes.append(f"rating unknown: the file says {exif}")
    return None, tuple(notes)


def _stars(written: str) -> int | None:
    """ "4" and "4.0" are 4; None for anything but -1, 0, 1, 2, 3, 4, 5."""
    try:
        number = float(written)
    except ValueError:
        return None
    return int(number) if number in range(-1, 6) else None


def xmp_rating(packet: bytes, notes: list[str]) -> str | None:
    """Text of xmp:Rating in an XMP packet; None when absent or when the packet cannot be trusted."""
    if b"Rating" not in packet.replace(b"\0", b"") or len(packet) > _MAX_XMP_BYTES:
        return None
    found: list[str] = []
    inside = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal inside
        inside = name == _RATING
        if _RATING in attributes:
            found.append(attributes[_RATING])

    def text(data: str) -> None:
        if inside:
            found.append(data)

    def end(_name: str) -> None:
        nonlocal inside
        inside = False

    def refuse(*_: object) -> None:
        raise _DoctypeError

    parser = expat.ParserCreate(encoding="utf-8", namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = refuse
    try:
        parser.Parse(packet.strip(b"\0 \r\n\t"), True)
    except _DoctypeError:
        notes.append("rating unknown: the XMP packet declares a document type, so it was not read")
        return None
    except expat.ExpatError:
        if not found:
            notes.append("rating unknown: the XMP packet is damaged")
            return None
    return found[0].strip()[:20] if found else None
