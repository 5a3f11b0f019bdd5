"""The kinds of light through a day, the sun's altitudes that divide them, and what people call each light.

One surprising decision: civil twilight shows only where the chosen limits leave room. Photographers split it,
and the low sun after it, into blue and golden light; the civil limits still appear among the day's events.
One light has several names, because a person who asks for dusk, for twilight and for the blue hour may mean
the same picture.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import cached_property

from logbook.sky.errors import SkyValueError
from logbook.sky.rough import RoughSun

# Geometric altitude of the sun's centre, degrees.
RISE_SET_DEG = -50.0 / 60.0  # USNO definition: 34' refraction at the horizon + 16' semidiameter
CIVIL_DEG = -6.0  # USNO, Rise, Set, and Twilight Definitions
NAUTICAL_DEG = -12.0  # USNO, Rise, Set, and Twilight Definitions
ASTRONOMICAL_DEG = -18.0  # USNO, Rise, Set, and Twilight Definitions
# Golden and blue light: custom, no official definition. So says the almanac of Time and Date AS (its pages
# "Goldene Stunde" and "Blaue Stunde", timeanddate.de/astronomie, stored copies read in 2026), which gives 6
# degrees below to 6 above the horizon, and 8 to 4 below. The encyclopaedia Wikipedia, "Golden hour
# (photography)", gives no limits at all. Those two ranges overlap: that golden light ends where blue begins,
# and blue with civil twilight, is common practice, no source. So all of them may be chosen.
GOLDEN_TOP_DEG = 6.0  # Time and Date AS, "Goldene Stunde"
BLUE_TOP_DEG = -4.0  # Time and Date AS, "Blaue Stunde"; golden light ends here (common practice, no source)
BLUE_BOTTOM_DEG = CIVIL_DEG  # common practice, no source
LOWEST_DEG, HIGHEST_DEG = ASTRONOMICAL_DEG, 15.0  # between these, limits may be chosen


class PhaseKind(StrEnum):
    """Kinds of light by the sun's altitude, from dark to bright."""

    NIGHT = "night"
    ASTRONOMICAL = "astronomical twilight"
    NAUTICAL = "nautical twilight"
    CIVIL = "civil twilight"
    BLUE = "blue hour"
    GOLDEN = "golden hour"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class LightPhase:
    """One kind of light from `start` to `end` (UTC, end excluded)."""

    kind: PhaseKind
    start: datetime
    end: datetime


_TWILIGHTS = (
    (RISE_SET_DEG, PhaseKind.DAY),
    (CIVIL_DEG, PhaseKind.CIVIL),
    (NAUTICAL_DEG, PhaseKind.NAUTICAL),
    (ASTRONOMICAL_DEG, PhaseKind.ASTRONOMICAL),
)


@dataclass(frozen=True)
class LightLimits:
    """From which to which height of the sun light is called golden and blue, degrees; else SkyValueError."""

    golden_from_deg: float = BLUE_TOP_DEG
    golden_to_deg: float = GOLDEN_TOP_DEG
    blue_from_deg: float = BLUE_BOTTOM_DEG
    blue_to_deg: float = BLUE_TOP_DEG

    def __post_init__(self) -> None:
        for word, low, high in (
            ("Golden", self.golden_from_deg, self.golden_to_deg),
            ("Blue", self.blue_from_deg, self.blue_to_deg),
        ):
            if not (LOWEST_DEG <= low <= HIGHEST_DEG and LOWEST_DEG <= high <= HIGHEST_DEG):
                raise SkyValueError(
                    f"{word} light from {low:g}° to {high:g}° is out of range; "
                    f"give heights of the sun from {LOWEST_DEG:g}° to {HIGHEST_DEG:g}°."
                )
            if not low < high:
                raise SkyValueError(
                    f"{word} light cannot last from {low:g}° to {high:g}°; give the lower height first."
                )
        if self.blue_to_deg > self.golden_from_deg:
            raise SkyValueError(
                f"Blue light up to {self.blue_to_deg:g}° would overlap golden light, which begins at "
                f"{self.golden_from_deg:g}°; choose them so that blue ends below golden."
            )

    @cached_property
    def floors_deg(self) -> tuple[tuple[float, PhaseKind], ...]:
        """Where each kind of light begins from below, from bright to dark."""
        edges = {self.golden_to_deg, self.golden_from_deg, self.blue_to_deg, self.blue_from_deg}
        floors: list[tuple[float, PhaseKind]] = []
        for edge_deg in sorted(edges | {floor_deg for floor_deg, _ in _TWILIGHTS}, reverse=True):
            kind = self._kind(edge_deg)
            if floors and floors[-1][1] is kind:
                floors.pop()
            floors.append((edge_deg, kind))
        return tuple(floors)

    def _kind(self, altitude_deg: float) -> PhaseKind:
        if self.golden_from_deg <= altitude_deg < self.golden_to_deg:
            return PhaseKind.GOLDEN
        if self.blue_from_deg <= altitude_deg < self.blue_to_deg:
            return PhaseKind.BLUE
        return next((kind for floor, kind in _TWILIGHTS if altitude_deg >= floor), PhaseKind.NIGHT)


CUSTOMARY = LightLimits()
PHASE_FLOORS_DEG = CUSTOMARY.floors_deg


def phase_at(sun_altitude_deg: float, limits: LightLimits = CUSTOMARY) -> PhaseKind:
    """The kind of light when the sun's centre stands at a geometric altitude."""
    for floor_deg, kind in limits.floors_deg:
        if sun_altitude_deg >= floor_deg:
            return kind
    return PhaseKind.NIGHT


SUNRISE_TOP_DEG = 4.0  # degrees; how high the sun of a sunrise or a sunset stands at most, common practice
SUNRISE_BOTTOM_DEG = -2.0  # degrees; common practice, no source
HALF_TURN_DEG = 180.0  # degrees; a sun in the eastern half of the sky rises


def light_names(sun: RoughSun) -> tuple[str, ...]:
    """What photographers call the light under that sun: its phase, and dawn, sunrise, sunset, dusk, dark.

    Dawn and dusk are the twilights down to the nautical limit; darker than that is night.
    """
    altitude, before_noon = sun.altitude_deg, sun.azimuth_deg < HALF_TURN_DEG
    names = [phase_at(altitude).value]
    if SUNRISE_BOTTOM_DEG <= altitude <= SUNRISE_TOP_DEG:
        names.append("sunrise" if before_noon else "sunset")
    if NAUTICAL_DEG <= altitude < RISE_SET_DEG:
        names += ["twilight", "dawn" if before_noon else "dusk"]
    if altitude < CIVIL_DEG:
        names.append("dark")
    if altitude < NAUTICAL_DEG and "night" not in names:
        names.append("night")
    return tuple(names)
