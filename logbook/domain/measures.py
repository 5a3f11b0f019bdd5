"""Short distances on the ellipsoid, and the grid to which an area is rounded.

One surprising decision: distances here are of flat pieces of the earth. They are right within a percent up to
some tens of kilometres, and hundreds of times faster than geodesics.
"""

import math

from logbook.domain.position import Position

CELL_DEG = 0.1  # to which an area is rounded, in latitude and longitude
_EQUATOR_M, _FLATTENING = 6378137.0, 1 / 298.257223563  # WGS84 (NIMA TR8350.2, table 3.1)


def metres_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Return metres per degree of latitude and of longitude on the WGS84 ellipsoid.

    From its radii of curvature (Snyder, Map Projections: A Working Manual, USGS PP 1395, eq. 4-18, 4-20).
    """
    latitude = math.radians(latitude_deg)
    e2 = _FLATTENING * (2 - _FLATTENING)
    bend = 1 - e2 * math.sin(latitude) ** 2
    degree = math.pi / 180 * _EQUATOR_M
    return degree * (1 - e2) / bend**1.5, degree * math.cos(latitude) / math.sqrt(bend)


def metres_apart(first: Position, second: Position) -> float:
    """Return about how far two places are apart; right within a percent up to some tens of kilometres."""
    north_m, east_m = metres_per_degree((first.latitude_deg + second.latitude_deg) / 2)
    turn = (second.longitude_deg - first.longitude_deg + 180) % 360 - 180
    return math.hypot((second.latitude_deg - first.latitude_deg) * north_m, turn * east_m)
