"""Places as codes: geohash, Open Location Code ("plus code") and Maidenhead locator, decoded to their cells.

Sources: G. Niemeyer's geohash, which he gave to the public domain; Open Location Code specification 1.0 (for
short codes its section on recovery near a reference); the locator system of the IARU (1980).

One surprising decision: whatever looks like a code is decoded; where it leads decides whether it is one.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from logbook.domain.position import Position

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
