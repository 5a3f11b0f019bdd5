"""What a person wrote about a picture in an editor: stars, label, keywords, caption, place, credit.

One surprising decision: the Exif tag ImageDescription is no caption, because cameras fill it with their own
name; an editor that writes it writes XMP or IPTC as well. A number of stars that cannot be is unknown, not
the nearest one that can. Source: ISO 16684-1 (xmp:Rating: -1 rejected, 0 to 5).
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from logbook.domain.camera import CameraFacts
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


_LONGEST = 4000  # characters of a caption; of other texts an eighth
_MOST_KEYWORDS = 200
_OTHERS = ("written", "notes")  # of marks: what is not a field of the facts, or not taken as one
_NO_POSITION = ("position unknown", "latitude unknown", "longitude unknown")  # how such notes begin
_SAME_DEG = 0.0005  # degrees; packets round to a thousandth of a minute, old ones to a second
_BY_CAMERAS = re.compile(  # what cameras write where a description belongs; from memory
    r"(\w+ )*digital (still )?camera|sony dsc|dcim.*|default|exif_jpeg.*|image|dav", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Marks:
    """What one packet says; None or empty is unknown, degrees are WGS84."""

    rating: int | None = None
    label: str | None = None
    keywords: tuple[str, ...] = ()
    caption: str | None = None
    place: str | None = None
    credit: str | None = None
    copyright: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    written: Mapping[str, Any] = field(default_factory=dict)  # camera settings, by the Exif tags they mirror
    notes: tuple[str, ...] = field(default=())

    def over(self, other: "Marks") -> "Marks":
        """Return these marks with the gaps filled by those of another packet."""
        gaps = {
            one.name: getattr(other, one.name)
            for one in fields(self)
            if one.name not in _OTHERS and getattr(self, one.name) in (None, ())
        }
        if "latitude_deg" not in gaps or "longitude_deg" not in gaps:  # a position comes whole
            gaps.pop("latitude_deg", None), gaps.pop("longitude_deg", None)
        written = {**other.written, **self.written}
        return replace(self, **gaps, written=written, notes=self.notes + other.notes)


def marked(facts: CameraFacts, marks: Marks) -> CameraFacts:
    """Return the facts with an editor's marks; a position fills a gap and replaces nothing."""
    found = {
        one.name: getattr(marks, one.name)
        for one in fields(marks)
        if one.name not in _OTHERS and getattr(marks, one.name) not in (None, ())
    }
    notes = facts.notes
    if facts.latitude_deg is not None and facts.longitude_deg is not None:
        latitude, longitude = found.pop("latitude_deg", None), found.pop("longitude_deg", None)
        if latitude is not None and not _is_near(facts, latitude, longitude):
            notes += (f"position differs: XMP says {latitude:.5f}, {longitude:.5f}, which is ignored",)
    elif "latitude_deg" in found:
        notes = tuple(note for note in notes if not note.startswith(_NO_POSITION))
    return replace(facts, **found, notes=notes + marks.notes)


def _is_near(facts: CameraFacts, latitude: float, longitude: float) -> bool:
    """Whether a position is the same but for rounding."""
    east = abs((facts.longitude_deg or 0) - longitude)
    return abs((facts.latitude_deg or 0) - latitude) <= _SAME_DEG and min(east, 360 - east) <= _SAME_DEG


def exif_marks(tags: Tags) -> Marks:
    """The marks among Exif tags."""
    stars, notes = exif_stars(tags)
    return Marks(
        rating=stars,
        keywords=keywords_of(_utf16(tags, "XPKeywords").split(";")),
        caption=line_of(_utf16(tags, "XPTitle")),
        credit=line_of(tags.text("Artist")),
        copyright=line_of(tags.text("Copyright")),
        notes=notes,
    )


def line_of(text: str | None, longest: int = _LONGEST // 8) -> str | None:
    """The text as one line without control characters, cut to a sane length; None when nothing is left."""
    if not text:
        return None
    shown = "".join(letter if letter.isprintable() else " " for letter in text[: 4 * longest])
    return " ".join(shown.split())[:longest].rstrip() or None


def caption_of(title: str | None, description: str | None) -> str | None:
    """Title and description as one caption; what cameras write there by themselves is none."""
    parts = [
        line
        for text in (title, description)
        if (line := line_of(text, _LONGEST)) and not _BY_CAMERAS.fullmatch(line)
    ]
    if len(parts) == 2 and parts[0].rstrip(".") in parts[1]:
        del parts[0]
    return ". ".join([*(part.rstrip(".") for part in parts[:-1]), *parts[-1:]]) or None


def place_of(parts: Iterable[str | None]) -> str | None:
    """A place from its parts, the smallest first: "Quarry ledge, Valley"."""
    lines = [line for part in parts if (line := line_of(part))]
    return ", ".join(dict.fromkeys(lines)) or None


def keywords_of(words: Iterable[str]) -> tuple[str, ...]:
    """Keywords in order, each once."""
    lines = (line for word in words if (line := line_of(word)))
    return tuple(dict.fromkeys(lines))[:_MOST_KEYWORDS]


def _utf16(tags: Tags, name: str) -> str:
    values = tags.values(name)
    if not isinstance(values, list):
        return ""
    written = bytes(value for value in values if isinstance(value, int) and 0 <= value < 256)
    return written.decode("utf-16-le", "ignore").strip("\0 ")
