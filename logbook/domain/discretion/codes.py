"""Places as codes: UTM and MGRS grids, geohash, Open Location Code ("plus code") and Maidenhead locator.

Sources: NIMA TM 8358.1 and 8358.2 (zones, letters, false origins); the projection is Krüger's series as in
C. Karney, "Transverse Mercator with an accuracy of a few nanometers", J. Geodesy 85 (2011), eq. 7-9, 35;
G. Niemeyer's geohash, which he gave to the public domain; Open Location Code specification 1.0 (for short
codes its section on recovery near a reference); the locator system of the IARU (1980).

Surprising decisions: no grid is projected back. A hidden place is laid into its own zone and the two beside
it, and what a text says is compared there, in metres. Whatever looks like a code is decoded; where it leads
decides whether it is one.
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
_GEOHASH = "0123456789bcdefghjkmnpqrstuvwxyz"
_PLUS = "23456789CFGHJMPQRVWX"
_GEOHASHES = re.compile(rf"(?<![^\W_])[{_GEOHASH}]{{4,12}}(?![^\W_])", re.IGNORECASE)
_PARTED_GEOHASHES = re.compile(
    rf"(?<![^\W_])[{_GEOHASH}]{{2,6}}(?:[-.][{_GEOHASH}]{{2,6}}){{1,4}}(?![^\W_])", re.IGNORECASE
)
_PLUS_CODES = re.compile(
    rf"(?<![^\W_])((?:[{_PLUS}]{{4}}\s)?[{_PLUS}0]{{2,8}})\s?\+\s?([{_PLUS}]{{2,7}}(?![^\W_])|(?![^\W_]))",
    re.IGNORECASE,
)
_PLUS_CODES_WITHOUT_PLUS = re.compile(rf"(?<![^\W_])[{_PLUS}]{{10,15}}(?![^\W_])", re.IGNORECASE)
_PARTED_LOCATORS = re.compile(
    r"(?<![^\W_])([A-R]{2})[\s-]?(\d{2})[\s-]?([A-X]{2})(?:[\s-]?(\d{2})([A-X]{2})?)?(?![^\W_])",
    re.IGNORECASE,
)
_LOCATORS = re.compile(
    r"(?<![^\W_])([A-R]{2})(\d{2})(?:([A-X]{2})(?:(\d{2})([A-X]{2})?)?)?(?![^\W_])", re.IGNORECASE
)
_LONGEST_GEOHASH = 12  # letters
_PAIR_DEG = (20.0, 1.0, 0.05, 0.0025, 0.000125)  # sides of an Open Location Code's cells, by pairs of letters
_GRID_ROWS, _GRID_COLUMNS = 5, 4  # of each letter behind the tenth


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


@dataclass(frozen=True, slots=True)
class CodeCell:
    """A part of the earth: where its code stands, its middle and half its sides in degrees."""

    begin: int
    end: int
    latitude_deg: float
    longitude_deg: float
    half_height_deg: float
    half_width_deg: float


def cells(text: str) -> Iterator[CodeCell]:
    """Yield the cells of all whole codes of a text."""
    for found in _GEOHASHES.finditer(text):
        yield _geohash(found)
    for found in _PARTED_GEOHASHES.finditer(text):
        if len(re.sub("[-.]", "", found[0])) <= _LONGEST_GEOHASH:
            yield _geohash(found)
    for found in (*_LOCATORS.finditer(text), *_PARTED_LOCATORS.finditer(text)):
        yield _locator(found)
    for found in _PLUS_CODES.finditer(text):
        digits = re.sub(r"\s", "", found[1])
        if len(digits) == 8 and (cell := _plus_code(found, digits + found[2])):
            yield cell
    for found in _PLUS_CODES_WITHOUT_PLUS.finditer(text):
        if cell := _plus_code(found, found[0]):
            yield cell


def short_cells(text: str, near: Position) -> Iterator[CodeCell]:
    """Yield the cells of a text's shortened plus codes, each where it lies nearest to a reference."""
    for found in _PLUS_CODES.finditer(text):
        given = found[1].upper()
        if len(given) in (2, 4, 6) and "0" not in given and found[2]:
            missing = 8 - len(given)
            reference = encode_plus_code(near)[:missing]
            cell = _plus_code(found, reference + given + found[2])
            if cell:
                side = _PAIR_DEG[missing // 2 - 1]
                yield CodeCell(
                    cell.begin,
                    cell.end,
                    cell.latitude_deg + side * round((near.latitude_deg - cell.latitude_deg) / side),
                    cell.longitude_deg + side * round((near.longitude_deg - cell.longitude_deg) / side),
                    cell.half_height_deg,
                    cell.half_width_deg,
                )


def encode_plus_code(position: Position) -> str:
    """Return the ten letters of a position's Open Location Code, without the plus."""
    latitude = min(max(position.latitude_deg + 90, 0.0), 180 - _PAIR_DEG[-1])
    longitude = (position.longitude_deg + 180) % 360
    letters = ""
    for side in _PAIR_DEG:
        row, column = int(latitude / side + 1e-9), int(longitude / side + 1e-9)
        letters += _PLUS[min(row, 19)] + _PLUS[min(column, 19)]
        latitude, longitude = max(0.0, latitude - row * side), max(0.0, longitude - column * side)
    return letters


def _geohash(found: re.Match[str]) -> CodeCell:
    south, north, west, east = -90.0, 90.0, -180.0, 180.0
    of_longitude = True
    for letter in re.sub("[-.]", "", found[0].lower()):
        for bit in range(4, -1, -1):
            upper = _GEOHASH.index(letter) >> bit & 1
            if of_longitude:
                middle = (west + east) / 2
                west, east = (middle, east) if upper else (west, middle)
            else:
                middle = (south + north) / 2
                south, north = (middle, north) if upper else (south, middle)
            of_longitude = not of_longitude
    return _cell(found, south, west, north - south, east - west)


def _locator(found: re.Match[str]) -> CodeCell:
    """Fields of 20 by 10 degrees, squares of 2 by 1, then 24ths, tenths and 24ths again."""
    west, south, width, height = -180.0, -90.0, 360.0, 180.0
    for pair, parts in zip(found.groups(), (18, 10, 24, 10, 24), strict=True):
        if pair is None:
            break
        width, height = width / parts, height / parts
        first, second = (int(one) if one.isdigit() else ord(one.upper()) - ord("A") for one in pair)
        west, south = west + first * width, south + second * height
    return _cell(found, south, west, height, width)


def _plus_code(found: re.Match[str], code: str) -> CodeCell | None:
    south, west = -90.0, -180.0
    height = width = 400.0
    given = code.upper().rstrip("0")
    if "0" in given or len(given) < 2 or (len(given) < 10 and len(given) % 2):
        return None
    for pair, side in zip(range(0, min(len(given), 10), 2), _PAIR_DEG, strict=False):
        south += _PLUS.index(given[pair]) * side
        west += _PLUS.index(given[pair + 1]) * side
        height = width = side
    for letter in given[10:]:
        height, width = height / _GRID_ROWS, width / _GRID_COLUMNS
        row, column = divmod(_PLUS.index(letter), _GRID_COLUMNS)
        south, west = south + row * height, west + column * width
    return _cell(found, south, west, height, width) if south < 90 else None


def _cell(found: re.Match[str], south: float, west: float, height: float, width: float) -> CodeCell:
    return CodeCell(*found.span(), south + height / 2, west + width / 2, height / 2, width / 2)
