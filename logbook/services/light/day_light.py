"""The light of a photographer's day at a place, and where the sun stood: what the drawings of a report need.

One surprising decision: the place is an argument, so that whoever asks decides how exactly it may be known.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo

from logbook.domain.position import Position
from logbook.domain.zones import zone_of
from logbook.services.light.stands import zone_at
from logbook.sky.phases import CUSTOMARY, LightLimits, LightPhase


@dataclass(frozen=True, slots=True)
class DayLight:
    """The kinds of light from the begin of a day to its end (UTC), without gaps."""

    start: datetime
    end: datetime
    zone: tzinfo
    phases: tuple[LightPhase, ...]


@dataclass(frozen=True, slots=True)
class SunStood:
    """Where the sun stood, in degrees: azimuth from true north, geometric altitude."""

    azimuth_deg: float
    altitude_deg: float


def day_light(
    on_date: date, place: Position, zone: str | None, begins: time, limits: LightLimits = CUSTOMARY
) -> DayLight | None:
    """Return the light of a day that begins at a local time; None for a day the sky is not known on."""
    from logbook.sky.errors import SkyValueError
    from logbook.sky.events import sky_day
    from logbook.sky.local_day import local_day
    from logbook.sky.observer import Observer

    clock = zone_of(zone) if zone else zone_at(place)
    try:
        start, end = local_day(on_date, clock, begins)
        sky = sky_day(Observer(place.latitude_deg, place.longitude_deg), start, end, limits)
    except SkyValueError:
        return None
    return DayLight(start, end, clock, sky.phases)


def sun_up(
    on_date: date, place: Position, horizon_deg: float, zone: tzinfo, begins: time
) -> tuple[tuple[datetime, datetime], ...] | None:
    """Return the spans (UTC) of a day in which the sun shows over a horizon; None where no sky is known."""
    from logbook.sky.errors import SkyValueError
    from logbook.sky.events import Stays, sun_crossings
    from logbook.sky.local_day import local_day
    from logbook.sky.observer import Observer

    observer = Observer(place.latitude_deg, place.longitude_deg, 0.0, horizon_deg)
    try:
        start, end = local_day(on_date, zone, begins)
        (found,) = sun_crossings(observer, start, end, (observer.sun_rises_deg,))
    except SkyValueError:
        return None
    rises, sets = list(found.rising), list(found.falling)
    if found.stays is Stays.ABOVE or (sets and (not rises or sets[0] < rises[0])):
        rises.insert(0, start)
    if len(sets) < len(rises):
        sets.append(end)
    return tuple(zip(rises, sets, strict=True))


def sun_stood(place: Position, at: datetime) -> SunStood | None:
    """Return where the sun stood at an instant; None where the sky is not known."""
    from logbook.sky.errors import SkyValueError
    from logbook.sky.observer import Observer
    from logbook.sky.position import sun_position

    try:
        sun = sun_position(Observer(place.latitude_deg, place.longitude_deg), at)
    except SkyValueError:
        return None
    return SunStood(sun.azimuth_deg, sun.altitude_deg)
