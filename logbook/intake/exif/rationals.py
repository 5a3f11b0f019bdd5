"""Numbers as Exif stores them: two integers, which need not make a number.

One surprising decision: damage is kept as it stands ("0/0") until a reader has noted it, and then becomes
None.
"""

from dataclasses import dataclass
from fractions import Fraction

_FILLER = 0xFFFFFFFF  # "all bits set" stands for unknown or infinite, CIPA DC-008 section 4.6.6


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
