"""Finding in text where a hidden place lies, in whatever notation: decoded, then measured.

A place may also be told by how far it lies from another, and in which direction ("4 km NE of the ledge").

Surprising decisions: what lies nearer than the corner of an area's cell tells where a place is. So does a
single coordinate as near as one cell, although others share it. From which place something lies so far is not
read: every place that others may know is tried, because a text calls it as it likes.
"""

import math
import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from logbook.domain.discretion.codes import (
    FALSE_NORTHING_M,
    ROWS_REPEAT_M,
    CodeCell,
    cells,
    grid_references,
    metres,
    projected,
    short_cells,
    zones_near,
)
from logbook.domain.discretion.degrees import Angle, angles
from logbook.domain.discretion.folding import SeenText, in_figures
from logbook.domain.errors import InvalidValueError
from logbook.domain.measures import CELL_DEG, metres_per_degree
from logbook.domain.position import COMPASS, Position, parse_bearing

NEAR_M = 8000.0  # metres from the middle of an area's cell to its corner, at the equator
NEAR_DEG = CELL_DEG  # degrees; a single written coordinate this near a hidden one is struck
_FINE_DEG = 0.02  # degrees; one minute, and two decimals, are finer
# What may stand between a latitude and a longitude of few figures.
_SIDE_BY_SIDE = re.compile(
    r"(?:[\s,;:/|&=°º'’′\"″+\-−–()\[\]]|and|by|lat\w*|lon\w*|lng|E7|north|south|east|west|[NSEWO度分秒]|北緯|北纬|東経|东经){0,24}",
    re.IGNORECASE,
)
_ENOUGH = 20  # readings that are measured against one; a text that repeats one would take for ever
Span = tuple[int, int]
_METRES = {"km": 1000.0, "ki": 1000.0, "m": 1.0, "me": 1.0, "mi": 1609.344, "nm": 1852.0}
_LEAST_M, _SHARE = 300.0, 0.25  # how far off is still there, at least and of the way; a wind is a fifth of it
_FAR = r"(\d+(?:[.,]\d+)?)\s?(km|kilomet(?:re|er)s?|nm|miles?|mi|met(?:re|er)s?|m)\b"
_SIDE = r"(?:north|south|east|west)"
_WAY = re.compile(
    rf"(?<![^\W_])(?:(\d{{1,3}})\s?(?:°|deg\w*)"
    rf"|({_SIDE}(?:[\s-]?{_SIDE}){{0,2}}|{'|'.join(sorted(COMPASS, key=len, reverse=True))})(?![^\W_]))",
    re.IGNORECASE,
)
_LONGEST = 60  # characters before a direction in which its distance is looked for
_BEFORE = re.compile(
    rf"{_FAR}[\s,]{{1,2}}(?:away\s)?(?:(?:to|on|in|at|due|the|a|bearing|heading|direction|of|about)\s){{0,4}}$",
    re.IGNORECASE,
)
_AFTER = re.compile(rf"[^.;\d\n]{{1,40}}?{_FAR}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class HiddenPlace:
    """A place whose position others may not know exactly; `is_withheld` where not even its area is shown."""

    position: Position
    is_withheld: bool


@dataclass(slots=True)
class HiddenPositions:
    """Hidden places, made ready once for finding them in many texts.

    `known` are positions that others may know exactly, from which distances and directions may be given.
    """

    hidden: Sequence[HiddenPlace]
    known: Sequence[Position] = ()
    _coordinates: tuple[float, ...] = field(init=False)  # latitudes and longitudes, unsigned, by size
    _scaled: tuple[tuple[HiddenPlace, tuple[float, float]], ...] = field(init=False)  # metres per degree
    _squares: frozenset[tuple[int, int]] = field(init=False)  # of a degree, in which one lies, and around it
    _laid: tuple[tuple[HiddenPlace, dict[int, tuple[float, float]]], ...] = field(init=False)  # by UTM zone
    _zones: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        places = [one.position for one in self.hidden]
        values = sorted(abs(value) for one in places for value in (one.latitude_deg, one.longitude_deg))
        self._coordinates = tuple(values)
        self._scaled = tuple((one, metres_per_degree(one.position.latitude_deg)) for one in self.hidden)
        self._squares = frozenset(
            (math.floor(one.latitude_deg) + up, (math.floor(one.longitude_deg) + over + 180) % 360)
            for one in places
            for up in (-1, 0, 1)
            for over in (-1, 0, 1)
        )
        self._laid = tuple(
            (one, {zone: projected(one.position, zone) for zone in zones_near(one.position)})
            for one in self.hidden
        )
        self._zones = tuple(sorted({zone for _, laid in self._laid for zone in laid}))

    def find(self, shown: SeenText) -> Iterator[Span]:
        """Yield where a text tells of a hidden place, as it was typed; stretches may overlap."""
        if not self.hidden:
            return
        figures = in_figures(shown)
        yield from (figures.typed(*span) for span in self._in_degrees(figures.text))
        yield from (figures.typed(*span) for span in self._off_known_places(figures.text))
        yield from (shown.typed(*span) for span in self._in_codes(shown.text))
        yield from (shown.typed(*span) for span in self._in_references(shown.text))
        yield from (shown.typed(*span) for span in self._in_metres(shown.text))

    def _in_degrees(self, text: str) -> Iterator[Span]:
        read = [one for one in angles(text, self._is_near_one) if one.unit_deg < 1 or one.is_marked]
        if not read:
            return
        single = [angle for angle in read if _is_telling(angle)]
        for one, scale in self._scaled if len(read) > 1 or single else ():
            wanted = abs(one.position.latitude_deg), abs(one.position.longitude_deg)
            for angle in single:
                if any(abs(angle.degrees - value) <= NEAR_DEG for value in wanted):
                    yield angle.begin, angle.end
            yield from _pairs(text, read, one, scale)

    def _off_known_places(self, text: str) -> Iterator[Span]:
        for told in offsets(text) if self.known else ():
            if any(
                told.leads_from(base, one.position)
                for one in self.hidden
                if one.is_withheld
                for base in self.known
            ):
                yield told.begin, told.end

    def _is_near_one(self, degrees: float, unit_deg: float) -> bool:
        """Whether an angle may be a coordinate of some hidden place, or near it."""
        slack = NEAR_DEG + unit_deg
        if 180.0 - degrees < slack or degrees > 85.0:  # a degree of longitude is short near the poles
            slack += 1.0
        at = bisect_left(self._coordinates, degrees - slack)
        return at < len(self._coordinates) and self._coordinates[at] <= degrees + slack

    def _in_codes(self, text: str) -> Iterator[Span]:
        whole = [cell for cell in cells(text) if self._may_lead(cell)]
        for one in self.hidden:
            short = short_cells(text, one.position) if "+" in text else ()
            for cell in (*whole, *short):
                if _leads_to(cell, one):
                    yield cell.begin, cell.end

    def _may_lead(self, cell: CodeCell) -> bool:
        square = math.floor(cell.latitude_deg), (math.floor(cell.longitude_deg) + 180) % 360
        return cell.half_height_deg > CELL_DEG or square in self._squares

    def _in_references(self, text: str) -> Iterator[Span]:
        for found in grid_references(text, self._zones):
            for one, laid in self._laid:
                if found.zone not in laid or (found.unit_m > NEAR_M and not one.is_withheld):
                    continue
                east_m, north_m = laid[found.zone]
                off_m = math.remainder(found.northing_m - north_m, ROWS_REPEAT_M)
                if math.hypot(found.easting_m - east_m, off_m) < NEAR_M + found.unit_m / math.sqrt(2):
                    yield found.begin, found.end

    def _in_metres(self, text: str) -> Iterator[Span]:
        """UTM: an easting and a northing anywhere in a text, in a hidden place's zone or one beside it."""
        numbers = list(metres(text))
        if len(numbers) < 2:
            return
        for _, laid in self._laid:
            for east_m, north_m in laid.values():
                wanted = (abs(north_m), north_m % FALSE_NORTHING_M)  # of either hemisphere
                easts = [one for one in numbers if abs(one.value_m - east_m) < NEAR_M]
                norths = [
                    one for one in numbers if any(abs(one.value_m - north) < NEAR_M for north in wanted)
                ]
                if easts and norths:
                    yield from ((one.begin, one.end) for one in (*easts, *norths))


def _is_telling(angle: Angle) -> bool:
    """Whether a single coordinate is exact enough, and surely one."""
    if angle.is_packed:
        return False
    if angle.parts == 1:
        return angle.unit_deg <= 0.0011 or (angle.is_marked and angle.unit_deg < _FINE_DEG)
    return angle.is_marked


def _pairs(
    text: str, read: Sequence[Angle], hidden: HiddenPlace, scale: tuple[float, float]
) -> Iterator[Span]:
    """Latitudes and longitudes that together tell of a place: fine ones anywhere, others side by side."""
    place = hidden.position
    latitudes = _as_near(read, abs(place.latitude_deg), scale[0])
    longitudes = _as_near(read, abs(place.longitude_deg), scale[1]) if latitudes else []
    if not longitudes:
        return
    for some, others in ((latitudes, longitudes), (longitudes, latitudes)):
        for one, off_m in some:
            if any(
                math.hypot(off_m, other_m) < NEAR_M and _together(text, one, other, hidden)
                for other, other_m in _within_reach(one, others)
            ):
                yield one.begin, one.end


def _as_near(read: Sequence[Angle], wanted: float, scale_m: float) -> list[tuple[Angle, float]]:
    """Return the angles near a coordinate, by place, each with its distance in metres."""
    found = [(one, max(0.0, abs(one.degrees - wanted) - one.unit_deg) * scale_m) for one in read]
    return [pair for pair in found if pair[1] < NEAR_M]


def _within_reach(one: Angle, others: Sequence[tuple[Angle, float]]) -> Iterator[tuple[Angle, float]]:
    """Yield what may belong to an angle: what stands beside it, and of the rest as many as are enough."""
    at = bisect_left(others, one.begin, key=lambda pair: pair[0].begin)
    yield from others[max(0, at - _ENOUGH) : at + _ENOUGH]
    yield from others[:_ENOUGH]


def _together(text: str, one: Angle, other: Angle, hidden: HiddenPlace) -> bool:
    """Whether two readings may be meant as one position."""
    if one.begin < other.end and other.begin < one.end:
        return False  # of the same figures
    coarsest = max(one.unit_deg, other.unit_deg)
    if coarsest >= CELL_DEG * 0.99 and not hidden.is_withheld:
        return False  # no more than what is shown of an area
    if coarsest < _FINE_DEG and not (one.is_packed or other.is_packed):
        return True
    first, second = sorted((one, other), key=lambda angle: angle.begin)
    return one.is_packed is other.is_packed and bool(_SIDE_BY_SIDE.fullmatch(text, first.end, second.begin))


def _leads_to(cell: CodeCell, hidden: HiddenPlace) -> bool:
    """Whether a code's cell lies near a hidden place; one wider than an area tells nothing of an area."""
    if max(cell.half_height_deg, cell.half_width_deg) * 2 > CELL_DEG and not hidden.is_withheld:
        return False
    place = hidden.position
    north_m, east_m = metres_per_degree(place.latitude_deg)
    north = max(0.0, abs(cell.latitude_deg - place.latitude_deg) - cell.half_height_deg)
    turn = abs((cell.longitude_deg - place.longitude_deg + 180) % 360 - 180)
    east = max(0.0, turn - cell.half_width_deg)
    if cell.half_height_deg > CELL_DEG:
        return north == east == 0.0
    return math.hypot(north * north_m, east * east_m) < NEAR_M


@dataclass(frozen=True, slots=True)
class Offset:
    """Where it stands, how far it leads north and east, and how exactly it is told, all in metres."""

    begin: int
    end: int
    north_m: float
    east_m: float
    within_m: float

    def leads_from(self, base: Position, place: Position) -> bool:
        """Tell whether it leads from one position to another, over a flat piece of the earth."""
        scale_north, scale_east = metres_per_degree((base.latitude_deg + place.latitude_deg) / 2)
        turn = (place.longitude_deg - base.longitude_deg + 180) % 360 - 180
        off_north = (place.latitude_deg - base.latitude_deg) * scale_north - self.north_m
        return math.hypot(off_north, turn * scale_east - self.east_m) <= self.within_m


def offsets(text: str) -> Iterator[Offset]:
    """Yield every distance with a direction before or behind it, as exactly as people tell them."""
    for way in _WAY.finditer(text):
        try:
            bearing = float(way[1]) if way[1] else parse_bearing(way[2])
        except InvalidValueError:  # "north south"
            continue
        start = max(0, way.start() - _LONGEST)
        if far := _BEFORE.search(text[start : way.start()]):
            yield _offset(start + far.start(), way.end(), far, bearing)
        if far := _AFTER.match(text, way.end()):
            yield _offset(way.start(), far.end(), far, bearing)


def _offset(begin: int, end: int, far: re.Match[str], bearing_deg: float) -> Offset:
    unit = far[2].lower()
    far_m = float(far[1].replace(",", ".")) * _METRES[unit[:2]]
    angle = math.radians(bearing_deg)
    within_m = max(_LEAST_M, far_m * _SHARE)
    return Offset(begin, end, far_m * math.cos(angle), far_m * math.sin(angle), within_m)
