"""What a field sheet needs to know of one day: shots, places, their light, and what was observed there.

One surprising decision: observations come from every trip in the book, because a barrier that was shut two
years ago is worth a telephone call. None is younger than the day itself.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from types import MappingProxyType

from logbook.craft.feasible import Feasibility
from logbook.craft.light import LightDirection, light_direction
from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import LASTING, REMEMBERED
from logbook.domain.day import begin_on, instants_on
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import DAY_ENDS_AT
from logbook.domain.viewpoint import Viewpoint
from logbook.services.accounts import account_in
from logbook.services.light.day_light import LensAndSensor, LightDay, light_of_day
from logbook.services.light.standpoints import Standpoint, standpoint_of
from logbook.services.plans.feasibility import judge
from logbook.services.records import day_ends, the_trip
from logbook.sky.errors import SkyValueError
from logbook.sky.phases import CUSTOMARY, LightLimits, PhaseKind, phase_at
from logbook.sky.position import sun_position
from logbook.store.book import Book

USUAL_FOCAL_MM = 24.0  # mm; only the sky's events are used, which no lens changes


@dataclass(frozen=True, slots=True)
class ShotLight:
    """The sun at the middle of a shot's window; `at` in the place's zone.

    `direction` is None while the sun is down, and where nobody said which way the viewpoint faces;
    `hidden_by` is the skyline that stands before the sun, in words; `is_in_sight`: some of its disc shows,
    which seen from a height may be below level.
    """

    at: datetime
    azimuth_deg: float
    altitude_deg: float
    phase: PhaseKind
    direction: LightDirection | None
    hidden_by: str | None = None
    is_in_sight: bool = False


@dataclass(frozen=True, slots=True)
class FieldDay:
    """One day of a trip as it is taken into the field; mappings are by record id.

    `viewpoints` are those of the day's shots, or all of the trip's where none is planned. `light` holds the
    shots whose light is known, `skies` the light for each site whose position is known, once for each horizon
    of its viewpoints, from the begin of the photographer's day to its end: the night that follows is in it.
    `unknown_sky` says why no sky is known although a place is.
    """

    account: TripAccount
    on_date: date
    shots: tuple[Shot, ...]
    viewpoints: tuple[Viewpoint, ...]
    sites: tuple[Site, ...]
    feasibility: Mapping[str, Feasibility]
    light: Mapping[str, ShotLight]
    skies: tuple[tuple[Site, LightDay], ...]
    observed: tuple[Condition, ...]
    unknown_sky: str | None


def field_day(book: Book, trip: str | None, on_date: date, limits: LightLimits = CUSTOMARY) -> FieldDay:
    """Return what one day of a trip needs in the field; raises NotFoundError for an unknown trip."""
    with book.reading() as desk:
        account = account_in(desk, the_trip(desk, trip))
        conditions, ends = desk.conditions.all(), day_ends(desk)
    return day_in(account, on_date, conditions, ends, limits)


def day_in(
    account: TripAccount,
    on_date: date,
    conditions: Iterable[Condition],
    ends: Mapping[str, time] = MappingProxyType({}),
    limits: LightLimits = CUSTOMARY,
) -> FieldDay:
    """Return the field's day of an account, with observations of any trip; `ends`: when its days end."""
    shots = tuple(shot for shot in account.shots if shot.on_date == on_date)
    wanted = [account.viewpoints.get(shot.viewpoint_id or "") for shot in shots or account.shots]
    viewpoints = tuple({one.id: one for one in wanted if one}.values())
    site_ids = dict.fromkeys(viewpoint.site_id for viewpoint in viewpoints)
    sites = tuple(account.sites[site_id] for site_id in site_ids if site_id in account.sites)
    unknown_sky: str | None = None
    skies: tuple[tuple[Site, LightDay], ...] = ()
    if not account.counts(on_date):
        unknown_sky = f"Sun and moon are left out, because {account.outside_words(on_date)}."
    try:
        skies = () if unknown_sky else _skies(account, viewpoints, sites, on_date, limits)
    except SkyValueError as error:
        unknown_sky = str(error)
    light = {shot.id: lit for shot in shots if skies and (lit := shot_light(account, shot, limits))}
    return FieldDay(
        account,
        on_date,
        shots,
        viewpoints,
        sites,
        {shot.id: judge(account, shot) for shot in shots},
        light,
        skies,
        observed_at(conditions, {one.id for one in viewpoints}, set(site_ids), on_date, ends),
        unknown_sky,
    )


def _skies(
    account: TripAccount,
    viewpoints: tuple[Viewpoint, ...],
    sites: tuple[Site, ...],
    on_date: date,
    limits: LightLimits,
) -> tuple[tuple[Site, LightDay], ...]:
    from logbook.craft.optics import FULL_FRAME

    frame = LensAndSensor(USUAL_FOCAL_MM, FULL_FRAME, False)
    found = []
    for site in sites:
        stands = [standpoint_of(account, one.id, on_date) for one in viewpoints if one.site_id == site.id]
        by_horizon = {one.observer.horizon_deg: one for one in reversed(stands) if one}
        found += [
            (site, light_of_day(one, on_date, frame, limits, account.trip.day_ends_at))
            for one in dict.fromkeys(filter(None, stands))
            if by_horizon[one.observer.horizon_deg] is one
        ]
    return tuple(found)


def shot_light(account: TripAccount, shot: Shot, limits: LightLimits = CUSTOMARY) -> ShotLight | None:
    """Return the sun at the middle of a shot's window; None where place or time is not known."""
    standpoint = standpoint_of(account, shot.viewpoint_id, shot.on_date)
    middle = _middle(shot, standpoint, account.trip.day_ends_at)
    if standpoint is None or middle is None:
        return None
    sun = sun_position(standpoint.observer, middle)
    direction = None
    is_in_sight = sun.altitude_deg >= standpoint.observer.sun_rises_deg
    if standpoint.facing_deg is not None and is_in_sight:
        direction = light_direction(standpoint.facing_deg, sun.azimuth_deg, sun.altitude_deg)
    at = middle.astimezone(standpoint.zone)
    hidden_by = standpoint.horizon_text if standpoint.observer.hides(sun.altitude_deg) else None
    phase = phase_at(sun.altitude_deg, limits)
    return ShotLight(at, sun.azimuth_deg, sun.altitude_deg, phase, direction, hidden_by, is_in_sight)


def _middle(shot: Shot, standpoint: Standpoint | None, day_ends_at: time) -> datetime | None:
    """The middle of a window (UTC), or its one stated end; None where no time is planned."""
    if standpoint is None or shot.on_date is None:
        return None
    first, last = instants_on(shot.on_date, shot.window_from, shot.window_to, day_ends_at, standpoint.zone)
    return first + (last - first) / 2 if first and last else first or last


def observed_at(
    conditions: Iterable[Condition],
    viewpoint_ids: set[str],
    site_ids: set[str],
    on_date: date,
    ends: Mapping[str, time],
) -> tuple[Condition, ...]:
    """What was observed at these places, newest first; of the same words at one place only the newest."""
    here = [
        one
        for one in conditions
        if one.kind in LASTING
        and one.on_date <= on_date
        and (one.viewpoint_id in viewpoint_ids or one.site_id in site_ids)
    ]
    here.sort(key=lambda one: begin_on(one.on_date, one.at, ends.get(one.trip_id, DAY_ENDS_AT)), reverse=True)
    newest: dict[tuple[object, ...], Condition] = {}
    for one in here:
        newest.setdefault((one.kind, one.viewpoint_id, one.site_id, one.level, one.direction, one.note), one)
    return tuple(sorted(newest.values(), key=lambda one: REMEMBERED.index(one.kind)))
