"""All sites of a book on one map, without tiles.

One surprising decision: sites that fall together share one dot and one label, because a book that spans a
continent has many of them in one valley, and the list below names each.
"""

from collections.abc import Sequence

from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.faces.report.drawings.furniture import (
    HEIGHT,
    MARGIN,
    DrawnSpot,
    compass,
    dot,
    labels_for,
    put_names,
    scale,
)
from logbook.faces.report.drawings.ground import Ground, ground_for
from logbook.faces.report.drawings.svg import NARROW, drawing, rect
from logbook.faces.report.models import Drawing
from logbook.faces.words.phrases import counted, position_text, sentence

TOGETHER = 9.0  # units; dots nearer than this are one
LEAST_M = 20_000.0  # the map shows at least so much ground across
MOST_NAMES = 2  # of sites that share a dot; more are counted


def sites_map(sites: Sequence[Site]) -> tuple[Drawing, ...]:
    """Return the map of all sites whose position is known, or () where none is."""
    placed = [(site, site.position) for site in sites if site.position]
    if not placed:
        return ()
    inner = NARROW - 2 * MARGIN, HEIGHT - 2 * MARGIN
    ground = ground_for((position for _, position in placed), *inner, LEAST_M)
    ground = Ground(ground.middle, ground.metres_per_unit, NARROW / 2, HEIGHT / 2 - 6)
    spots = _spots([(site.title, position) for site, position in placed], ground)
    labels = labels_for(spots)
    put_names(spots, labels)
    marks = [rect(0.5, 0.5, NARROW - 1, HEIGHT - 1, "frame"), *map(dot, spots)]
    marks += [*labels.marks, *compass(), *scale(ground)]
    said = tuple(sentence(f"{site.title}: {position_text(*_degrees(at), 3)}") for site, at in placed)
    description = sentence(f"{counted(len(placed), 'site')}; described in words below")
    svg = drawing("all-sites", "Map of all sites", description, (NARROW, HEIGHT), marks, "map")
    note = f"North is up. Sketch map from recorded positions. Do not navigate by it. {labels.note()}"
    return (Drawing("all-sites", "All sites", svg, None, note.strip(), said),)


def _degrees(position: Position) -> tuple[float, float]:
    return position.latitude_deg, position.longitude_deg


def _spots(places: Sequence[tuple[str, Position]], ground: Ground) -> list[DrawnSpot]:
    groups: list[tuple[float, float, list[str]]] = []
    for title, position in places:
        x, y = ground.xy(position)
        near = next((names for gx, gy, names in groups if abs(gx - x) + abs(gy - y) < TOGETHER), None)
        if near is None:
            groups.append((x, y, [title]))
        else:
            near.append(title)
    return [DrawnSpot(x, y, _label(names), is_area=False) for x, y, names in groups]


def _label(names: Sequence[str]) -> tuple[str, ...]:
    more = len(names) - MOST_NAMES
    return (*names[:MOST_NAMES], f"and {more} more") if more > 1 else tuple(names)
