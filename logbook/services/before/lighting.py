"""The light of the day one returns on, hour by hour, and what the owned filters make of a wish in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from types import MappingProxyType

from logbook.craft.bearings import turn_deg
from logbook.craft.expected_light import ExpectedLight
from logbook.craft.exposure import Settings
from logbook.craft.filter_types import Filter
from logbook.craft.light import LightDirection, light_direction
from logbook.craft.met_light import MetLight, Witnesses, light_here
from logbook.craft.optics import FULL_FRAME
from logbook.craft.reach import Reach, reach
from logbook.domain.account import TripAccount
from logbook.domain.day import Day
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.place_clock import PlaceClock
from logbook.domain.record import new_record
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Packing, Support
from logbook.services.light.day_light import LensAndSensor, LightDay, light_of_day
from logbook.services.light.standpoints import at_viewpoint
from logbook.services.light.stands import observer_at
from logbook.services.plans.feasibility import ShotReach, reach_shot
from logbook.services.plans.packing import packed_filters
from logbook.sky.eclipses import discs_covered
from logbook.sky.errors import SkyValueError
from logbook.sky.events import EventName, Stays
from logbook.sky.phases import CUSTOMARY, RISE_SET_DEG, LightLimits, PhaseKind, phase_at
from logbook.sky.position import SkyPosition, sun_positions

USUAL_ISO = 100  # of a wish that names none (common practice, no source)
USUAL_FOCAL_MM = 24.0  # mm; a usual wide angle for landscapes (common practice, no source)
EVENT_SLACK_DEG = 0.01  # degrees; sunrise itself must count as up, whatever the rounding
HOURS = (
    EventName.CIVIL_DAWN,
    EventName.SUNRISE,
    EventName.MORNING_GOLDEN_ENDS,
    EventName.SOLAR_NOON,
    EventName.EVENING_GOLDEN_BEGINS,
    EventName.SUNSET,
    EventName.CIVIL_DUSK,
)
LOW_SUN = (EventName.MORNING_GOLDEN_BEGINS, EventName.EVENING_GOLDEN_ENDS)  # all the gold of a polar noon


@dataclass(frozen=True, slots=True)
class Wish:
    """A picture one would like to make: time and aperture, perhaps more."""

    exposure_s: Fraction
    f_number: float
    iso: int = USUAL_ISO
    focal_mm: float | None = None
    support: Support | None = None


@dataclass(frozen=True, slots=True)
class Fall:
    """How light falls on a view: `direction` None while the sun is down.

    `off_axis_deg` is the turn from the view's axis to the sun, clockwise positive.
    """

    viewpoint: Viewpoint
    direction: LightDirection | None
    off_axis_deg: float


@dataclass(frozen=True, slots=True)
class Hour:
    """One turning point of the day's light at the focus; `at` in the place's zone.

    `falls` is how the sun stands to each view whose direction is known, the focus first. `reached` is what
    the owned filters make of the wish then, None without one. `expected` is the light of the first view.
    """

    name: EventName
    at: datetime
    azimuth_deg: float
    altitude_deg: float
    phase: PhaseKind
    falls: tuple[Fall, ...]
    expected: ExpectedLight
    witnesses: Witnesses | None
    reached: Reach | None


@dataclass(frozen=True, slots=True)
class ViewLight:
    """The light of the day on one view."""

    viewpoint: Viewpoint
    light: LightDay


def light_of(
    site: Site,
    viewpoints: Sequence[Viewpoint],
    on_date: date | None,
    limits: LightLimits = CUSTOMARY,
    clocks: Mapping[str, PlaceClock | None] = MappingProxyType({}),
) -> tuple[tuple[ViewLight, ...], str | None]:
    """Return the light of a day on every view whose place is known, and why there is none.

    `clocks` say whose clock counts at each viewpoint that day, by its id.
    """
    if on_date is None:
        return (), "Choose a date to see the light of that day."
    frame = LensAndSensor(USUAL_FOCAL_MM, FULL_FRAME, False)
    found = []
    try:
        for viewpoint in viewpoints:
            standpoint = at_viewpoint(viewpoint, site, clock=clocks.get(viewpoint.id))
            if standpoint is not None:
                found.append(ViewLight(viewpoint, light_of_day(standpoint, on_date, frame, limits)))
    except SkyValueError as error:
        return (), str(error)
    return tuple(found), None if found else "No viewpoint here has a position, so the light is unknown."


def hours_of(
    light: LightDay,
    views: Sequence[Viewpoint],
    wish: Wish | None,
    filters: Sequence[Filter],
    met: Sequence[MetLight] = (),
    site: Site | None = None,
) -> tuple[Hour, ...]:
    """Return the turning points of a day's light, how it falls on views, and what a wish asks for then.

    The views of a site lie so close together that the sun of one serves for all; each has its own horizon.
    """
    told = {*HOURS, *(LOW_SUN if light.sky.sun_stays is Stays.BELOW else ())}
    events = [event for event in light.sky.events if event.name in told]
    observer = light.standpoint.observer
    suns = sun_positions(observer, [event.at for event in events])
    eclipsed = discs_covered(observer, [event.at for event in events], light.moon.illuminated_fraction)
    facing = [(view, view.facing_deg, _up_deg(view, site)) for view in views]
    settings = None if wish is None else Settings(wish.f_number, wish.exposure_s, wish.iso)
    found = []
    for event, sun, covered in zip(events, suns, eclipsed, strict=True):
        expected, witnesses = light_here(
            met,
            light.standpoint.facing_deg,
            sun.azimuth_deg,
            sun.altitude_deg,
            is_hidden=observer.hides(sun.altitude_deg + EVENT_SLACK_DEG),
            sun_covered=covered.sun,
        )
        found.append(
            Hour(
                event.name,
                event.at.astimezone(light.standpoint.zone),
                sun.azimuth_deg,
                sun.altitude_deg,
                phase_at(sun.altitude_deg, light.limits),
                tuple(_fall(view, deg, sun, up_deg) for view, deg, up_deg in facing if deg is not None),
                expected,
                witnesses,
                None if settings is None else reach(settings, expected.scene_ev100, filters),
            )
        )
    return tuple(found)


def _up_deg(view: Viewpoint, site: Site | None) -> float:
    """From which geometric altitude the sun shows at a view."""
    observer = observer_at(view, site)
    return RISE_SET_DEG if observer is None else observer.sun_rises_deg


def _fall(view: Viewpoint, facing_deg: float, sun: SkyPosition, up_deg: float) -> Fall:
    is_up = sun.altitude_deg >= up_deg - EVENT_SLACK_DEG
    direction = light_direction(facing_deg, sun.azimuth_deg, sun.altitude_deg) if is_up else None
    return Fall(view, direction, turn_deg(facing_deg, sun.azimuth_deg))


def account_with(
    site: Site,
    focus: Viewpoint,
    owned: Sequence[KitItem],
    shot_of: Wish,
    on_date: date,
    now: datetime,
    met: tuple[MetLight, ...] = (),
    zone: str | None = None,
) -> TripAccount:
    """Return a trip that packs everything owned and plans the wish: what a wish is judged with.

    `zone` is that of the clock which counts there that day.
    """
    trip = Trip(**new_record(now), slug="return", title="Return")
    shot = Shot(
        **new_record(now),
        slug="wish",
        title="The wish",
        trip_id=trip.id,
        viewpoint_id=focus.id,
        on_date=on_date,
        f_number=shot_of.f_number,
        exposure_s=shot_of.exposure_s,
        iso=shot_of.iso,
        focal_mm=shot_of.focal_mm,
        support=shot_of.support,
    )
    packed = tuple(
        PackedItem(**new_record(now), trip_id=trip.id, item_id=item.id, packing=Packing.TAKEN)
        for item in owned
    )
    return TripAccount(
        trip=trip,
        sites={site.id: site},
        viewpoints={focus.id: focus},
        shots=(shot,),
        kit={item.id: item for item in owned},
        packed=packed,
        met_light={focus.id: met},
        days=(Day(**new_record(now), trip_id=trip.id, on_date=on_date, zone=zone),),
    )


def reach_of(account: TripAccount) -> ShotReach:
    """Return what the kit does for the wish through its day."""
    return reach_shot(account, account.shots[0])


def filters_of(account: TripAccount) -> tuple[Filter, ...]:
    """Return the owned filters whose strength is known."""
    return packed_filters(account)
