"""Areas on a map: the cells to which places were rounded on purpose, and what they are called.

One surprising decision: touching cells of the same sites are one area with one name and no line between
them, because two squares of one name read as two places of that name.
"""

from collections.abc import Iterator

from markupsafe import Markup

from logbook.domain.measures import CELL_DEG
from logbook.domain.position import Position
from logbook.faces.report.drawings.furniture import DrawnSpot
from logbook.faces.report.drawings.ground import Ground
from logbook.faces.report.drawings.places import ShownPlace
from logbook.faces.report.drawings.svg import element, number

Cell = tuple[int, int]  # of latitude and longitude, counted from the equator and the first meridian


def _cells(group: list[ShownPlace]) -> list[tuple[tuple[str, ...], list[Cell]]]:
    """The cells of a tenth of a degree in which places lie, touching ones of the same sites together."""
    sites: dict[Cell, tuple[str, ...]] = {}
    for one in group:
        cell = round(one.position.latitude_deg / CELL_DEG), round(one.position.longitude_deg / CELL_DEG)
        sites[cell] = tuple(dict.fromkeys((*sites.get(cell, ()), one.site)))
    found: list[tuple[tuple[str, ...], list[Cell]]] = []
    for cell, names in sites.items():
        touching = [
            held for held in found if held[0] == names and any(_apart(cell, other) == 1 for other in held[1])
        ]
        found = [held for held in found if held not in touching]
        found.append((names, [*(other for held in touching for other in held[1]), cell]))
    return found


def _apart(one: Cell, other: Cell) -> int:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])


def areas(group: list[ShownPlace], ground: Ground) -> list[DrawnSpot]:
    """Return one spot for every area: in its middle, or in one of its cells where the middle lies outside."""
    spots = []
    for names, cells in _cells(group):
        middle = tuple(sum(cell[axis] for cell in cells) / len(cells) for axis in (0, 1))
        inside = any(max(abs(middle[axis] - cell[axis]) for axis in (0, 1)) <= 0.5 for cell in cells)
        north, east = middle if inside else cells[0]
        spots.append(DrawnSpot(*_corner(ground, north, east), names, is_area=True))
    return spots


def area_marks(group: list[ShownPlace], ground: Ground) -> Iterator[Markup]:
    """Return the whole cells to which places were rounded; a place lies somewhere in them."""
    for _, cells in _cells(group):
        fill, edge = "", ""
        for north, east in cells:
            corners = [(north + 0.5, east - 0.5), (north + 0.5, east + 0.5), (north - 0.5, east + 0.5)]
            corners.append((north - 0.5, east - 0.5))
            points = [" ".join(map(number, _corner(ground, *corner))) for corner in corners]
            fill += f"M{' L'.join(points)} Z "
            beside = ((north + 1, east), (north, east + 1), (north - 1, east), (north, east - 1))
            for side, other in enumerate(beside):
                if other not in cells:  # from the same end for both neighbours, so that their dashes meet
                    begin, end = sorted((points[side], points[(side + 1) % 4]))
                    edge += f"M{begin} L{end} "
        inside = element("path", d=fill.strip(), class_="cells")
        inside += element("path", d=edge.strip(), class_="edge")
        yield element("g", inside, class_="area")


def _corner(ground: Ground, north: float, east: float) -> tuple[float, float]:
    """Where a point given in cells lies in the drawing."""
    latitude_deg = min(max(north * CELL_DEG, -90.0), 90.0)
    return ground.xy(Position(latitude_deg, (east * CELL_DEG + 180) % 360 - 180))
