"""Viewpoints as people name new ones (`Barrier at quarry`), and as spots on the ground near a place.

One surprising decision: every viewpoint of the book can be where a picture was made, not only those that a
plan or a visit ties to the trip; a box around each place keeps thousands of them fast.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from math import cos, radians

from logbook.craft.stays import REACH_M
from logbook.domain.checks import check_title
from logbook.domain.errors import NotFoundError
from logbook.domain.names import slug_of
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.services.kinds import SITE, VIEWPOINT
from logbook.services.records import find, put_new
from logbook.store import comparisons
from logbook.store.comparisons import StandLine
from logbook.store.desk import Desk

AT = " at "  # between the name of a new viewpoint and its site
DEGREE_M = 110_574.0  # m; the shortest degree of latitude on WGS84, at the equator
NARROWEST = 0.001  # of a degree of longitude against one of latitude; beyond it every longitude is near


@dataclass(frozen=True, slots=True)
class NamedViewpoint:
    """The viewpoint that a name means, and whether it was entered for it."""

    viewpoint: Viewpoint
    is_new: bool


def viewpoint_named(desk: Desk, name: str, now: datetime) -> NamedViewpoint:
    """Return the viewpoint that a name means; `NAME at SITE` enters one that the book does not have there.

    Raises NotFoundError with the nearest names, and what would add it.
    """
    try:
        return NamedViewpoint(find(desk, VIEWPOINT, name), is_new=False)
    except NotFoundError as missing:
        title, at, wanted = name.rpartition(AT)
        if not at:
            how = f'to add it, write "{name}{AT}SITE" with a site in the book'
            raise NotFoundError(f"{str(missing).rstrip('.')}; {how}.") from None
    site = find(desk, SITE, wanted)
    if (known := viewpoint_at(desk, title, site)) is not None:
        return NamedViewpoint(known, is_new=False)
    check_title(title, "viewpoint")
    made = put_new(desk, VIEWPOINT, now, {"title": title.strip(), "site_id": site.id})
    return NamedViewpoint(made, is_new=True)


def viewpoint_at(desk: Desk, name: str, site: Site) -> Viewpoint | None:
    """Return the viewpoint of a site that a name means whole, or None where it is new there."""
    at_site = desk.viewpoints.all(site_id=site.id)
    return next((one for one in at_site if slug_of(name) in (one.slug, slug_of(one.title))), None)


@dataclass(frozen=True, slots=True)
class Spot:
    """A viewpoint with a position; `key` is its slug."""

    key: str
    latitude_deg: float
    longitude_deg: float


def spots_near(
    desk: Desk, places: Iterable[tuple[float, float]], reach_m: float = REACH_M
) -> tuple[Spot, ...]:
    """Return the viewpoints of the book in a box of `reach_m` around any of some places in degrees."""
    return near(comparisons.stands(desk), places, reach_m)


def near(
    stands: Iterable[StandLine], places: Iterable[tuple[float, float]], reach_m: float = REACH_M
) -> tuple[Spot, ...]:
    """Return those of some viewpoints that lie in a box around any of some places, by their slugs."""
    spots = [
        Spot(one.slug, one.latitude_deg, one.longitude_deg)
        for one in stands
        if one.latitude_deg is not None and one.longitude_deg is not None
    ]
    spots.sort(key=lambda spot: spot.latitude_deg)
    latitudes = [spot.latitude_deg for spot in spots]
    height_deg = reach_m / DEGREE_M
    found: dict[str, Spot] = {}
    for latitude_deg, longitude_deg in set(places):
        first = bisect_left(latitudes, latitude_deg - height_deg)
        last = bisect_right(latitudes, latitude_deg + height_deg)
        narrow = cos(radians(min(90.0, abs(latitude_deg) + height_deg)))
        width_deg = height_deg / narrow if narrow > NARROWEST else 180.0
        for spot in spots[first:last]:
            east_deg = abs(spot.longitude_deg - longitude_deg) % 360
            if min(east_deg, 360 - east_deg) <= width_deg:
                found[spot.key] = spot
    return tuple(found[key] for key in sorted(found))
