"""The Exif tags of one picture, with getters that never raise, and numbers as Exif stores them.

Surprising decisions: the ordinary tags are read by `directories`; only maker notes, which every company
lays out its own way, go to ExifRead, through a counted stream, because it follows every pointer of a
crafted file and would otherwise take minutes; when the count is used up the block is called damaged. Two
integers need not make a number: damage is kept as it stands ("0/0") until a reader has noted it, and then
becomes None.
"""

import logging
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, BinaryIO

from logbook.intake.exif.packets import DamagedError

_FILLER = 0xFFFFFFFF  # "all bits set" stands for unknown or infinite, CIPA DC-008 section 4.6.6
_MAX_READS = 150_000  # the largest of some two hundred real files takes 82,000
_MAX_BYTES = 16_000_000
_MAX_READ = 70_000  # one JPEG segment; longer text is of no use here


@dataclass(frozen=True, slots=True)
class ExifRational:
    """A numerator over a denominator; a zero denominator has no value."""

    numerator: int
    denominator: int = 1

    @property
    def value(self) -> Fraction | None:
        """The exact number; None when the denominator is zero or all bits of the numerator are set."""
        if self.denominator == 0 or self.is_filler:
            return None
        return Fraction(self.numerator, self.denominator)

    @property
    def is_filler(self) -> bool:
        """Whether the numerator was all bits set, even after the fraction was brought to lowest terms."""
        return self.numerator > 1_000_000 and _FILLER % self.numerator == 0

    def __str__(self) -> str:
        return str(self.numerator) if self.denominator == 1 else f"{self.numerator}/{self.denominator}"


def believed(
    raw: ExifRational | None,
    what: str,
    notes: list[str],
    *,
    least: Fraction | float,
    most: Fraction | float,
    unit: str = "",
) -> Fraction | None:
    """The value when it lies in [least, most]; else None, with the reason appended to `notes`.

    A missing value is None without a note: there is nothing to doubt.
    """
    if raw is None:
        return None
    value = raw.value
    if value is None or value == 0 < least:
        notes.append(f"{what} unknown: the file says {raw}")
    elif not least <= value <= most:
        notes.append(f"{what} unknown: the file says {float(value):.6g}{unit}, which is not possible")
    else:
        return value
    return None


class _CountedStream:
    """A readable stream that gives up after a bounded number of reads and bytes."""

    def __init__(self, stream: BinaryIO) -> None:
        self._read = stream.read
        self.seek = stream.seek
        self.tell = stream.tell
        self._reads_left = _MAX_READS
        self._bytes_left = _MAX_BYTES

    def read(self, length: int = -1) -> bytes:
        self._reads_left -= 1
        data = self._read(length if 0 <= length <= _MAX_READ else _MAX_READ)
        self._bytes_left -= len(data)
        if self._reads_left < 0 or self._bytes_left < 0:
            raise DamagedError("the Exif block points to itself in a loop")
        return data


class Tags:
    """Values by tag name; a bare name is sought among the Exif tags, then in the main directory."""

    def __init__(self, found: dict[str, Any] | None = None) -> None:
        self.found = found or {}

    def __bool__(self) -> bool:
        return bool(self.found)

    def values(self, name: str) -> Any:
        """The tag's numbers as a list, or its text; None when absent."""
        found = self.found
        if " " in name:  # a full name, with its directory
            return found.get(name)
        return found.get(f"EXIF {name}", found.get(f"Image {name}"))

    def text(self, name: str) -> str | None:
        """The tag as one line of text without padding; None when absent or blank."""
        values = self.values(name)
        if isinstance(values, list):
            values = bytes(v for v in values if isinstance(v, int) and 0 <= v < 256)
        if isinstance(values, bytes):
            try:
                values = values.decode("utf-8")
            except UnicodeDecodeError:
                values = values.decode("latin-1")  # some cameras write their country's letters
        if not isinstance(values, str):
            return None
        line = values.split("\0", 1)[0]
        if not line.isprintable():
            line = "".join(c if c.isprintable() else " " for c in line)
        return " ".join(line.split()) or None

    def rational(self, name: str, index: int = 0) -> ExifRational | None:
        """The tag's number at `index`; None when absent or when the tag holds text."""
        values = self.values(name)
        if isinstance(values, int):
            values = [values]
        if not isinstance(values, list) or index >= len(values):
            return None
        return _rational(values[index])

    def integer(self, name: str, index: int = 0) -> int | None:
        """The tag's whole number at `index`; None when absent or not a whole number."""
        raw = self.rational(name, index)
        return raw.numerator if raw is not None and raw.denominator == 1 else None


def with_maker_notes(stream: BinaryIO, tags: Tags) -> Tags:
    """The tags and, as "MakerNote ...", those of the maker's note; slow, so only on request.

    Raises DamagedError when the block cannot be read.
    """
    stream.seek(0)
    try:
        found = _process_file()(_CountedStream(stream), details=True, extract_thumbnail=False)
    except DamagedError:
        raise
    except Exception as error:  # a parser of others meeting arbitrary bytes: whatever it trips over is damage
        raise DamagedError(f"the Exif block is damaged ({type(error).__name__})") from error
    notes = {name: tag.values for name, tag in found.items() if name.startswith("MakerNote ")}
    return Tags(notes | dict(tags.found))


@cache
def _process_file() -> Any:
    """ExifRead's entry, imported when first needed and silenced: what matters becomes a note instead."""
    import exifread

    logging.getLogger("exifread").setLevel(logging.CRITICAL + 1)
    return exifread.process_file


def _rational(value: object) -> ExifRational | None:
    if isinstance(value, ExifRational):
        return value
    if isinstance(value, tuple) and len(value) == 1:
        value = value[0]
    if isinstance(value, Fraction):
        return ExifRational(value.numerator, value.denominator)
    if isinstance(value, int):
        return ExifRational(value)
    if isinstance(value, float):
        try:
            return ExifRational(*value.as_integer_ratio())
        except (OverflowError, ValueError):  # infinite, or not a number
            return ExifRational(0, 0)
    return None
