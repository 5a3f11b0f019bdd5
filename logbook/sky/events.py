"""What sun and moon do in a span of time: rise, set, twilights, noon, and the kinds of light in between.

Surprising decisions: a span is not a day with one sunrise and one sunset. Each event may come never, once
or twice, and a sunset may come before the sunrise; where an altitude is never crossed, the result says on
which side the body stays. A day of a place's own clock is not 24 hours: where clocks change it has 23 or
25, and a date that a zone skipped altogether has none and is refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from logbook.sky.crossings import find_crossings
from logbook.sky.ephemeris import Body, Sight, sight, to_datetime, to_seconds
from logbook.sky.errors import SkyValueError
from logbook.sky.observer import Observer
from logbook.sky.phases import (
    ASTRONOMICAL_DEG,
    CIVIL_DEG,
    CUSTOMARY,
    NAUTICAL_DEG,
    LightLimits,
    LightPhase,
    PhaseKind,
    phase_at,
)
from logbook.sky.position import MOON_RADIUS_KM

if TYPE_CHECKING:
    from logbook.sky.crossings import Floats

_STEP_S = 900.0  # between grid points; turning points are added, so grazing crossings are not lost
MIDNIGHT = time(0)


class EventName(StrEnum):
    """What can happen; by custom civil dawn begins the morning's blue hour, civil dusk ends the evening's.

    The blue hour has events of its own only where its limits are chosen otherwise.
    """

    ASTRONOMICAL_DAWN = "astronomical dawn"
    NAUTICAL_DAWN = "nautical dawn"
    CIVIL_DAWN = "civil dawn"
    MORNING_BLUE_BEGINS = "morning blue hour begins"
    MORNING_BLUE_ENDS = "morning blue hour ends"
    MORNING_GOLDEN_BEGINS = "morning golden hour begins"
    SUNRISE = "sunrise"
    MORNING_GOLDEN_ENDS = "morning golden hour ends"
    SOLAR_NOON = "solar noon"
    EVENING_GOLDEN_BEGINS = "evening golden hour begins"
    SUNSET = "sunset"
    EVENING_GOLDEN_ENDS = "evening golden hour ends"
    EVENING_BLUE_BEGINS = "evening blue hour begins"
    EVENING_BLUE_ENDS = "evening blue hour ends"
    CIVIL_DUSK = "civil dusk"
    NAUTICAL_DUSK = "nautical dusk"
    ASTRONOMICAL_DUSK = "astronomical dusk"
    MOONRISE = "moonrise"
    MOONSET = "moonset"


class Stays(StrEnum):
    """On which side of an altitude a body remains when it never crosses it."""

    ABOVE = "above"
    BELOW = "below"


@dataclass(frozen=True, slots=True)
class SkyEvent:
    """Something happens at an instant (UTC), with the body's centre at an azimuth from true north."""

    name: EventName
    at: datetime
    azimuth_deg: float


@dataclass(frozen=True, slots=True)
class AltitudeCrossings:
    """Instants (UTC) of rising and falling through an altitude; `stays` is set when there are none."""

    altitude_deg: float
    rising: tuple[datetime, ...]
    falling: tuple[datetime, ...]
    stays: Stays | None


@dataclass(frozen=True, slots=True)
class SkyDay:
    """Events and kinds of light in [start, end), in time order; `phases` cover the span without gaps.

    `sun_stays` and `moon_stays` are set when the body neither rises nor sets in the span.
    """

    start: datetime
    end: datetime
    events: tuple[SkyEvent, ...]
    phases: tuple[LightPhase, ...]
    sun_stays: Stays | None
    moon_stays: Stays | None

    def kind_at(self, at: datetime) -> PhaseKind:
        """The kind of light at an instant within the span."""
        return next(phase.kind for phase in self.phases if phase.start <= at < phase.end)

    def every(self, name: EventName) -> tuple[SkyEvent, ...]:
        """Every event of that name, in time order."""
        return tuple(event for event in self.events if event.name is name)

    def first(self, name: EventName) -> SkyEvent | None:
        """The first event of that name, if any."""
        return next((event for event in self.events if event.name is name), None)


_Levels = tuple[tuple[float, EventName, EventName], ...]


_TWILIGHTS: _Levels = (
    (CIVIL_DEG, EventName.CIVIL_DAWN, EventName.CIVIL_DUSK),
    (NAUTICAL_DEG, EventName.NAUTICAL_DAWN, EventName.NAUTICAL_DUSK),
    (ASTRONOMICAL_DEG, EventName.ASTRONOMICAL_DAWN, EventName.ASTRONOMICAL_DUSK),
)


def sky_day(observer: Observer, start: datetime, end: datetime, limits: LightLimits = CUSTOMARY) -> SkyDay:
    """All that sun and moon do in [start, end); aware instants, usually a local day.

    Raises SkyValueError for an instant without a zone, an empty span, or one outside the ephemeris.
    """
    _span(start, end)
    return _sky_between(observer, start.astimezone(UTC), end.astimezone(UTC), limits)


@lru_cache(maxsize=512)  # each picture, shot and page of a day asks again
def _sky_between(observer: Observer, start: datetime, end: datetime, limits: LightLimits) -> SkyDay:
    """What `sky_day` returns; the instants are in UTC, where equal ones are the same."""
    start_s, end_s = _span(start, end)
    sun, edges = _sun_events(observer, start_s, end_s, limits)
    moon, moon_stays = _moon_events(observer, start_s, end_s)
    sun_moves = any(name in (EventName.SUNRISE, EventName.SUNSET) for name, _ in sun)
    return SkyDay(
        start=start,
        end=end,
        events=_events(observer, sun, moon),
        phases=_light_phases(observer, start, end, edges, limits),
        sun_stays=None if sun_moves else _sun_side(observer, start_s),
        moon_stays=moon_stays,
    )


def sun_crossings(
    observer: Observer, start: datetime, end: datetime, altitudes_deg: Sequence[float]
) -> tuple[AltitudeCrossings, ...]:
    """When the sun's centre crosses geometric altitudes in [start, end); SkyValueError as for `sky_day`."""
    import numpy as np

    start_s, end_s = _span(start, end)
    levels = np.asarray(altitudes_deg, dtype=np.float64)[:, None]

    def above_levels(seconds: Floats) -> Floats:
        above: Floats = sight(Body.SUN, observer, seconds).altitude_deg[None, :] - levels
        return above

    found = find_crossings(above_levels, start_s, end_s, _STEP_S)
    begins = above_levels(np.array([start_s]))[:, 0]
    results = []
    for row, altitude_deg in enumerate(altitudes_deg):
        rising = tuple(to_datetime(c.at_s) for c in found if c.row == row and c.rising)
        falling = tuple(to_datetime(c.at_s) for c in found if c.row == row and not c.rising)
        stays = None if rising or falling else _side(begins[row])
        results.append(AltitudeCrossings(altitude_deg, rising, falling, stays))
    return tuple(results)


def _named(observer: Observer, limits: LightLimits) -> _Levels:
    """The sun's altitudes that have names, rising and falling."""
    levels = [
        (observer.sun_rises_deg, EventName.SUNRISE, EventName.SUNSET),
        (limits.golden_to_deg, EventName.MORNING_GOLDEN_ENDS, EventName.EVENING_GOLDEN_BEGINS),
        (limits.golden_from_deg, EventName.MORNING_GOLDEN_BEGINS, EventName.EVENING_GOLDEN_ENDS),
        *_TWILIGHTS,
    ]
    if limits.blue_to_deg != limits.golden_from_deg:
        levels.append((limits.blue_to_deg, EventName.MORNING_BLUE_ENDS, EventName.EVENING_BLUE_BEGINS))
    if limits.blue_from_deg != CIVIL_DEG:
        levels.append((limits.blue_from_deg, EventName.MORNING_BLUE_BEGINS, EventName.EVENING_BLUE_ENDS))
    return tuple(levels)


def _sun_events(
    observer: Observer, start_s: float, end_s: float, limits: LightLimits
) -> tuple[list[tuple[EventName, float]], list[float]]:
    """What the sun does, and when one kind of light follows another."""
    import numpy as np

    names = _named(observer, limits)
    floors = {floor_deg for floor_deg, _ in limits.floors_deg}
    heights = [level for level, _, _ in names]
    heights += sorted(floors.difference(heights))  # where light changes and nothing has a name
    levels = np.array(heights)[:, None]

    def curves(seconds: Floats) -> Floats:
        seen = sight(Body.SUN, observer, seconds)
        # The last curve is how far west the sun stands: it rises through zero on the meridian above the pole.
        west = -np.cos(np.radians(seen.altitude_deg)) * np.sin(np.radians(seen.azimuth_deg))
        return np.vstack([seen.altitude_deg[None, :] - levels, west[None, :]])

    events: list[tuple[EventName, float]] = []
    edges: list[float] = []
    for found in find_crossings(curves, start_s, end_s, _STEP_S):
        if found.row < len(names):
            _, up, down = names[found.row]
            events.append((up if found.rising else down, found.at_s))
        elif found.row == len(heights) and found.rising:
            events.append((EventName.SOLAR_NOON, found.at_s))
        if found.row < len(heights) and heights[found.row] in floors:
            edges.append(found.at_s)
    return events, edges


def _moon_events(
    observer: Observer, start_s: float, end_s: float
) -> tuple[list[tuple[EventName, float]], Stays | None]:
    import numpy as np

    def upper_limb(seconds: Floats) -> Floats:
        return _upper_limb_deg(observer, sight(Body.MOON, observer, seconds))[None, :]

    found = find_crossings(upper_limb, start_s, end_s, _STEP_S)
    events = [(EventName.MOONRISE if c.rising else EventName.MOONSET, c.at_s) for c in found]
    return events, None if events else _side(upper_limb(np.array([start_s]))[0, 0])


def _upper_limb_deg(observer: Observer, moon: Sight) -> Floats:
    """How high the moon's upper limb stands over the horizon: zero at moonrise and moonset (almanacs)."""
    import numpy as np

    semidiameter = np.degrees(np.arcsin(MOON_RADIUS_KM / moon.distance_km))
    limb: Floats = moon.altitude_deg + semidiameter + observer.lifted_deg - (observer.horizon_deg or 0.0)
    return limb


def _events(
    observer: Observer, sun: list[tuple[EventName, float]], moon: list[tuple[EventName, float]]
) -> tuple[SkyEvent, ...]:
    import numpy as np

    events = []
    for body, named in ((Body.SUN, sun), (Body.MOON, moon)):
        if named:
            azimuths = sight(body, observer, np.array([at_s for _, at_s in named])).azimuth_deg
            events += [
                SkyEvent(name, to_datetime(at_s), float(azimuth) % 360.0)
                for (name, at_s), azimuth in zip(named, azimuths, strict=True)
            ]
    return tuple(sorted(events, key=lambda event: event.at))


def _light_phases(
    observer: Observer, start: datetime, end: datetime, edges_s: list[float], limits: LightLimits
) -> tuple[LightPhase, ...]:
    """Spans between the crossings that divide kinds of light, each named by the altitude at its middle."""
    import numpy as np

    edges = [start, *(to_datetime(at_s) for at_s in edges_s), end]
    middles = np.array([(to_seconds(a) + to_seconds(b)) / 2.0 for a, b in pairwise(edges)])
    altitudes = sight(Body.SUN, observer, middles).altitude_deg
    phases: list[LightPhase] = []
    for begins, ends, altitude in zip(edges[:-1], edges[1:], altitudes, strict=True):
        kind = phase_at(float(altitude), limits)
        if phases and phases[-1].kind is kind:
            phases[-1] = LightPhase(kind, phases[-1].start, ends)
        elif ends > begins:
            phases.append(LightPhase(kind, begins, ends))
    return tuple(phases)


def _sun_side(observer: Observer, at_s: float) -> Stays:
    import numpy as np

    return _side(float(sight(Body.SUN, observer, np.array([at_s])).altitude_deg[0]) - observer.sun_rises_deg)


def _side(above_deg: float) -> Stays:
    return Stays.ABOVE if above_deg >= 0.0 else Stays.BELOW


def _span(start: datetime, end: datetime) -> tuple[float, float]:
    start_s, end_s = to_seconds(start), to_seconds(end)
    if end_s <= start_s:
        raise SkyValueError("A span of the sky must end after it starts.")
    return start_s, end_s


def local_day(on: date, zone: tzinfo, begins: time = MIDNIGHT) -> tuple[datetime, datetime]:
    """Start and end (excluded), in UTC, of a local date; SkyValueError if the calendar there skipped it."""
    try:
        start, end = (
            datetime.combine(day, begins, tzinfo=zone).astimezone(UTC) for day in (on, on + timedelta(days=1))
        )
    except OverflowError:
        raise SkyValueError(
            f"{on.isoformat()} is at the edge of the calendar, beyond the years that sun and moon are "
            f"known for; choose another date."
        ) from None
    if end <= start:
        raise SkyValueError(f"There was no {on.isoformat()} in {zone}; its clocks skipped that date.")
    return start, end
