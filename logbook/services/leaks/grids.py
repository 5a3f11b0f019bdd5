"""Codes for a place: UTM and MGRS, geohash, plus codes and Maidenhead locators.

One surprising decision: UTM is projected forwards only. What is written is compared in the plane of its own
grid, where metres are metres. Sources: Karney 2011 (Krüger's series to the third order, below a millimetre),
NGA.STND.0037 (UTM, letters of MGRS), Niemeyer's geohash, open location code 1.0, IARU's locator.
"""

import math
from dataclasses import dataclass

from logbook.domain.position import Position

_A, _F = 6_378_137.0, 1 / 298.257223563  # WGS84
_N = _F / (2 - _F)
_RADIUS = _A / (1 + _N) * (1 + _N**2 / 4 + _N**4 / 64)
_ALPHA = (
    _N / 2 - 2 * _N**2 / 3 + 5 * _N**3 / 16,
    13 * _N**2 / 48 - 3 * _N**3 / 5,
    61 * _N**3 / 240,
)
POLAR_DEG = 84.0  # beyond which nobody uses UTM
_SCALE, _EAST_M, _SOUTH_M = 0.9996, 500_000.0, 10_000_000.0
SQUARE_M = 100_000.0
_COLUMNS = ("ABCDEFGH", "JKLMNPQR", "STUVWXYZ")
_ROWS = "ABCDEFGHJKLMNPQRSTUV"
BASE_32 = "0123456789bcdefghjkmnpqrstuvwxyz"
BASE_20 = "23456789CFGHJMPQRVWX"


@dataclass(frozen=True, slots=True)
class EarthPiece:
    """A piece of the earth that a code names: its south-west corner and its size, degrees."""

    south_deg: float
    west_deg: float
    height_deg: float
    width_deg: float


@dataclass(frozen=True, slots=True)
class Plane:
    """A point in one UTM zone, metres; northings in the south carry 10,000 km."""

    zone: int
    east_m: float
    north_m: float

    @property
    def row_m(self) -> float:
        """The northing from the equator that MGRS counts rows of squares from."""
        return self.north_m % (len(_ROWS) * SQUARE_M)


def zone_of(longitude_deg: float) -> int:
    """Return the regular UTM zone (1 to 60) of a longitude; the exceptions of Norway are their neighbours."""
    return int((longitude_deg + 180) // 6) % 60 + 1


def plane_of(position: Position, zone: int) -> Plane:
    """Return a position (WGS84) as UTM coordinates of a zone, its own or a neighbouring one."""
    phi = math.radians(max(-POLAR_DEG, min(POLAR_DEG, position.latitude_deg)))
    turn = (position.longitude_deg - (zone * 6 - 183) + 180) % 360 - 180
    lam = math.radians(turn)
    e = math.sqrt(_F * (2 - _F))
    tau = math.sinh(math.atanh(math.sin(phi)) - e * math.atanh(e * math.sin(phi)))
    xi = math.atan2(tau, math.cos(lam))
    eta = math.atanh(math.sin(lam) / math.hypot(1.0, tau))
    north = xi + sum(a * math.sin(2 * k * xi) * math.cosh(2 * k * eta) for k, a in enumerate(_ALPHA, 1))
    east = eta + sum(a * math.cos(2 * k * xi) * math.sinh(2 * k * eta) for k, a in enumerate(_ALPHA, 1))
    south = _SOUTH_M if position.latitude_deg < 0 else 0.0
    return Plane(zone, _EAST_M + _SCALE * _RADIUS * east, south + _SCALE * _RADIUS * north)


def square_of(point: Plane) -> str:
    """Return the two letters of the 100 km square of MGRS that a point lies in."""
    column = int(point.east_m // SQUARE_M) - 1
    row = int(point.north_m // SQUARE_M) + (5 if point.zone % 2 == 0 else 0)
    return _COLUMNS[(point.zone - 1) % 3][max(0, min(7, column))] + _ROWS[row % len(_ROWS)]


def geohash_cell(code: str) -> EarthPiece:
    """Return the cell of a geohash, in lower case; raises ValueError for a letter that has no value."""
    south, north, west, east = -90.0, 90.0, -180.0, 180.0
    bits = [BASE_32.index(letter) >> shift & 1 for letter in code for shift in (4, 3, 2, 1, 0)]
    for place, bit in enumerate(bits):
        if place % 2 == 0:
            middle = (west + east) / 2
            west, east = (middle, east) if bit else (west, middle)
        else:
            middle = (south + north) / 2
            south, north = (middle, north) if bit else (south, middle)
    return EarthPiece(south, west, north - south, east - west)


def plus_cell(digits: str) -> EarthPiece:
    """Return the cell of a full plus code's digits, in upper case and without its plus sign."""
    south, west, step = -90.0, -180.0, 400.0
    for place in range(0, min(len(digits), 10) - 1, 2):
        step /= 20
        south += BASE_20.index(digits[place]) * step
        west += BASE_20.index(digits[place + 1]) * step
    height = width = step
    for letter in digits[10:]:
        value = BASE_20.index(letter)
        height, width = height / 5, width / 4
        south += value // 4 * height
        west += value % 4 * width
    return EarthPiece(south, west, height, width)


def plus_digits(position: Position) -> str:
    """Return the ten digits of a position's plus code, without its plus sign."""
    north = min(max(position.latitude_deg + 90, 0.0), 180 - 1e-9)
    east = (position.longitude_deg + 180) % 360
    digits, step = "", 20.0
    for _ in range(5):
        digits += BASE_20[int(north // step)] + BASE_20[int(east // step)]
        north, east, step = north % step, east % step, step / 20
    return digits


def maidenhead_cell(code: str) -> EarthPiece:
    """Return the cell of a locator of 4, 6, 8 or 10 characters, in upper case."""
    south, west, height, width = -90.0, -180.0, 180.0, 360.0
    for place in range(0, len(code) - 1, 2):
        parts = 18 if place == 0 else 24 if place % 4 == 0 else 10
        height, width = height / parts, width / parts
        first, second = code[place], code[place + 1]
        base = "0" if first.isdigit() else "A"
        west += (ord(first) - ord(base)) * width
        south += (ord(second) - ord(base)) * height
    return EarthPiece(south, west, height, width)
