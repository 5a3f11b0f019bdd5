"""Rows of pictures: which stand beside each other and how high, so that every line is filled.

One surprising decision: rows are not filled one after the other, but chosen together, as the lines of a
paragraph are. So the last row is as full and about as high as the others.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log

from logbook.domain.choosing import KNOWN_SHAPES

FULL_ENOUGH = 0.7  # of a line; one picture by itself that takes less is drawn smaller, with words beside it
TALLEST = 2.0  # times the usual height, for a row that no height within reason fills
FLATTEST = 0.5  # of the usual height: lower, a row of several is not made
LOWEST_PX = 48.0  # of a row, whatever its pictures: a finger has to hit it
GROUND_COSTS = 4.0  # against a height's distance from the usual, as the square of its logarithm
ROUNDED = 1e-9


@dataclass(frozen=True, slots=True)
class Shape:
    """One picture: width to height, and how wide it may be drawn without being enlarged (CSS pixels)."""

    ratio: float
    most_px: float


@dataclass(frozen=True, slots=True)
class Line:
    """What rows are composed for, in CSS pixels.

    `usual_px` is the height that rows have if they can, `highest_px` the height that none exceeds, `least_px`
    the width that the words under a picture need.
    """

    width_px: float
    usual_px: float
    highest_px: float
    gap_px: float
    least_px: float


@dataclass(frozen=True, slots=True)
class PictureCell:
    """One picture's part of a line, and how wide the picture is drawn in it; the rest is quiet ground."""

    width_px: float
    picture_px: float


@dataclass(frozen=True, slots=True)
class PictureRow:
    """Pictures beside each other; where `is_short`, one by itself leaves room that words can take."""

    cells: tuple[PictureCell, ...]
    height_px: float
    is_short: bool = False


def composed(shapes: Sequence[Shape], line: Line) -> tuple[PictureRow, ...]:
    """Return the rows of some pictures in their order, together as near to the usual height as can be."""
    best: list[tuple[float, int, PictureRow | None]] = [(0.0, 0, None)]  # by count
    for end in range(1, len(shapes) + 1):
        found: tuple[float, int, PictureRow | None] = (inf, end - 1, None)
        for begin in range(end - 1, -1, -1):
            row = _row(shapes[begin:end], line)
            if row is None:
                break  # more pictures only make it narrower
            cost = best[begin][0] + _cost(row, line)
            if cost < found[0]:
                found = (cost, begin, row)
        best.append(found)
    rows: list[PictureRow] = []
    end = len(shapes)
    while end:
        _, end, last = best[end]
        assert last is not None  # one picture is always a row
        rows.append(last)
    return tuple(reversed(rows))


def is_long(shape: Shape, line: Line) -> bool:
    """Return whether a picture is a panorama with a row of its own: wide, and with pixels enough for it."""
    return shape.ratio > KNOWN_SHAPES[1] and shape.most_px >= FULL_ENOUGH * line.width_px


def _row(shapes: Sequence[Shape], line: Line) -> PictureRow | None:
    """Return some pictures as one row, or None where they cannot be one."""
    room = line.width_px - line.gap_px * (len(shapes) - 1)
    if any(is_long(one, line) for one in shapes):
        return _of_one(shapes[0], line) if len(shapes) == 1 else None
    if len(shapes) > 1 and line.least_px * len(shapes) > room:
        return None
    if _width(shapes, line, line.highest_px) >= room:
        high = _height(shapes, line, room)
        if len(shapes) > 1 and high < FLATTEST * line.usual_px:
            return None
        return _laid(shapes, line, high, room)
    if len(shapes) == 1:
        return _of_one(shapes[0], line)
    return _laid(shapes, line, min(line.highest_px, TALLEST * line.usual_px), room)


def _of_one(shape: Shape, line: Line) -> PictureRow:
    """One picture by itself, which does not fill the line or is to have it whole."""
    wide = min(line.width_px, shape.most_px, line.highest_px * shape.ratio)
    is_short = wide < FULL_ENOUGH * line.width_px - ROUNDED
    if is_short:
        wide = min(wide, TALLEST * line.usual_px * shape.ratio)
    cell = min(line.width_px, max(wide, line.least_px))
    return PictureRow((PictureCell(cell, wide),), max(LOWEST_PX, wide / shape.ratio), is_short)


def _width(shapes: Sequence[Shape], line: Line, high: float) -> float:
    return sum(_cell(one, line, high) for one in shapes)


def _cell(shape: Shape, line: Line, high: float) -> float:
    return max(line.least_px, min(shape.ratio * high, shape.most_px))


def _height(shapes: Sequence[Shape], line: Line, room: float) -> float:
    """The height at which the pictures fill the room, or as much above it as the narrowest cells force."""
    high = room / sum(one.ratio for one in shapes)
    if all(line.least_px <= one.ratio * high <= one.most_px for one in shapes):
        return high
    low, top = 0.0, line.highest_px
    for _ in range(40):
        high = (low + top) / 2
        if _width(shapes, line, high) < room:
            low = high
        else:
            top = high
    return top


def _laid(shapes: Sequence[Shape], line: Line, high: float, room: float) -> PictureRow:
    """Pictures as one row that fills the room, no higher than the highest of them is drawn."""
    high = min(high, max(min(line.highest_px, one.most_px / one.ratio) for one in shapes))
    cells = [_cell(one, line, high) for one in shapes]
    scale = room / sum(cells)
    drawn = [
        min(one.ratio * high, one.most_px, cell * scale) for one, cell in zip(shapes, cells, strict=True)
    ]
    return PictureRow(
        tuple(PictureCell(cell * scale, wide) for cell, wide in zip(cells, drawn, strict=True)),
        max(LOWEST_PX, high),
    )


def _cost(row: PictureRow, line: Line) -> float:
    """How far a row is from the usual height, and how much of it is ground."""
    room = line.width_px - line.gap_px * (len(row.cells) - 1)
    ground = 1 - sum(one.picture_px for one in row.cells) / room
    return log(row.height_px / line.usual_px) ** 2 + GROUND_COSTS * ground**2
