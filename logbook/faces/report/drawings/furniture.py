"""What every map has around its places: dots, names that keep out of each other's way, north, a scale.

One surprising decision: names go beside their dots before anything else is written, because a map without
them says nothing.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from logbook.faces.report.drawings.ground import Ground, length_text, round_length_m
from logbook.faces.report.drawings.labels import ROW, Labels, around
from logbook.faces.report.drawings.svg import (
    NARROW,
    Box,
    element,
    number,
    shortened,
    width_of,
    words,
)

HEIGHT = 300.0
MARGIN = 66.0  # around the places: room for cones and names
MOST_NAME = 150.0  # units


@dataclass(frozen=True, slots=True)
class DrawnSpot:
    """Places that are drawn at one point, with what is known of each."""

    x: float
    y: float
    names: tuple[str, ...]
    is_area: bool


def dot(spot: DrawnSpot) -> Markup:
    """Return the mark of a place."""
    return element("circle", cx=spot.x, cy=spot.y, r=3.5, class_="spot")


def labels_for(spots: list[DrawnSpot]) -> Labels:
    """Return labels that keep off the dots, the arrow of north and the scale."""
    taken = [Box(NARROW - 30, 0, NARROW, 46), Box(0, HEIGHT - 30, NARROW * 0.45, HEIGHT)]
    taken += [Box(one.x - 6, one.y - 6, one.x + 6, one.y + 6) for one in spots if not one.is_area]
    return Labels(NARROW, HEIGHT, taken)


def put_names(spots: list[DrawnSpot], labels: Labels) -> None:
    """Write the names beside their spots, in an area in its middle."""
    for spot in spots:
        texts = [shortened(name, MOST_NAME) for name in spot.names]
        width, height = max(map(width_of, texts)), len(texts) * ROW
        mark = spot.x, spot.y
        within = [(spot.x - width / 2, spot.y - height / 2)] if spot.is_area else []
        labels.put(texts, mark, (*within, *around(mark, width, height)), "name")


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
