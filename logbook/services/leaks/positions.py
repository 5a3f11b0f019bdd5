"""Finding a position that must not be told, or a direction of view that points a line at a withheld place.

One surprising decision: what a text's numbers and codes mean is measured to what is hidden, and of degrees
neither signs are looked at, nor which of the two comes first. A journal leaves out the west and turns the
order round; the same figures elsewhere on the earth are no accident. Of bearings, in words, in figures, in a
drawing, only those that no view which may be shown has too are looked for, because a page does not say in any
one way whose bearing a number is.
"""

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence

from logbook.domain.position import Position
from logbook.services.leaks.codes import Codes
from logbook.services.leaks.hidden import HiddenPosition
from logbook.services.leaks.numbers import Digits, ReadAngle
from logbook.services.leaks.readings import FileReading

WITHIN_DEG = 0.75  # bearings are written in whole degrees
_SAID = re.compile(
    r"(?<![^\W_])(?:faces|facing|looks|looking|view|bearing|direction|towards)[^\d|\n]{0,40}?(\d{1,3}(?:[.,]\d+)?)\s*"
    r"(?:°|deg|$|\n)",
    re.IGNORECASE | re.MULTILINE,
)
FINE_DEG, COARSE_DEG = 0.0101, 0.1001  # two decimals; one decimal, whole minutes
SINGLE_DEG, SINGLE_SAID_DEG = 0.00101, 0.0168  # three decimals; whole minutes that say what they are
_SEPARATORS = " ,;/|+-"
LONGEST_BETWEEN = 40  # characters between the two halves of a position


class SecretPositions:
    """All positions that must not be told, and those that may be."""

    def __init__(self, hidden: Sequence[HiddenPosition], shown: Sequence[Position]) -> None:
        self._hidden = tuple(dict.fromkeys(hidden))
        self._shown = [(abs(one.latitude_deg), abs(one.longitude_deg)) for one in dict.fromkeys(shown)]
        self._shown_singles = sorted({value for one in self._shown for value in one})
        halves = [
            (abs(value), slack)
            for one in self._hidden
            for value, slack in zip(
                (one.position.latitude_deg, one.position.longitude_deg), one.near_deg, strict=True
            )
        ]
        self._singles = sorted({value for value, _ in halves})
        self._codes = Codes(self._hidden)
        self._shown_codes = Codes([HiddenPosition(one, False) for one in dict.fromkeys(shown)])
        self._slack = max((slack for _, slack in halves), default=0.0)

    def in_text(self, text: str) -> Iterator[str]:
        """Yield the positions in a text that tell where something hidden is, as they are written."""
        if not self._hidden:
            return
        digits = Digits(text)
        near = [
            [one for one in digits.angles(at) if _has(self._singles, one.degrees, one.unit_deg + self._slack)]
            for at in range(len(digits.runs))
        ]
        for at, angles in enumerate(near):
            start = digits.runs[at].start
            for first in angles:
                if self._tells_alone(first) and not _is_half(digits, first):
                    yield digits.text[start : digits.runs[first.end - 1].end]
                for second in (*_at(near, first.end), *_at(near, first.end + 1)):
                    between = digits.runs[second.first].start - digits.runs[first.end - 1].end
                    if between <= LONGEST_BETWEEN and self._tells(first, second):
                        yield digits.text[start : digits.runs[second.end - 1].end]
        if codes := dict.fromkeys(self._codes.in_text(text, digits)):
            allowed = set(self._shown_codes.in_text(text, digits))
            yield from (code for code in codes if code not in allowed)

    def _tells_alone(self, one: ReadAngle) -> bool:
        limit = SINGLE_SAID_DEG if one.says_so else SINGLE_DEG if one.is_decimal else 0.0
        if one.unit_deg > limit:
            return False
        unit = one.unit_deg * 1.000001
        return _has(self._singles, one.degrees, unit) and not _has(self._shown_singles, one.degrees, unit)

    def _tells(self, first: ReadAngle, second: ReadAngle) -> bool:
        """Tell whether two angles are a hidden position, unless a place that may be shown is as near."""
        unit = max(first.unit_deg, second.unit_deg)
        says_so = first.says_so and second.says_so
        if unit > (COARSE_DEG if says_so else FINE_DEG):
            return False
        if any(_is_at(first, second, place, (1e-6, 1e-6)) for place in self._shown):
            return False
        return any(
            _is_at(
                first,
                second,
                (abs(one.position.latitude_deg), abs(one.position.longitude_deg)),
                one.near_deg,
            )
            for one in self._hidden
            if one.is_withheld or unit <= SINGLE_SAID_DEG
        )


def _is_at(
    first: ReadAngle, second: ReadAngle, place: tuple[float, float], near_deg: tuple[float, float]
) -> bool:
    """Tell whether two angles, in either order, are a place, within their last place and so much more."""
    return any(
        abs(one.degrees - place[0]) <= one.unit_deg + near_deg[0]
        and abs(other.degrees - place[1]) <= other.unit_deg + near_deg[1]
        for one, other in ((first, second), (second, first))
    )


def _is_half(digits: Digits, one: ReadAngle) -> bool:
    """Tell whether an angle stands beside one of its own kind, and so with it is a position or none."""
    after = digits.angles(one.end) if one.end < len(digits.runs) else ()
    before = (other for at in range(max(0, one.first - 4), one.first) for other in digits.angles(at))
    return any(_pair(digits, one, other) for other in after) or any(
        _pair(digits, other, one) for other in before if other.end == one.first
    )


def _pair(digits: Digits, first: ReadAngle, second: ReadAngle) -> bool:
    """Tell whether two angles that follow each other look like the halves of one position."""
    if (first.is_decimal, first.says_so) != (second.is_decimal, second.says_so):
        return False
    bare = first.is_decimal and not digits.gap(first.end - 1).strip(_SEPARATORS)
    return bare or first.unit_deg == second.unit_deg


def _at(near: Sequence[Sequence[ReadAngle]], index: int) -> Sequence[ReadAngle]:
    return near[index] if index < len(near) else ()


def _has(values: Sequence[float], value: float, near: float) -> bool:
    """Tell whether one of some sorted values lies near a value."""
    at = bisect_left(values, value - near)
    return at < len(values) and values[at] <= value + near


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
