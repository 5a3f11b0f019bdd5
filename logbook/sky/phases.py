"""The kinds of light through a day, and the sun's altitudes that divide them.

One surprising decision: civil twilight is no kind of its own. Photographers split it, and the low sun after
it, into blue and golden light; the civil limits still appear among the day's events.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

# Geometric altitude of the sun's centre, degrees.
RISE_SET_DEG = -50.0 / 60.0  # USNO definition: 34' refraction at the horizon + 16' semidiameter
CIVIL_DEG = -6.0  # USNO, Rise, Set, and Twilight Definitions
NAUTICAL_DEG = -12.0  # USNO, Rise, Set, and Twilight Definitions
ASTRONOMICAL_DEG = -18.0  # USNO, Rise, Set, and Twilight Definitions
GOLDEN_TOP_DEG = 6.0  # common practice, no source
BLUE_TOP_DEG = -4.0  # common practice, no source; golden light ends and blue light begins here
BLUE_BOTTOM_DEG = CIVIL_DEG  # common practice, no source


class PhaseKind(StrEnum):
    """Kinds of light by the sun's altitude, from dark to bright."""

    NIGHT = "night"
    ASTRONOMICAL = "astronomical twilight"
    NAUTICAL = "nautical twilight"
    BLUE = "blue hour"
    GOLDEN = "golden hour"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class LightPhase:
    """One kind of light from `start` to `end` (UTC, end excluded)."""

    kind: PhaseKind
    start: datetime
    end: datetime


PHASE_FLOORS_DEG: tuple[tuple[float, PhaseKind], ...] = (
    (GOLDEN_TOP_DEG, PhaseKind.DAY),
    (BLUE_TOP_DEG, PhaseKind.GOLDEN),
    (BLUE_BOTTOM_DEG, PhaseKind.BLUE),
    (NAUTICAL_DEG, PhaseKind.NAUTICAL),
    (ASTRONOMICAL_DEG, PhaseKind.ASTRONOMICAL),
)


def phase_at(sun_altitude_deg: float) -> PhaseKind:
    """The kind of light when the sun's centre stands at a geometric altitude."""
    for floor_deg, kind in PHASE_FLOORS_DEG:
        if sun_altitude_deg >= floor_deg:
            return kind
    return PhaseKind.NIGHT
