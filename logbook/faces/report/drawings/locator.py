"""Where in the world a trip was: coasts and borders around one mark.

One surprising decision: the mark is a ring of some 30 km at least, on the mean of all places that are shown,
rounded like an area. It says which corner of a country, and never more than any other part of the page.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

from markupsafe import Markup

from logbook.domain.position import Position, rounded_to_area
from logbook.faces.report.drawings.ground import ground_for
from logbook.faces.report.drawings.svg import NARROW, drawing, element, number, rect
from logbook.faces.report.models import Drawing
from logbook.faces.words.phrases import position_text
from logbook.intake.outlines import FILE, OutlineKind, outlines_near

CELL_DEG = 0.5  # to which the mark is rounded
HEIGHT = 240.0  # units of the drawing
LEAST_HALF_DEG, MOST_HALF_DEG = 7.0, 40.0  # of latitude from the middle to the edge
MOST_LATITUDE_DEG = 75.0  # beyond it meridians run together too much for a plain projection
TITLE = "Where in the world"
NOTE = "Coasts and borders (dashed): Natural Earth, public domain. The ring is roughly where the trip was."
LEAST_DRAWN = 60.0  # units of line, without which a drawing tells nothing
RING = 7.0  # radius of the mark, units of the drawing


def locator(places: Sequence[Position], geography: Path) -> Drawing | None:
    """Return where a trip's places lie, or None where none is known or nothing around would tell.

    `geography` is the folder of the outlines; `places` are what may be told.
    """
    if not places:
        return None
    middle = rounded_to_area(ground_for(places, NARROW, HEIGHT, 1.0).middle, CELL_DEG)
    if abs(middle.latitude_deg) > MOST_LATITUDE_DEG:
        return None
    reach_deg = max((abs(one.latitude_deg - middle.latitude_deg) for one in places), default=0.0)
    half_deg = min(max(LEAST_HALF_DEG, 2 * reach_deg), MOST_HALF_DEG)
    squeezed = math.cos(math.radians(middle.latitude_deg))
    half_width_deg = half_deg * NARROW / HEIGHT / squeezed
    runs = [
        (_CLASSES[outline.kind], run)
        for outline in outlines_near(geography / FILE, middle, half_deg, half_width_deg)
        for run in _inside([_xy(point, middle, half_deg, half_width_deg) for point in outline.points])
    ]
    if sum(math.dist(*step) for _, run in runs for step in pairwise(run)) < LEAST_DRAWN:
        return None
    paths = [element("path", d=_line(run), class_=name) for name, run in runs]
    marks: list[Markup] = [rect(0.5, 0.5, NARROW - 1, HEIGHT - 1, "frame"), *paths]
    marks += [
        element("circle", cx=NARROW / 2, cy=HEIGHT / 2, r=radius, class_=name)
        for radius, name in ((RING, "here"), (1.6, "spot"))
    ]
    where = position_text(middle.latitude_deg, middle.longitude_deg, 0)
    said = f"coasts and borders around {where}"
    svg = drawing("locator", TITLE, said, (NARROW, HEIGHT), marks, "locator")
    return Drawing("locator", TITLE, svg, None, NOTE, (f"The trip was near {where}.",))


def _xy(
    point: tuple[float, float], middle: Position, half_deg: float, half_width_deg: float
) -> tuple[float, float]:
    """Return where a longitude and a latitude lie in the drawing."""
    across = (point[0] - middle.longitude_deg) / half_width_deg
    up = (point[1] - middle.latitude_deg) / half_deg
    return NARROW / 2 * (1 + across), HEIGHT / 2 * (1 - up)


def _line(run: Sequence[tuple[float, float]]) -> str:
    return "M" + " L".join(f"{number(x)} {number(y)}" for x, y in run)


_CLASSES = {OutlineKind.COAST: "coast", OutlineKind.BORDER: "border"}


def _inside(points: Sequence[tuple[float, float]]) -> Iterator[list[tuple[float, float]]]:
    """Yield the runs of a line inside the frame, each cut where it crosses the edge."""
    run: list[tuple[float, float]] = []
    for begin, end in pairwise(points):
        cut = _cut(begin, end)
        if cut is None:
            if len(run) > 1:
                yield run
            run = []
            continue
        if not run or run[-1] != cut[0]:
            if len(run) > 1:
                yield run
            run = [cut[0]]
        run.append(cut[1])
    if len(run) > 1:
        yield run


def _cut(
    begin: tuple[float, float], end: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return the part of a straight line inside the frame, or None (Liang and Barsky's clipping, 1984)."""
    (x, y), (across, down) = begin, (end[0] - begin[0], end[1] - begin[1])
    first, last = 0.0, 1.0
    for step, room in ((-across, x - 1), (across, NARROW - 1 - x), (-down, y - 1), (down, HEIGHT - 1 - y)):
        if step == 0:
            if room < 0:
                return None
            continue
        at = room / step
        if step < 0:
            first = max(first, at)
        else:
            last = min(last, at)
    if first > last:
        return None
    start = begin if first == 0 else (x + first * across, y + first * down)
    return start, end if last == 1 else (x + last * across, y + last * down)
