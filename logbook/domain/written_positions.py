"""Coordinates as people write them in free text: decimal, in pairs, or in degrees, minutes and seconds.

One surprising decision: the sign and the letter of the hemisphere are not read. Whoever hides a place must
find its figures in whatever dress they come.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_DECIMAL = re.compile(r"(?<![\d.,])[-−+]?(\d{1,3})[.,](\d{3,12})(?!\d)")
_PAIR = re.compile(r"(?<![\d.,])[-−+]?(\d{1,3}\.\d{2,12})(?!\d)[^\d\n]{1,30}?(\d{1,3}\.\d{2,12})(?!\d)")
_SEXAGESIMAL = re.compile(
    r"(?<!\d)(\d{1,3})\s*[°º]\s*(\d{1,2})(?:[.,](\d+))?\s*(?:['′’]?\s*(?:(\d{1,2})(?:[.,]\d+)?\s*(?:[\"″”]|''?))?)?"
)


@dataclass(frozen=True, slots=True)
class Written:
    """One coordinate, or two that stand together: where each begins and ends, unsigned degrees, how exactly.

    `unit_deg` is one unit of the last place that was written.
    """

    spans: tuple[tuple[int, int], ...]
    degrees: tuple[float, ...]
    unit_deg: float


def written_positions(text: str) -> Iterator[Written]:
    """Yield every coordinate of a text: single ones to 0.001 degrees or finer, pairs to 0.01; may overlap."""
    for found in _DECIMAL.finditer(text):
        whole, digits = found.groups()
        yield Written((found.span(),), (float(f"{whole}.{digits}"),), 10.0 ** -len(digits))
    for found in _PAIR.finditer(text):
        one, other = found.groups()
        digits = min(len(one.partition(".")[2]), len(other.partition(".")[2]))
        yield Written((found.span(1), found.span(2)), (float(one), float(other)), 10.0**-digits)
    for found in _SEXAGESIMAL.finditer(text):
        whole, minutes, part, seconds = found.groups()
        value = float(whole) + float(f"{minutes}.{part or 0}") / 60 + float(seconds or 0) / 3600
        unit_deg = 1 / 3600 if seconds else 10.0 ** -len(part or "") / 60
        yield Written((found.span(),), (value,), unit_deg)
