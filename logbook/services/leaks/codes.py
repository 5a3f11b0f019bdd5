"""Finding grid references and codes in a text that name a piece of the earth with something hidden in it.

One surprising decision: any word that could be a code is taken for one, "trees" is a geohash; what it would
mean lies somewhere else on the earth, unless it is meant.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logbook.domain.position import Position
from logbook.services.leaks.grids import (
    BASE_20,
    BASE_32,
    SQUARE_M,
    EarthPiece,
    Plane,
    geohash_cell,
    maidenhead_cell,
    plane_of,
    plus_cell,
    plus_digits,
    square_of,
    zone_of,
)
from logbook.services.leaks.hidden import HiddenPosition
from logbook.services.leaks.numbers import Digits

TELLING_DEG = 0.0505  # height of the largest cell that tells more than an area of a tenth of a degree does
_GEOHASH = re.compile(rf"(?<![0-9a-z])[{BASE_32}]{{5,12}}(?![0-9a-z])", re.IGNORECASE)
_GEOHASH_IN_GROUPS = re.compile(
    rf"(?<![0-9a-z])[{BASE_32}]{{2,6}}(?:[ .-][{BASE_32}]{{2,6}}){{1,4}}(?![0-9a-z])", re.IGNORECASE
)
_LONGEST_GEOHASH = 12
_INDEXED = 4  # letters of a geohash by which it is looked up
_PLUS = re.compile(rf"(?<![0-9A-Z])([{BASE_20}]{{2,8}})0*\s?\+\s?([{BASE_20}]{{0,7}})(?![0-9A-Z])")
_FULL = 8  # digits before the plus of a code that needs no town
_BARE_PLUS = re.compile(rf"(?<![0-9A-Z])[{BASE_20}]{{10,15}}(?![0-9A-Z])")
_LOCATOR = re.compile(r"(?<![0-9A-Z])[A-R]{2}[ -]?\d{2}[ -]?[A-X]{2}(?:[ -]?\d{2}(?:[A-X]{2})?)?(?![0-9A-Z])")
_SQUARE = re.compile(
    r"(?<![0-9A-Z])(?:\d{1,2}[\s/-]?[C-X][\s/-]?)?([A-HJ-NP-Z]\s?[A-HJ-NP-V])[\s/_-]?"
    r"(\d{2,5})[\s,;/_-]{0,2}(\d{2,5})(?!\d)"
)
_THOUSANDS = (" ", ".", ",", "'", "’", "_")
LONGEST_BETWEEN = 20  # characters between easting and northing


@dataclass(frozen=True, slots=True)
class _Metres:
    """A number of metres in a text: its value, what its last place is worth, the runs it takes up."""

    value: int
    unit: int
    end: int


class Codes:
    """What is hidden, ready to be met by grid references and codes."""

    def __init__(self, hidden: Sequence[HiddenPosition]) -> None:
        self._hidden = hidden
        self._planes = [(one, plane) for one in hidden for plane in _planes(one.position)]
        self._geohashes: dict[str, list[HiddenPosition]] = {}
        for one in hidden:
            for corner in _corners(one):
                self._geohashes.setdefault(_geohash(corner), []).append(one)

    def in_text(self, text: str, digits: Digits) -> Iterator[str]:
        """Yield the references and codes that tell where something hidden is, as they are written."""
        if not self._hidden:
            return
        large = text.upper()
        yield from self._geohash(text)
        for found in _LOCATOR.finditer(large):
            if self._is_in(maidenhead_cell("".join(filter(str.isalnum, found[0]))), self._hidden):
                yield found[0]
        for found in _BARE_PLUS.finditer(large):
            if self._is_in(plus_cell(found[0]), self._hidden):
                yield found[0]
        for found in _PLUS.finditer(large):
            if self._is_plus(found[1], found[2]):
                yield found[0]
        for found in _SQUARE.finditer(large):
            if self._is_square(found[1], found[2], found[3]):
                yield found[0]
        yield from self._plain_metres(digits)

    def _geohash(self, text: str) -> Iterator[str]:
        for found in (*_GEOHASH.finditer(text), *_GEOHASH_IN_GROUPS.finditer(text)):
            code = "".join(filter(str.isalnum, found[0].lower()))[:_LONGEST_GEOHASH]
            if (near := self._geohashes.get(code[:_INDEXED])) and self._is_in(geohash_cell(code), near):
                yield found[0]

    @staticmethod
    def _is_in(cell: EarthPiece, hidden: Sequence[HiddenPosition]) -> bool:
        return cell.height_deg <= TELLING_DEG and any(_is_near(one, cell) for one in hidden)

    def _is_plus(self, first: str, last: str) -> bool:
        """Tell whether a plus code, full or with a town for its first digits, names something hidden."""
        if len(first) == _FULL:
            return self._is_in(plus_cell(first + last), self._hidden)
        if len(first) % 2 or len(first) + len(last) < 4:
            return False
        missing = _FULL - len(first)
        return any(
            self._is_in(plus_cell(plus_digits(one.position)[:missing] + first + last), (one,))
            for one in self._hidden
        )

    def _is_square(self, letters: str, first: str, second: str) -> bool:
        """Tell whether letters of a square of 100 km, and digits within it, are those of something hidden."""
        digits = first + second
        half = len(digits) // 2
        if len(digits) % 2 or half < 2:
            return False
        unit = 10 ** (5 - half)
        east, north = int(digits[:half]) * unit, int(digits[half:]) * unit
        for one, plane in self._planes:
            near = one.near_m + unit
            if (
                square_of(plane) == "".join(letters.split())
                and abs(plane.east_m % SQUARE_M - east) <= near
                and abs(plane.north_m % SQUARE_M - north) <= near
            ):
                return True
        return False

    def _plain_metres(self, digits: Digits) -> Iterator[str]:
        for at in range(len(digits.runs)):
            for first in _metres(digits, at):
                for second in (*_metres(digits, first.end), *_metres(digits, first.end + 1)):
                    begin = digits.runs[first.end - 1].end
                    between = digits.text[begin : digits.runs[second.end - 1].start]
                    if len(between) <= 2 * LONGEST_BETWEEN and self._is_plane(first, second):
                        yield digits.text[digits.runs[at].start : digits.runs[second.end - 1].end]

    def _is_plane(self, first: _Metres, second: _Metres) -> bool:
        return any(
            abs(one.value - plane.east_m) <= hidden.near_m + one.unit
            and abs(other.value - plane.north_m) <= hidden.near_m + other.unit
            for hidden, plane in self._planes
            for one, other in ((first, second), (second, first))
        )


def _planes(position: Position) -> Iterator[Plane]:
    """Yield a position in its UTM zone and the two beside it, which maps near a border also use."""
    zone = zone_of(position.longitude_deg)
    for step in (0, -1, 1):
        yield plane_of(position, (zone + step - 1) % 60 + 1)


def _metres(digits: Digits, at: int) -> Iterator[_Metres]:
    """Yield the numbers of six to eight digits at a run, with or without gaps between the thousands."""
    runs = digits.runs
    if at >= len(runs):
        return
    text, end = runs[at].digits, at + 1
    if 6 <= len(text) <= 8:
        yield _number(text, end)
    if len(text) > 4:
        return
    while end < len(runs) and len(runs[end].digits) == 3 and digits.gap(end - 1) in _THOUSANDS:
        text, end = text + runs[end].digits, end + 1
        if 6 <= len(text) <= 8:
            yield _number(text, end)
        if len(text) >= 7:
            return


def _number(text: str, end: int) -> _Metres:
    zeros = len(text) - len(text.rstrip("0"))
    return _Metres(int(text), 10 ** min(zeros, 3), end)


def _corners(one: HiddenPosition) -> Iterator[Position]:
    """Yield a position and points about it, so that no border of cells parts it from what is near."""
    latitude, longitude = one.near_deg
    for north in (-latitude, 0.0, latitude):
        for east in (-longitude, 0.0, longitude):
            yield Position(
                max(-90.0, min(90.0, one.position.latitude_deg + north)),
                (one.position.longitude_deg + east + 180) % 360 - 180,
            )


def _geohash(position: Position) -> str:
    """Return the first letters of a position's geohash."""
    code = ""
    for _ in range(_INDEXED):
        code += next(letter for letter in BASE_32 if _holds(geohash_cell(code + letter), position))
    return code


def _holds(cell: EarthPiece, position: Position) -> bool:
    return (
        0 <= position.latitude_deg - cell.south_deg <= cell.height_deg
        and 0 <= position.longitude_deg - cell.west_deg <= cell.width_deg
    )


def _is_near(one: HiddenPosition, cell: EarthPiece) -> bool:
    """Tell whether a cell holds something hidden, or a point that is too near to it."""
    north = (one.position.latitude_deg - cell.south_deg) - cell.height_deg / 2
    east = (one.position.longitude_deg - cell.west_deg) - cell.width_deg / 2
    near_north, near_east = one.near_deg
    return abs(north) <= cell.height_deg / 2 + near_north and abs(east) <= cell.width_deg / 2 + near_east
