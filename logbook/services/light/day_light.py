"""The light of a day at a place: what sun and moon do, how they light a view, and the kinds of light in turn.

One surprising decision: nothing here touches the book. The same answer serves a viewpoint and a bare
coordinate, and a coordinate costs no database; whoever draws a page decides how exactly the place is known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from logbook.craft.light import NEAR_FRAME_DEG, Alignment, FrameSpan, LightOnView, alignments, frame_spans
from logbook.craft.optics import AngleOfView, Sensor, angle_of_view
from logbook.craft.view import View
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import Position
from logbook.domain.zones import ClockTurn, instants_at, turn_at, zone_of
from logbook.services.light.standpoints import Standpoint
from logbook.services.light.stands import zone_at
from logbook.sky.eclipses import Eclipse, discs_covered, eclipses
from logbook.sky.ephemeris import Body
from logbook.sky.errors import SkyValueError
from logbook.sky.events import MIDNIGHT, SkyDay, Stays, local_day, sky_day, sun_crossings
from logbook.sky.moon import MoonPhase, moon_phase
from logbook.sky.observer import Observer
from logbook.sky.phases import CUSTOMARY, RISE_SET_DEG, LightLimits, LightPhase, PhaseKind, phase_at
from logbook.sky.position import Air, SkyPosition, moon_position, path, refraction_deg, sun_position

if TYPE_CHECKING:
    from logbook.craft.bow import Bow
    from logbook.craft.expected_light import ExpectedLight
    from logbook.craft.light import Shadow
    from logbook.craft.met_light import Witnesses
    from logbook.craft.polarisation import SkyPolarisation

PATH_STEP = timedelta(minutes=5)  # between samples of the sun's path; it moves 1.25 degrees meanwhile
SUN_CAUTION = "Never look at the sun through an optical finder or a long lens; compose on the screen."


@dataclass(frozen=True, slots=True)
class LensAndSensor:
    """The lens and sensor a view is judged with; `stated` says that a person named them."""

    focal_mm: float
    sensor: Sensor
    stated: bool

    @property
    def angle(self) -> AngleOfView:
        """The angles of view."""
        return angle_of_view(self.focal_mm, self.sensor)

    def view(self, facing_deg: float) -> View:
        """The level view in a direction."""
        angle = self.angle
        return View(facing_deg, angle.horizontal_deg, angle.vertical_deg)


@dataclass(frozen=True, slots=True)
class ClockChange:
    """The clocks of a place change at an instant (UTC) by so many minutes, forward positive.

    `clocks_from` and `clocks_to` are what they show before and after it.
    """

    at: datetime
    minutes: int
    clocks_from: time
    clocks_to: time


@dataclass(frozen=True, slots=True)
class LightDay:
    """The light of one local day; `view` and what follows from it are None or empty without a direction."""

    standpoint: Standpoint
    on_date: date
    sky: SkyDay
    moon: MoonPhase
    clock_change: ClockChange | None
    frame: LensAndSensor
    view: View | None
    sun_in_frame: tuple[FrameSpan, ...]
    sun_near_frame: tuple[FrameSpan, ...]
    sun_behind_subject: tuple[Alignment, ...]
    moon_in_frame: tuple[FrameSpan, ...]
    limits: LightLimits = CUSTOMARY
    eclipses: tuple[Eclipse, ...] = ()


@dataclass(frozen=True, slots=True)
class LightNow:
    """The light at one instant (UTC); altitudes with refraction where `refraction`.

    `on_view` and `polarisation` are None without a direction, bows and shadow while the sun is down.
    """

    at: datetime
    happens_twice: bool
    later: bool
    refraction: bool
    sun: SkyPosition
    moon: SkyPosition
    moon_phase: MoonPhase
    phase: PhaseKind
    expected: ExpectedLight
    witnesses: Witnesses | None
    on_view: LightOnView | None
    polarisation: SkyPolarisation | None
    bow: Bow | None
    second_bow: Bow | None
    shadow: Shadow | None
    is_hidden: bool = False  # the skyline stands before the sun
    is_moon_hidden: bool = False
    is_in_sight: bool = False  # some of the sun's disc shows, perhaps below level
    is_moon_in_sight: bool = False
    eclipse: Eclipse | None = None  # the one under way, which the expected light counts
    sun_covered: float = 0.0  # share of the sun's disc behind the moon


def light_of_day(
    standpoint: Standpoint,
    on_date: date,
    frame: LensAndSensor,
    limits: LightLimits = CUSTOMARY,
    begins: time = MIDNIGHT,
) -> LightDay:
    """Return the light of a day that begins at a local time; SkyValueError where no sky is known."""
    start, end = local_day(on_date, standpoint.zone, begins)
    view = None if standpoint.facing_deg is None else frame.view(standpoint.facing_deg)
    in_frame: tuple[FrameSpan, ...] = ()
    near, moon_in = in_frame, in_frame
    behind: tuple[Alignment, ...] = ()
    if view is not None:
        sun = day_path(Body.SUN, standpoint.observer, start, end)
        up_deg = standpoint.observer.sun_rises_deg
        in_frame, near = (frame_spans(view, sun, within, up_deg) for within in (0.0, NEAR_FRAME_DEG))
        behind = alignments(view.facing_deg, sun, up_deg)
        moon = day_path(Body.MOON, standpoint.observer, start, end)
        moon_in = frame_spans(view, moon, up_deg=up_deg)
    return LightDay(
        standpoint,
        on_date,
        sky_day(standpoint.observer, start, end, limits),
        moon_phase(start + (end - start) / 2),
        _clock_change(standpoint.zone, start, end),
        frame,
        view,
        in_frame,
        near,
        behind,
        moon_in,
        limits,
        eclipses(standpoint.observer, start, end),
    )


def light_at(day: LightDay, at: time, *, refraction: bool = False, later: bool = False) -> LightNow:
    """Return the light at a time of the day, of two such times the `later` where that is asked.

    Raises InvalidValueError for a time that its clocks skip, and for a later one that there is not.
    """
    from logbook.craft.bow import BowOrder, bow
    from logbook.craft.light import cast_shadow
    from logbook.craft.light import light_on_view as lit
    from logbook.craft.met_light import light_here
    from logbook.craft.polarisation import sky_polarisation

    standpoint = day.standpoint
    instant, twice = instant_of(day.on_date, at, standpoint.zone, later=later)
    true_sun = sun_position(standpoint.observer, instant)
    moon = moon_position(standpoint.observer, instant, Air() if refraction else None)
    true_moon_deg = (
        moon_position(standpoint.observer, instant).altitude_deg if refraction else moon.altitude_deg
    )
    lift_deg = refraction_deg(true_sun.altitude_deg, Air()) if refraction else 0.0
    azimuth_deg, altitude_deg = true_sun.azimuth_deg, true_sun.altitude_deg + lift_deg
    sun = SkyPosition(instant, azimuth_deg, altitude_deg, true_sun.distance_km, true_sun.diameter_deg)
    phase = moon_phase(instant)
    # Without a direction, looking over the antisolar point tells how high a bow stands, not whether it shows.
    towards_bow = day.view or day.frame.view((azimuth_deg + 180.0) % 360.0)
    up_deg = standpoint.observer.sun_rises_deg
    on_view = lit(day.view, azimuth_deg, true_sun.altitude_deg, up_deg) if day.view else None
    is_up = true_sun.altitude_deg >= max(up_deg, RISE_SET_DEG)
    shines_deg = _shines_deg(true_sun.altitude_deg)
    is_hidden = standpoint.observer.hides(true_sun.altitude_deg)
    is_moon_hidden = standpoint.observer.hides(true_moon_deg)
    eclipse = next((one for one in day.eclipses if one.is_under_way(instant)), None)
    (covered,) = discs_covered(standpoint.observer, (instant,), day.moon.illuminated_fraction)
    expected, witnesses = light_here(
        standpoint.met_light,
        standpoint.facing_deg,
        azimuth_deg,
        true_sun.altitude_deg,
        true_moon_deg,
        phase.illuminated_fraction,
        is_hidden=is_hidden,
        is_moon_hidden=is_moon_hidden,
        sun_covered=covered.sun,
        moonlight_lost=covered.moonlight,
    )
    return LightNow(
        at=instant,
        happens_twice=twice,
        refraction=refraction,
        sun=sun,
        moon=moon,
        moon_phase=phase,
        phase=phase_at(true_sun.altitude_deg, day.limits),
        expected=expected,
        witnesses=witnesses,
        on_view=on_view,
        polarisation=sky_polarisation(day.view, azimuth_deg, altitude_deg) if day.view else None,
        bow=bow(towards_bow, azimuth_deg, shines_deg) if is_up else None,
        second_bow=bow(towards_bow, azimuth_deg, shines_deg, BowOrder.SECONDARY) if is_up else None,
        shadow=cast_shadow(azimuth_deg, shines_deg) if is_up else None,
        later=later,
        is_hidden=is_hidden,
        is_moon_hidden=is_moon_hidden,
        is_in_sight=true_sun.altitude_deg >= up_deg,
        is_moon_in_sight=true_moon_deg >= up_deg,
        eclipse=eclipse,
        sun_covered=covered.sun,
    )


def _shines_deg(true_deg: float) -> float:
    """Where the sun's light comes from: the part that shows of a disc that the air has lifted.

    Shadows and bows know nothing of altitudes without refraction, even where those are asked for.
    """
    from logbook.craft.light import shining_deg

    return shining_deg(true_deg + refraction_deg(true_deg, Air()))


def instant_of(on_date: date, at: time, zone: tzinfo, *, later: bool = False) -> tuple[datetime, bool]:
    """The instant (UTC) of a local time, and whether that time happens twice that day.

    The first of two is meant unless `later`. Raises InvalidValueError for a time that the zone's clocks jump
    over, and for the later one of a time that happens once.
    """
    wall = datetime.combine(on_date, at)
    turn = turn_at(wall, zone)
    if turn is ClockTurn.NEVER:
        shown = instants_at(wall, zone)[0].astimezone(zone)
        raise InvalidValueError(
            f"There is no {at:%H:%M} on {on_date} in {zone}: the clocks skip it; ask for {shown:%H:%M}."
        )
    if later and turn is None:
        raise InvalidValueError(f"{at:%H:%M} on {on_date} comes only once in {zone}; leave out --later.")
    return instants_at(wall, zone)[int(later)], turn is ClockTurn.TWICE


def day_path(body: Body, observer: Observer, start: datetime, end: datetime) -> tuple[SkyPosition, ...]:
    """The path of sun or moon over a span, dense enough to interpolate in."""
    return path(body, observer, start, end, PATH_STEP)


def _clock_change(zone: tzinfo, start: datetime, end: datetime) -> ClockChange | None:
    """The change of clocks within a day or at its very begin, found by halving the span to one second."""

    def offset(at: datetime) -> timedelta:
        return at.astimezone(zone).utcoffset() or timedelta(0)

    low, high = start - timedelta(seconds=1), end - timedelta(seconds=1)
    before = offset(low)
    change = offset(high) - before
    if not change:
        return None
    while high - low > timedelta(seconds=1):
        middle = low + timedelta(seconds=(high - low) // timedelta(seconds=2))
        low, high = (low, middle) if offset(middle) != before else (middle, high)
    after = high.astimezone(zone).replace(tzinfo=None)
    return ClockChange(high, round(change / timedelta(minutes=1)), (after - change).time(), after.time())


@dataclass(frozen=True, slots=True)
class DayPhases:
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
) -> DayPhases | None:
    """Return the light of a day that begins at a local time; None for a day the sky is not known on."""
    clock = zone_of(zone) if zone else zone_at(place)
    try:
        start, end = local_day(on_date, clock, begins)
        sky = sky_day(Observer(place.latitude_deg, place.longitude_deg), start, end, limits)
    except SkyValueError:
        return None
    return DayPhases(start, end, clock, sky.phases)


def sun_up(
    on_date: date, place: Position, horizon_deg: float, zone: tzinfo, begins: time
) -> tuple[tuple[datetime, datetime], ...] | None:
    """Return the spans (UTC) of a day in which the sun shows over a horizon; None where no sky is known."""
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
    try:
        sun = sun_position(Observer(place.latitude_deg, place.longitude_deg), at)
    except SkyValueError:
        return None
    return SunStood(sun.azimuth_deg, sun.altitude_deg)
