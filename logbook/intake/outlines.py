"""Coasts and borders of the world, thinned, as they come with the program.

One surprising decision: they are lines and no areas. A locator needs to be recognised, not filled, and a line
that is cut at the edge of a drawing is still right.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

from logbook.domain.position import Position

STEPS_A_DEGREE = 50
FILE = "outlines.txt"


class OutlineKind(StrEnum):
    """What a line parts."""

    COAST = "coast"
    BORDER = "border"


@dataclass(frozen=True, slots=True)
class Outline:
    """One line; its longitudes lie on the side of the date line where they are asked for."""

    kind: OutlineKind
    points: tuple[tuple[float, float], ...]  # longitude and latitude, degrees


_KINDS = {"c": OutlineKind.COAST, "b": OutlineKind.BORDER}


def outlines_near(
    file: Path, middle: Position, half_height_deg: float, half_width_deg: float
) -> tuple[Outline, ...]:
    """Return the lines that come into a window around a position, whole, on its side of the date line."""
    found = []
    for kind, points in _lines(file):
        turn = 360.0 * round((middle.longitude_deg - points[0][0]) / 360)
        if any(
            abs(x + turn - middle.longitude_deg) <= half_width_deg
            and abs(y - middle.latitude_deg) <= half_height_deg
            for x, y in points
        ):
            found.append(Outline(kind, tuple((x + turn, y) for x, y in points)))
    return tuple(found)


@cache  # each report asks again
def _lines(file: Path) -> tuple[tuple[OutlineKind, tuple[tuple[float, float], ...]], ...]:
    lines = file.read_text(encoding="ascii").splitlines()
    return tuple(_read(text) for text in lines if not text.startswith("#"))


def _read(text: str) -> tuple[OutlineKind, tuple[tuple[float, float], ...]]:
    letter, *steps = text.split(" ")
    x = y = 0
    points = []
    for step in steps:
        across, up = step.split(",")
        x += int(across)
        y += int(up)
        points.append((x / STEPS_A_DEGREE, y / STEPS_A_DEGREE))
    return _KINDS[letter], tuple(points)
