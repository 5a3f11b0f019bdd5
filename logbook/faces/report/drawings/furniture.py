"""What every map has around its places: dots, names that keep out of each other's way, north, a scale.

One surprising decision: a place without room for its name keeps its dot and loses the name; the words below
the map name every place.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from logbook.faces.report.drawings.ground import Ground, length_text, round_length_m
from logbook.faces.report.drawings.svg import (
    NARROW,
    TEXT_PX,
    Box,
    element,
    line,
    number,
    shortened,
    width_of,
    words,
)

HEIGHT = 300.0
MARGIN = 66.0  # around the places: room for cones and names
MOST_NAME = 150.0  # units


@dataclass(frozen=True, slots=True)
class Spot:
    """Places that are drawn at one point, with what is known of each."""

    x: float
    y: float
    names: tuple[str, ...]
    is_area: bool


def dot(spot: Spot) -> Markup:
    """Return the mark of a place."""
    return element("circle", cx=spot.x, cy=spot.y, r=3.5, class_="spot")


def names_of(spots: list[Spot], taken: list[Box]) -> Iterator[Markup]:
    """Names beside their spots, where there is room; a spot without room for its name keeps its dot only."""
    for spot in spots:
        texts = [shortened(name, MOST_NAME) for name in spot.names]
        width, height = max(map(width_of, texts)), len(texts) * (TEXT_PX + 2)
        within = [(spot.x - width / 2, spot.y - height / 2)] if spot.is_area else []
        for left, top in (*within, *_around(spot.x, spot.y, width, height)):
            box = Box(left, top, left + width, top + height)
            if fits(box, taken):
                taken.append(box)
                for row, text in enumerate(texts):
                    yield words(text, left, top + TEXT_PX - 2 + row * (TEXT_PX + 2), "name")
                if abs((top + height / 2) - spot.y) > height:
                    yield line(
                        spot.x,
                        spot.y,
                        min(max(spot.x, left), left + width),
                        top + (0 if top > spot.y else height),
                        "lead",
                    )
                break


def _around(x: float, y: float, width: float, height: float) -> Iterator[tuple[float, float]]:
    """Left upper corners of a label, from beside the spot to farther above and below it."""
    for away in (0.0, 16.0, -16.0, 30.0, -30.0, 44.0, -44.0, 60.0, -60.0, 78.0, -78.0, 96.0, -96.0):
        top = y - height / 2 + away
        for left in (x + 9, x - 9 - width, x - width / 2):
            yield min(max(left, 4.0), NARROW - 4 - width), top


def fits(box: Box, taken: list[Box]) -> bool:
    """Tell whether a rectangle lies within the map and over nothing else."""
    inside = box.left >= 3 and box.right <= NARROW - 3 and box.top >= 3 and box.bottom <= HEIGHT - 3
    return inside and not any(box.meets(other) for other in taken)


def compass() -> Iterator[Markup]:
    """Yield the arrow that says where north is."""
    x = NARROW - 16
    yield element(
        "path", d=f"M{number(x)} 12 L{number(x + 5)} 27 L{number(x)} 23 L{number(x - 5)} 27 Z", class_="north"
    )
    yield words("N", x, 40, "word", "middle")


def scale(ground: Ground) -> Iterator[Markup]:
    """Yield the scale bar with its length."""
    length_m, left, right = scale_bar(ground)
    y = HEIGHT - 12
    yield element("path", d=f"M{left:.2f} {y - 4:.1f} V{y:.1f} H{right:.2f} V{y - 4:.1f}", class_="scale")
    yield words(length_text(length_m), right + 6, y + 1, "word")


def scale_bar(ground: Ground) -> tuple[float, float, float]:
    """Return the bar's length in metres, and where it begins and ends across the drawing."""
    length_m = round_length_m(NARROW * 0.28 * ground.metres_per_unit)
    return length_m, 12.0, 12.0 + length_m / ground.metres_per_unit
