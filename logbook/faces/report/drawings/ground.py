"""A flat piece of ground: local equirectangular projection around the middle of what is drawn.

One surprising decision: the middle comes from what is shown and nothing else, so that a hidden place cannot
be told from where a map lies.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, floor, log10, radians, sin

from logbook.domain.measures import metres_per_degree
from logbook.domain.position import Position


@dataclass(frozen=True, slots=True)
class Ground:
    """A projection onto a drawing: its middle, its scale, and where the middle lies in the drawing."""

    middle: Position
    metres_per_unit: float
    x: float
    y: float

    def xy(self, position: Position) -> tuple[float, float]:
        """Return where a place lies in the drawing, north up."""
        east_m, north_m = _offset(self.middle, position)
        return self.x + east_m / self.metres_per_unit, self.y - north_m / self.metres_per_unit

    def place(self, x: float, y: float) -> Position:
        """Return the place that lies at a point of the drawing."""
        north, east = metres_per_degree(self.middle.latitude_deg)
        longitude = self.middle.longitude_deg + (x - self.x) * self.metres_per_unit / east
        return Position(
            self.middle.latitude_deg + (self.y - y) * self.metres_per_unit / north,
            (longitude + 180) % 360 - 180,
        )


def ground_for(shown: Iterable[Position], width: float, height: float, least_m: float) -> Ground:
    """Return the projection that fits places into a drawing; it is at least `least_m` metres across."""
    places = list(shown)
    first = places[0]
    turns = [_turn(first, one) for one in places]
    latitudes = [one.latitude_deg for one in places]
    longitude = first.longitude_deg + (min(turns) + max(turns)) / 2
    middle = Position((min(latitudes) + max(latitudes)) / 2, (longitude + 180) % 360 - 180)
    north, east = metres_per_degree(middle.latitude_deg)
    across_m = max((max(turns) - min(turns)) * east, least_m)
    along_m = max((max(latitudes) - min(latitudes)) * north, least_m * height / width)
    return Ground(middle, max(across_m / width, along_m / height), width / 2, height / 2)


def towards(x: float, y: float, bearing_deg: float, length: float) -> tuple[float, float]:
    """Return the point so far from another in a direction clockwise from north (up)."""
    return x + length * sin(radians(bearing_deg)), y - length * cos(radians(bearing_deg))


def round_length_m(most_m: float) -> float:
    """Return the longest of 1, 2 and 5 times a power of ten that is no longer than this."""
    tens = 10.0 ** floor(log10(most_m))
    return next(step * tens for step in (5.0, 2.0, 1.0) if step * tens <= most_m)


def length_text(length_m: float) -> str:
    """Return "200 m" or "5 km"."""
    return f"{length_m / 1000:g} km" if length_m >= 1000 else f"{length_m:g} m"


def _turn(first: Position, second: Position) -> float:
    return (second.longitude_deg - first.longitude_deg + 180) % 360 - 180


def _offset(middle: Position, position: Position) -> tuple[float, float]:
    north, east = metres_per_degree(middle.latitude_deg)
    return _turn(middle, position) * east, (position.latitude_deg - middle.latitude_deg) * north
