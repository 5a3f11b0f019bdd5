"""Places told by how far they lie from another, and in which direction: "4 km NE of the ledge".

One surprising decision: from which place is not read. Every place that others may know is tried, because a
text calls it as it likes.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from logbook.domain.errors import InvalidValueError
from logbook.domain.measures import metres_per_degree
from logbook.domain.position import COMPASS, Position, parse_bearing

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
