"""The kinds of light as a band in their own colours, each with a pattern of its own, and the key in words.

One surprising decision: patterns are drawn over the colours and not instead of them, so that a band is told
from its neighbour in grey, by every eye, and in the colours that a photographer knows.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from math import ceil

from markupsafe import Markup

from logbook.faces.report.drawings.svg import TEXT_PX, element, number, rect, width_of, words
from logbook.sky.phases import LightPhase, PhaseKind

BAND = 24.0  # height
SWATCH, GAP = 18.0, 14.0  # width of a sample of the key; between two entries
KEY_ROW = TEXT_PX + 6
_CLASS = {
    PhaseKind.NIGHT: "night",
    PhaseKind.ASTRONOMICAL: "astronomical",
    PhaseKind.NAUTICAL: "nautical",
    PhaseKind.CIVIL: "civil",
    PhaseKind.BLUE: "blue",
    PhaseKind.GOLDEN: "golden",
    PhaseKind.DAY: "day-light",
}
_ACROSS = {PhaseKind.ASTRONOMICAL, PhaseKind.CIVIL, PhaseKind.GOLDEN}  # the style sheet dots and dashes them
_ALONG = {PhaseKind.NAUTICAL, PhaseKind.BLUE}  # night and day are plain
_STEP = 6.0  # between two lines of a pattern


def light_band(phases: Sequence[LightPhase], x: Callable[[datetime], float], top: float) -> Iterator[Markup]:
    """Yield the band of a day's light, one colour and pattern after the other."""
    for one in phases:
        left = x(one.start)
        yield from _coloured(one.kind, left, top, x(one.end) - left, BAND)


def light_key(
    phases: Sequence[LightPhase], left: float, right: float, top: float
) -> tuple[list[Markup], float]:
    """Return the key of a band, a sample beside each word, and how high it is."""
    marks: list[Markup] = []
    at, row = left, 0
    for kind in PhaseKind:
        if kind not in {one.kind for one in phases}:
            continue
        wide = SWATCH + 5 + width_of(kind)
        if at > left and at + wide > right:
            at, row = left, row + 1
        marks += _coloured(kind, at, top + row * KEY_ROW + 2, SWATCH, TEXT_PX)
        marks.append(words(kind, at + SWATCH + 5, top + row * KEY_ROW + TEXT_PX, "quiet"))
        at += wide + GAP
    return marks, (row + 1) * KEY_ROW


def _coloured(kind: PhaseKind, left: float, top: float, width: float, height: float) -> Iterator[Markup]:
    yield rect(left, top, width, height, f"band {_CLASS[kind]}")
    if path := _pattern(kind, left, top, width, height):
        yield element("path", d=path, class_=f"hatch on-{_CLASS[kind]}")


def _pattern(kind: PhaseKind, left: float, top: float, width: float, height: float) -> str:
    """The lines over a colour, from edge to edge."""
    if kind in _ACROSS:
        lines = range(1, ceil(height / _STEP))
        return " ".join(f"M{number(left)} {number(top + _STEP * at)} h{number(width)}" for at in lines)
    if kind in _ALONG:
        lines = range(1, ceil(width / _STEP))
        return " ".join(f"M{number(left + _STEP * at)} {number(top)} v{number(height)}" for at in lines)
    return ""
