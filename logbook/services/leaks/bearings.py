"""Finding a direction of view that points a line at a withheld place: in words, in figures, in a drawing.

One surprising decision: only bearings that no view which may be shown has too are looked for, because a page
does not say in any one way whose bearing a number is.
"""

import re
from collections.abc import Iterable, Iterator

from logbook.services.leaks.readings import FileReading

WITHIN_DEG = 0.75  # bearings are written in whole degrees
_SAID = re.compile(
    r"(?<![^\W_])(?:faces|facing|looks|looking|view|bearing|direction|towards)[^\d|\n]{0,40}?(\d{1,3}(?:[.,]\d+)?)\s*"
    r"(?:°|deg|$|\n)",
    re.IGNORECASE | re.MULTILINE,
)


class Bearings:
    """Bearings that must not be told, degrees from true north."""

    def __init__(self, hidden: Iterable[float], shown: Iterable[float]) -> None:
        allowed = tuple(shown)
        self._hidden = tuple(
            one for one in dict.fromkeys(hidden) if not any(_same(one, other) for other in allowed)
        )

    def in_reading(self, reading: FileReading) -> Iterator[str]:
        """Yield the bearings in a file that point at something withheld."""
        if not self._hidden:
            return
        for found in _SAID.finditer(reading.figures):
            if self._is_hidden(float(found[1].replace(",", "."))):
                yield found[0].strip()
        for view in reading.views:
            if self._is_hidden(view):
                yield f"{view:.0f}°"

    def _is_hidden(self, bearing_deg: float) -> bool:
        return any(_same(bearing_deg, one) for one in self._hidden)


def _same(one: float, other: float) -> bool:
    return abs((one - other + 180) % 360 - 180) <= WITHIN_DEG
