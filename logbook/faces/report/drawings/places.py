"""Which places and which parts of a track a drawing may use, and how exactly.

One surprising decision: nothing is decided here. What others may be shown is said in `domain`, for drawings
and exports alike.
"""

from dataclasses import dataclass

from logbook.domain.measures import CELL_DEG, metres_apart, metres_per_degree
from logbook.domain.position import Position, rounded_to_area
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Disclosure
from logbook.faces.report.order import Order
from logbook.faces.report.privacy import PageDiscretion

__all__ = [
    "CELL_DEG",
    "ShownPlace",
    "metres_apart",
    "metres_per_degree",
    "shown_places",
    "shown_position",
]


def as_shown(position: Position, is_area: bool) -> tuple[Position, bool]:
    """Return a position as it may be shown, and whether it is rounded to an area."""
    return (rounded_to_area(position, CELL_DEG), True) if is_area else (position, False)


@dataclass(frozen=True, slots=True)
class ShownPlace:
    """A place as it may be drawn: `position` is already rounded where `is_area`."""

    place: Site | Viewpoint
    name: str
    site: str
    position: Position
    is_area: bool


def shown_position(say: PageDiscretion, viewpoint_id: str | None) -> tuple[Position, bool] | None:
    """Return where a viewpoint, else its site, may be said to lie, and whether that is rounded to an area."""
    viewpoint = say.viewpoint(viewpoint_id)
    if viewpoint is None:
        return None
    place: Site | Viewpoint | None = viewpoint if viewpoint.position else say.site(viewpoint.site_id)
    if place is None or place.position is None:
        return None
    return as_shown(place.position, Disclosure.AREA in (say.shown(place), say.shown(viewpoint)))


def shown_places(order: Order, say: PageDiscretion) -> tuple[ShownPlace, ...]:
    """Return the viewpoints that the trip used, and the sites of which no viewpoint has a position."""
    account = order.account
    used = [one.viewpoint_id for one in account.visits]
    used += [one.viewpoint_id for one in order.shots if one.viewpoint_id]
    used += [one.viewpoint_id for one in order.keepers if one.viewpoint_id]
    viewpoints = [found for key in dict.fromkeys(used) if (found := say.viewpoint(key))]
    placed = {one.site_id for one in viewpoints if one.position}
    sites = [one for key, one in account.sites.items() if key not in placed and say.site(key)]
    shown = []
    candidates: tuple[Site | Viewpoint, ...] = (*viewpoints, *sites)
    for place in candidates:
        if place.position:
            position, is_area = as_shown(place.position, say.shown(place) is Disclosure.AREA)
            shown.append(ShownPlace(place, say.line(place.title), _site_name(say, place), position, is_area))
    return tuple(sorted(shown, key=lambda one: (one.name, one.place.slug)))


def _site_name(say: PageDiscretion, place: Site | Viewpoint) -> str:
    site = say.site(place.site_id) if isinstance(place, Viewpoint) else place
    return say.line((site or place).title)
