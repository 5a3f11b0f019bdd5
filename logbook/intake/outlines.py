"""Coasts and borders of the world, thinned, as they come with the program.

One surprising decision: they are lines and no areas. A locator needs to be recognised, not filled, and a line
that is cut at the edge of a drawing is still right.
"""

from dataclasses import dataclass
from enum import StrEnum
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
    for text in file.read_text(encoding="ascii").splitlines():
        if text.startswith("#"):
            continue
        outline = _read(text, middle.longitude_deg)
        if any(
            abs(x - middle.longitude_deg) <= half_width_deg
            and abs(y - middle.latitude_deg) <= half_height_deg
            for x, y in outline.points
        ):
            found.append(outline)
    return tuple(found)


def _read(text: str, near_deg: float) -> Outline:
    letter, *steps = text.split(" ")
    x = y = 0
    points = []
    for step in steps:
        across, up = step.split(",")
        x += int(across)
        y += int(up)
        points.append((x / STEPS_A_DEGREE, y / STEPS_A_DEGREE))
    turn = 360.0 * round((near_deg - points[0][0]) / 360)
    return Outline(_KINDS[letter], tuple((x + turn, y) for x, y in points))
