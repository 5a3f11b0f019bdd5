"""A position that must not be told, and how near to it is too near."""

import math
from dataclasses import dataclass

from logbook.domain.position import Position

NEAR_M = 1000.0  # m; what lies so near a withheld place tells where it is
NEAR_AREA_M = 20.0  # m; of a place shown as an area only its own position is hidden
METRES_PER_DEG = 111_195.0  # m; mean length of a degree of latitude


@dataclass(frozen=True, slots=True)
class HiddenPosition:
    """A position that must not be told: of a place that is withheld, else of one shown as an area."""

    position: Position
    is_withheld: bool

    @property
    def near_m(self) -> float:
        """Metres within which a position tells where this is."""
        return NEAR_M if self.is_withheld else NEAR_AREA_M

    @property
    def near_deg(self) -> tuple[float, float]:
        """The same in degrees of latitude and of longitude."""
        latitude = self.near_m / METRES_PER_DEG
        return latitude, latitude / max(math.cos(math.radians(self.position.latitude_deg)), 0.01)
