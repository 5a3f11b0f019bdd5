"""The stars a photographer gave, as Exif and XMP write them.

One surprising decision: a number of stars that cannot be is unknown, not the nearest one that can. Source:
ISO 16684-1 (xmp:Rating: -1 rejected, 0 to 5).
"""

from logbook.intake.exif.tags import Tags

# Lowest percentage of 1 to 5 stars; how desktop systems map the Exif tag RatingPercent, from memory.
_PERCENT_STEPS = (1, 13, 38, 63, 88)


def exif_stars(tags: Tags) -> tuple[int | None, tuple[str, ...]]:
    """Stars (0 to 5) by the Exif tags, and notes."""
    written = tags.integer("Rating")
    if written is not None and 0 <= written <= 5:
        return written, ()
    percent = tags.integer("RatingPercent")
    if percent is not None and 0 <= percent <= 100:
        return sum(percent >= step for step in _PERCENT_STEPS), ()
    return None, () if written is None else (f"rating unknown: the file says {written}",)


def xmp_stars(written: str) -> tuple[int | None, tuple[str, ...]]:
    """Stars (-1 rejected, 0 to 5) from the text of xmp:Rating ("4", "4.0"), and notes."""
    try:
        number = float(written)
    except ValueError:
        number = float("nan")
    if number in range(-1, 6):
        return int(number), ()
    return None, (f"rating unknown: the file says {written.strip()[:20]!r}",)
