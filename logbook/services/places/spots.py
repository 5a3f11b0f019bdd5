"""Viewpoints of the book as spots on the ground, those that matter for some places only.

One surprising decision: every viewpoint of the book can be where a picture was made, not only those that a
plan or a visit ties to the trip; a box around each place keeps thousands of them fast.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, radians

from logbook.craft.stays import REACH_M
from logbook.store import comparisons
from logbook.store.comparisons import StandLine
from logbook.store.desk import Desk

DEGREE_M = 110_574.0  # m; the shortest degree of latitude on WGS84, at the equator
NARROWEST = 0.001  # of a degree of longitude against one of latitude; beyond it every longitude is near


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
