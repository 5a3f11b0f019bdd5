"""Places in metres of a grid: UTM and MGRS, as they are written, and where a position lies in them.

Sources: NIMA TM 8358.1 and 8358.2 (zones, letters, false origins); the projection is Krüger's series as in
C. Karney, "Transverse Mercator with an accuracy of a few nanometers", J. Geodesy 85 (2011), eq. 7-9, 35.

One surprising decision: nothing is projected back. A hidden place is laid into its own zone and the two
beside it, and what a text says is compared there, in metres.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from logbook.domain.position import Position

ZONES = 60
FALSE_NORTHING_M = 10_000_000  # in the southern hemisphere
ROWS_REPEAT_M = 2_000_000  # the twenty letters of MGRS rows
_SQUARE_M = 100_000
_FALSE_EASTING_M = 500_000
_SCALE = 0.9996
_EQUATOR_M, _FLATTENING = 6378137.0, 1 / 298.257223563  # WGS84 (NIMA TR8350.2, table 3.1)
_N = _FLATTENING / (2 - _FLATTENING)
_RECTIFYING_M = _EQUATOR_M / (1 + _N) * (1 + _N**2 / 4 + _N**4 / 64)
_ALPHA = (
    _N / 2 - 2 * _N**2 / 3 + 5 * _N**3 / 16 + 41 * _N**4 / 180,
    13 * _N**2 / 48 - 3 * _N**3 / 5 + 557 * _N**4 / 1440,
    61 * _N**3 / 240 - 103 * _N**4 / 140,
    49561 * _N**4 / 161280,
)
_COLUMNS = ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")  # by zone modulo 3
_ROWS = "ABCDEFGHJKLMNPQRSTUV"
_MGRS = re.compile(
    r"(?<![^\W_])(?:(\d{1,2})[\s/-]?([C-HJ-NP-X])[\s/-]?)?([A-HJ-NP-Z])\s?([A-HJ-NP-V])"
    r"(?:[\s/-]?(\d{1,5})[\s,;/-]{1,2}(\d{1,5})|[\s/-]?(\d{2,10}))?(?![^\W_])",
    re.IGNORECASE,
)
_OF_EASTING, _EASTING_AND_NORTHING = 6, 13  # figures, where the two are run together
_METRES = re.compile(r"\d+")
_GROUP = re.compile(r"[\s'’.,]")
_ZONE_BEFORE = re.compile(r"(?:zone\s?)?\b\d{1,2}\s?[A-Z]?[\s,;:]{1,2}(?:[NE]\s?)?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class GridReference:
    """An MGRS reference: metres east in its zone, metres north modulo ROWS_REPEAT_M, and how exactly."""

    begin: int
    end: int
    zone: int
    easting_m: float
    northing_m: float
    unit_m: float


@dataclass(frozen=True, slots=True)
class Metres:
    """A number that may be an easting or a northing."""

    begin: int
    end: int
    value_m: float


def zone_of(position: Position) -> int:
    """Return the UTM zone that a longitude lies in, without the exceptions of Norway and Svalbard."""
    return int((position.longitude_deg + 180) // 6) % ZONES + 1


def zones_near(position: Position) -> tuple[int, int, int]:
    """Return the zone of a position and the two beside it."""
    zone = zone_of(position)
    return zone, zone % ZONES + 1, (zone - 2) % ZONES + 1


def projected(position: Position, zone: int) -> tuple[float, float]:
    """Return easting and northing in a zone, metres; northing from the equator, without a false one."""
    latitude = math.radians(max(-89.9, min(89.9, position.latitude_deg)))
    turn = (position.longitude_deg - (zone * 6 - 183) + 180) % 360 - 180
    longitude = math.radians(max(-80.0, min(80.0, turn)))
    e = math.sqrt(_FLATTENING * (2 - _FLATTENING))
    tau = math.tan(latitude)
    sigma = math.sinh(e * math.atanh(e * tau / math.hypot(1, tau)))
    tau = tau * math.hypot(1, sigma) - sigma * math.hypot(1, tau)
    xi = math.atan2(tau, math.cos(longitude))
    eta = math.asinh(math.sin(longitude) / math.hypot(tau, math.cos(longitude)))
    east = eta + sum(a * math.cos(2 * j * xi) * math.sinh(2 * j * eta) for j, a in enumerate(_ALPHA, 1))
    north = xi + sum(a * math.sin(2 * j * xi) * math.cosh(2 * j * eta) for j, a in enumerate(_ALPHA, 1))
    return _FALSE_EASTING_M + _SCALE * _RECTIFYING_M * east, _SCALE * _RECTIFYING_M * north


def grid_references(text: str, zones: tuple[int, ...]) -> Iterator[GridReference]:
    """Yield every MGRS reference; one that names no zone is read in each of these where it can be."""
    for found in _MGRS.finditer(text):
        zone, _, column, row, east, north, both = found.groups()
        figures = (east or "") + (north or "") or both or ""
        if len(figures) % 2 or (east and len(east) != len(north)) or (not zone and len(figures) < 4):
            continue
        half = len(figures) // 2
        unit_m = 10.0 ** (5 - half)
        for one in (int(zone),) if zone else zones:
            columns = _COLUMNS[one % 3]
            if not 1 <= one <= ZONES or column.upper() not in columns:
                continue
            easting_m = (columns.index(column.upper()) + 1) * _SQUARE_M + int(figures[:half] or 0) * unit_m
            shift = 0 if one % 2 else 5
            row_m = (_ROWS.index(row.upper()) - shift) % 20 * _SQUARE_M
            northing_m = row_m + int(figures[half:] or 0) * unit_m
            middle = unit_m / 2
            yield GridReference(*found.span(), one, easting_m + middle, northing_m + middle, unit_m)


def metres(text: str) -> Iterator[Metres]:
    """Yield every number of four to eight figures, also in groups of three, with a UTM zone before it.

    Within a degree of the equator a northing has few.
    """
    found = list(_METRES.finditer(text))
    for at, one in enumerate(found):
        figures = one[0]
        for last in range(at, min(at + 3, len(found))):
            if last > at:
                gap = text[found[last - 1].end() : found[last].start()]
                if len(found[last][0]) != 3 or not _GROUP.fullmatch(gap):
                    break
                figures += found[last][0]
            if last == at and len(figures) == _EASTING_AND_NORTHING:
                cut = one.start() + _OF_EASTING
                yield Metres(one.start(), cut, float(figures[:_OF_EASTING]))
                yield Metres(cut, one.end(), float(figures[_OF_EASTING:]))
            if 4 <= len(figures) <= 8:
                zone = _ZONE_BEFORE.search(text[max(0, one.start() - 14) : one.start()])
                begin = one.start() - len(zone[0]) if zone else one.start()
                yield Metres(begin, found[last].end(), float(figures))
