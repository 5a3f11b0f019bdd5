"""Words on a map: each keeps off the lines and the other words, and says which mark it belongs to.

One surprising decision: words for which no place is free become a letter beside their mark, and the note
below the map says what the letter stands for; a map with half its names missing would mislead.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil, hypot
from string import ascii_lowercase

from markupsafe import Markup

from logbook.faces.report.drawings.svg import TEXT_PX, Box, element, line, rect, width_of, words

ROW = TEXT_PX + 2
HALF = 2.0  # units; half of the boxes that stand for a line
AWAY = 12.0  # units; words farther than this from their mark are joined to it by a line

Point = tuple[float, float]


@dataclass(slots=True)
class Labels:
    """Words that have found a place in a frame of a size, and what the next ones must keep off."""

    width: float
    height: float
    taken: list[Box]
    marks: list[Markup] = field(default_factory=list)
    lettered: list[tuple[str, str]] = field(default_factory=list)  # letter and what it stands for
    _lines: list[Box] = field(default_factory=list)

    def keep_off(self, points: Sequence[Point]) -> None:
        """Let no words stand on the line through these points."""
        for (x1, y1), (x2, y2) in pairwise(points):
            steps = max(1, ceil(hypot(x2 - x1, y2 - y1) / (2 * HALF)))
            for step in range(steps + 1):
                x, y = x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps
                self._lines.append(Box(x - HALF, y - HALF, x + HALF, y + HALF))

    def put(self, texts: Sequence[str], mark: Point, corners: Iterable[Point], class_: str) -> None:
        """Write one or more rows at the first free left upper corner, else a letter beside the mark."""
        width, height = max(map(width_of, texts)), len(texts) * ROW
        for left, top in corners:
            box = Box(left, top, left + width, top + height)
            if self._is_free(box, [*self.taken, *self._lines]):
                self._write(texts, mark, box, class_)
                return
        if len(self.lettered) < len(ascii_lowercase):
            self._letter(texts, mark, class_)

    def put_picture(self, href: str, size: tuple[float, float], mark: Point) -> bool:
        """Draw a picture at the first free place near its mark; tell whether there was one."""
        width, height = size
        for left, top in around(mark, width, height, 14.0):
            box = Box(left, top, left + width, top + height)
            if not self._is_free(box, [*self.taken, *self._lines]):
                continue
            self.taken.append(box)
            self._join(mark, box)
            self.marks += [
                element("image", href=href, x=left, y=top, width=width, height=height),
                rect(left, top, width, height, "edge-of-picture"),
            ]
            return True
        return False

    def note(self) -> str:
        """Return what the letters stand for, or an empty text."""
        return "".join(f" {letter}: {text}." for letter, text in self.lettered).strip()

    def _letter(self, texts: Sequence[str], mark: Point, class_: str) -> None:
        letter = ascii_lowercase[len(self.lettered)]
        width = width_of(letter)
        boxes = [Box(x, y, x + width, y + ROW) for x, y in around(mark, width, ROW, 5.0)]
        for kept_off in ([*self.taken, *self._lines], self.taken, []):
            free = next((box for box in boxes if self._is_free(box, kept_off)), None)
            if free:
                self.lettered.append((letter, ", ".join(texts)))
                self._write([letter], mark, free, class_)
                return

    def _is_free(self, box: Box, kept_off: Iterable[Box]) -> bool:
        inside = (
            box.left >= 3 and box.right <= self.width - 3 and box.top >= 3 and box.bottom <= self.height - 3
        )
        return inside and not any(box.meets(other) for other in kept_off)

    def _write(self, texts: Sequence[str], mark: Point, box: Box, class_: str) -> None:
        """Flush with the side that faces the mark, because a width is only reckoned."""
        x, _ = mark
        self.taken.append(box)
        at, anchor = (box.left + box.right) / 2, "middle"
        if box.left >= x or box.right <= x:
            at, anchor = (box.left, "start") if box.left >= x else (box.right, "end")
        for row, text in enumerate(texts):
            self.marks.append(words(text, at, box.top + TEXT_PX - 2 + row * ROW, class_, anchor))
        self._join(mark, box)

    def _join(self, mark: Point, box: Box) -> None:
        """Draw a line from a mark to what belongs to it, where that stands too far away to be seen as its."""
        x, y = mark
        near = min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
        if hypot(near[0] - x, near[1] - y) > AWAY:
            self.marks.append(line(x, y, *near, "lead"))


def around(mark: Point, width: float, height: float, nearest: float = 9.0) -> Iterator[Point]:
    """Left upper corners of words, from beside their mark to farther above, below and aside."""
    x, y = mark
    for aside in (nearest, nearest + 16, nearest + 40):
        for away in (0.0, 12.0, -12.0, 24.0, -24.0, 40.0, -40.0, 60.0, -60.0, 80.0, -80.0):
            top = y - height / 2 + away
            yield x + aside, top
            yield x - aside - width, top
            if abs(away) > height / 2 + 4:
                yield x - width / 2, top
