"""Whether planned shots can be made: the plan against the kit packed for its trip and the light of its hour.

One surprising decision: nothing is stored. A verdict follows from plan, kit and sky, so it is worked out each
time it is shown and can never be out of date.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import SAME_STOPS, ev100
from logbook.craft.feasible import Feasibility, Verdict, judge_plan
from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter
from logbook.craft.light import SUN_UP_DEG, FrameSpan
from logbook.craft.optics import FULL_FRAME, Sensor
from logbook.craft.plan import Moment, Packed, Plan, best_moment, gathered, light_spans, usable_filters
from logbook.craft.reach import Reach, reach
from logbook.domain.account import TripAccount
from logbook.domain.errors import LogbookError
from logbook.domain.horizon import horizon_text
from logbook.domain.kit import KitItem
from logbook.domain.shot import Shot
from logbook.domain.words import KitKind, Packing, SubjectKind, Support, TripodRule
from logbook.services.accounts import account_of, accounts_of_ids
from logbook.services.kinds import SHOT
from logbook.services.light.standpoints import standpoint_of
from logbook.services.light.stands import observer_at
from logbook.services.plans.packing import packed_filters
from logbook.services.plans.windows import (
    LightWindow,
    after,
    day_window,
    met_there,
    moments_in,
    moments_of,
    shot_window,
)
from logbook.services.records import Listing, find
from logbook.sky.errors import SkyValueError
from logbook.store.book import Book

CIVIL_DUSK_DEG = -6.0  # deg; the sun's centre at the end of civil twilight (definition)
LAMPLIT = frozenset(  # kinds of sites that people light (own convention)
    (
        *(SubjectKind.BUILDING, SubjectKind.FESTIVAL, SubjectKind.HARBOUR, SubjectKind.INTERIOR),
        *(SubjectKind.MARKET, SubjectKind.STREET, SubjectKind.TOWN),
    )
)
BY_LAMPS = "lamps light this place after dusk, but how brightly is unknown: meter it there"

__all__ = ["Feasibility", "ShotReach", "Verdict", "judge", "reach_shot", "shot_in_account"]


@dataclass(frozen=True, slots=True)
class ShotReach:
    """What the packed filters do for a planned time, and at what hours its light is right.

    `low_enough` are the spans of the day dim enough for the strongest stack, `possible` those of them that
    are also bright enough for the planned time without filters; times are the place's own. The day is the
    date on which the moment lies, from midnight to midnight, as clocks show it. `instead` is what all packed
    filters do where the plan's own do not reach and these do.
    """

    reach: Reach
    instead: Reach | None
    moment: Moment
    feasibility: Feasibility
    low_enough: tuple[FrameSpan, ...]
    possible: tuple[FrameSpan, ...]
    zone: str


def judge(account: TripAccount, shot: Shot) -> Feasibility:
    """Return whether a shot of the account's trip is feasible, with the reason in one line."""
    return _judged(account, shot, moments_of)


def judge_all(*accounts: TripAccount) -> dict[str, Feasibility]:
    """Return the feasibility of every shot of some accounts, by shot id."""
    shots = [(account, shot) for account in accounts for shot in account.shots]
    windows: dict[LightWindow, None] = {}
    for account, shot in shots:
        with suppress(SkyValueError):  # said where the shot is judged
            window = shot_window(account, shot, standpoint_of(account, shot.viewpoint_id, shot.on_date))
            windows.update((one, None) for one in (window, after(window, shot)) if one is not None)
    light = moments_in(tuple(windows)) if windows else {}
    return {
        shot.id: _judged(account, shot, lambda window: light[window] if window else ())
        for account, shot in shots
    }


def _judged(
    account: TripAccount, shot: Shot, light: Callable[[LightWindow | None], tuple[Moment, ...]]
) -> Feasibility:
    standpoint = standpoint_of(account, shot.viewpoint_id, shot.on_date)
    if shot.on_date is not None and not account.counts(shot.on_date):
        why = f"its light is unknown: {account.outside_words(shot.on_date)}"
        return Feasibility(Verdict.UNKNOWN, None, why, "")
    try:
        plan, packed, notes = _plan(account, shot)
        window = shot_window(account, shot, standpoint)
        moments, later = light(window), light(after(window, shot))
        if _lamps_decide(account, shot, moments):
            return Feasibility(Verdict.UNKNOWN, None, "; ".join((BY_LAMPS, *notes)), "")
        return judge_plan(plan, packed, moments, notes, standpoint.zone if standpoint else UTC, later)
    except (CraftValueError, SkyValueError) as error:
        return Feasibility(Verdict.UNKNOWN, None, str(error), "")


def _lamps_decide(account: TripAccount, shot: Shot, window: Sequence[Moment]) -> bool:
    """Whether a whole window lies after dusk at a place that people light."""
    site = account.site_of(shot.viewpoint_id)
    is_lit = site is not None and not LAMPLIT.isdisjoint(site.kinds)
    return is_lit and bool(window) and all(one.altitude_deg < CIVIL_DUSK_DEG for one in window)


def with_feasibility(book: Book, listing: Listing) -> Listing:
    """Return listed shots, each judged with the kit and the places of its own trip."""
    trips = dict.fromkeys(one.shot.trip_id for one in listing.records)
    judged = judge_all(*accounts_of_ids(book, trips))
    records = tuple(replace(one, feasibility=judged[one.shot.id]) for one in listing.records)
    return replace(listing, records=records)


def reach_shot(account: TripAccount, shot: Shot) -> ShotReach:
    """Return what the packed filters do for a planned time; LogbookError where the plan says too little."""
    standpoint = standpoint_of(account, shot.viewpoint_id, shot.on_date)
    plan, packed, notes = _plan(account, shot)
    if plan.wish is None:
        raise LogbookError(
            f"The plan of {shot.slug} does not give the aperture, shutter speed and ISO; "
            f'add them with "logbook shot edit {shot.slug} --f-number N --exposure TIME --iso ISO".'
        )
    if standpoint is None or shot.on_date is None:
        raise LogbookError(
            f"The light of {shot.slug} is unknown: its plan needs a date (--on) and a viewpoint whose "
            "position is known."
        )
    if not account.counts(shot.on_date):
        raise LogbookError(
            f"The light of {shot.slug} is unknown, because {account.outside_words(shot.on_date)}; "
            f'change the date with "logbook shot edit {shot.slug} --on DATE".'
        )
    window = shot_window(account, shot, standpoint)
    moments, later = moments_of(window), moments_of(after(window, shot))
    moment = best_moment(plan, packed, gathered(plan, moments, later))
    assert moment is not None
    reached = reach(plan.wish, moment.scene_ev100, usable_filters(plan, packed))
    with_packed = reach(plan.wish, moment.scene_ev100, packed.filters)
    shown = replace(moment, at=moment.at.astimezone(standpoint.zone))
    whole = day_window(standpoint, shown.at.date(), met_there(account, shot))
    day = gathered(plan, moments_of(whole), moments_of(after(whole, shot)))
    high = reached.scene_limit_ev100 + SAME_STOPS
    low = ev100(plan.wish.f_number, plan.wish.exposure_s, plan.wish.iso) - SAME_STOPS
    return ShotReach(
        reached,
        with_packed if with_packed.choices and not reached.choices else None,
        shown,
        judge_plan(plan, packed, moments, notes, standpoint.zone, later),
        tuple(span.shown_in(standpoint.zone) for span in light_spans(day, high_ev100=high)),
        tuple(span.shown_in(standpoint.zone) for span in light_spans(day, low, high)),
        str(standpoint.zone),
    )


def shot_in_account(book: Book, wanted: str) -> tuple[TripAccount, Shot]:
    """Return a shot by its name, with the account of its trip."""
    with book.reading() as desk:
        shot = find(desk, SHOT, wanted)
        trip = desk.trips.get(shot.trip_id)
    assert trip is not None
    return account_of(book, trip.slug), shot


def _plan(account: TripAccount, shot: Shot) -> tuple[Plan, Packed, tuple[str, ...]]:
    """The plan and the kit as plain values, and what else should be known about them."""
    viewpoint = account.viewpoints.get(shot.viewpoint_id or "")
    rule = viewpoint.tripod_rule if viewpoint else TripodRule.UNKNOWN
    facing_deg = viewpoint.facing_deg if viewpoint else None
    taken = account.taken()
    stand = observer_at(viewpoint, account.site_of(shot.viewpoint_id))
    planned = None if shot.filters is None else tuple(parse_filter(name) for name in shot.filters)
    plan = Plan(
        shot.f_number,
        shot.exposure_s,
        shot.iso,
        shot.focal_mm,
        planned,
        None if shot.support in (None, Support.UNKNOWN) else str(shot.support),
        facing_deg,
        _no_tripod(account, taken, rule),
        stand.sun_rises_deg if stand else SUN_UP_DEG,
        horizon_text(viewpoint.horizon if viewpoint else None, stand.elevation_m if stand else None),
    )
    filters = packed_filters(account)
    packed = Packed(filters, _sensor(taken), _stabilisation(taken, shot.focal_mm))
    return plan, packed, tuple(_notes(account, shot, taken, filters, planned, rule))


def _no_tripod(account: TripAccount, taken: Sequence[KitItem], rule: TripodRule) -> str | None:
    """Why a planned tripod cannot stand; a support that nobody decided about is unknown, not missing."""
    if rule is TripodRule.FORBIDDEN:
        return "the plan needs a tripod, but none is allowed at this viewpoint"
    left = any(
        one.packing is Packing.LEFT and account.kit[one.item_id].kind is KitKind.SUPPORT
        for one in account.packed
        if one.item_id in account.kit
    )
    if left and not any(item.kind is KitKind.SUPPORT for item in taken):
        return "the plan needs a tripod, but the supports were left behind"
    return None


def _sensor(taken: Sequence[KitItem]) -> Sensor:
    """The first packed camera's sensor, else 36x24 mm."""
    for item in taken:
        if item.kind is KitKind.CAMERA and item.sensor_width_mm and item.sensor_height_mm:
            return Sensor(item.sensor_width_mm, item.sensor_height_mm)
    return FULL_FRAME


def _stabilisation(taken: Sequence[KitItem], focal_mm: float | None) -> float:
    """The better of what body and lens give; together they give hardly more (common practice, no source)."""
    stops = [
        item.stabilisation_stops or 0.0
        for item in taken
        if item.kind is KitKind.CAMERA or (item.kind is KitKind.LENS and _covers(item, focal_mm))
    ]
    return max(stops, default=0.0)


def _covers(lens: KitItem, focal_mm: float | None) -> bool:
    shortest = lens.focal_min_mm or lens.focal_max_mm
    longest = lens.focal_max_mm or lens.focal_min_mm
    return (
        focal_mm is not None
        and shortest is not None
        and longest is not None
        and shortest <= focal_mm <= longest
    )


def _notes(
    account: TripAccount,
    shot: Shot,
    taken: Sequence[KitItem],
    filters: tuple[Filter, ...],
    planned: tuple[Filter, ...] | None,
    rule: TripodRule,
) -> list[str]:
    """What should be known beside the numbers: planned things that are not packed, and an awkward tripod."""
    if not account.packed:
        return ["nothing is packed for this trip yet"]
    notes = []
    left = [one.name for one in filters]
    missing = []
    for one in planned or ():
        if one.name in left:
            left.remove(one.name)
        else:
            missing.append(one.name)
    if missing:
        notes.append(f"{' + '.join(missing)} planned but not packed")
    lenses = [item for item in taken if item.kind is KitKind.LENS and item.focal_max_mm]
    if lenses and shot.focal_mm is not None and not any(_covers(lens, shot.focal_mm) for lens in lenses):
        notes.append(f"no packed lens gives {shot.focal_mm:g} mm")
    if shot.support in (Support.TRIPOD, Support.MONOPOD):
        if not any(item.kind is KitKind.SUPPORT for item in taken):
            notes.append(f"{shot.support} planned but no support packed")
        if rule is TripodRule.AWKWARD:
            notes.append("a tripod is awkward there")
    return notes
