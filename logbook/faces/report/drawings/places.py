"""The places that a drawing shows: viewpoints that were used, and sites without a placed viewpoint."""

from dataclasses import dataclass

from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.faces.report.order import Order
from logbook.faces.words.prose import line


@dataclass(frozen=True, slots=True)
class ShownPlace:
    """A place as it is drawn: `position` is rounded where `is_area`."""

    place: Site | Viewpoint
    name: str
    site: str
    position: Position
    is_area: bool


def shown_places(order: Order) -> tuple[ShownPlace, ...]:
    """Return the viewpoints that the trip used, and the sites of which no viewpoint has a position."""
    account = order.account
    viewpoints = order.viewpoints_used()
    placed = {one.site_id for one in viewpoints if one.position}
    sites = [one for key, one in account.sites.items() if key not in placed]
    shown = []
    candidates: tuple[Site | Viewpoint, ...] = (*viewpoints, *sites)
    for place in candidates:
        if place.position:
            site = account.sites.get(place.site_id) if isinstance(place, Viewpoint) else place
            names = line(place.title), line((site or place).title)
            shown.append(ShownPlace(place, *names, place.position, account.is_area(place)))
    return tuple(sorted(shown, key=lambda one: (one.name, one.place.slug)))
