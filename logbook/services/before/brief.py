"""The brief itself, for a site or for the site of a viewpoint or shot, and what earlier visits left behind.

One surprising decision: a shot that was replaced stays wanted, however good its replacement is, until the
same shot is made at the same viewpoint.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from logbook.domain.attempts import STILL_TO_GET, still_to_get
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS, REMEMBERED
from logbook.domain.day import begin_on
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper, of_each
from logbook.domain.kit import KitItem
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import DAY_ENDS_AT
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord
from logbook.services.alike import Alike, Happened, alike_in, happened_at
from logbook.services.before.lighting import (
    Hour,
    ViewLight,
    Wish,
    account_with,
    filters_of,
    hours_of,
    light_of,
    reach_of,
)
from logbook.services.kinds import SHOT, SITE, VIEWPOINT
from logbook.services.light.met_light import met_light_in
from logbook.services.light.standpoints import at_viewpoint, clock_there
from logbook.services.plans.feasibility import ShotReach
from logbook.services.records import day_ends, find
from logbook.services.worked import By, Worked, WorkedQuestion, worked_in
from logbook.sky.phases import CUSTOMARY, LightLimits
from logbook.store.book import Book
from logbook.store.desk import Desk

ALIKE_SHOWN = 3  # sites; the brief is about one place


@dataclass(frozen=True, slots=True)
class StillWanted:
    """A shot of an earlier visit that is not made yet, with its outcome where one was noted.

    `again` is the latest plan that continues it and has no outcome yet.
    """

    shot: Shot
    outcome: Outcome | None
    trip: str
    replaced_by: str | None
    instead: str | None  # what replaced it, in words
    again: Shot | None = None

    @property
    def word(self) -> OutcomeWord:
        """What became of it; open where nobody said."""
        return self.outcome.word if self.outcome else OutcomeWord.OPEN


def still_wanted(
    desk: Desk, shots: Sequence[Shot], outcomes: Mapping[str, Outcome]
) -> tuple[StillWanted, ...]:
    """Shots that are not made yet: the missed and replaced ones first, the latest of each first."""
    outcomes = {shot_id: one for shot_id, one in outcomes.items() if one.is_stated}
    to_get = still_to_get(shots, outcomes)
    trips = dict(desk.trips.columns("id", "slug", id={shot.trip_id for shot in shots}))
    replacing = {one.replaced_by_shot_id for one in outcomes.values() if one.replaced_by_shot_id}
    replacements = {shot.id: shot for shot in desk.shots.all(id=replacing)} if replacing else {}
    found = []
    not_open = {shot_id for shot_id, one in outcomes.items() if one.word is not OutcomeWord.OPEN}
    again = {one.continues_id: one for one in shots if one.continues_id in to_get and one.id not in not_open}
    for shot in shots:
        if shot.id not in to_get or shot in again.values():
            continue
        outcome = outcomes.get(shot.id)
        other = replacements.get(outcome.replaced_by_shot_id or "") if outcome else None
        replaced_by, instead = (other.slug, other.title) if other else (None, None)
        if outcome and outcome.replaced_by_keeper_id:
            keeper = desk.keepers.get(outcome.replaced_by_keeper_id)
            replaced_by = keeper.slug if keeper else None
            instead = f"“{keeper.caption}”" if keeper and keeper.caption else "another picture"
        found.append(
            StillWanted(shot, outcome, trips[shot.trip_id], replaced_by, instead, again.get(shot.id))
        )
    found.sort(key=lambda one: one.shot.on_date or date.min, reverse=True)
    found.sort(key=lambda one: STILL_TO_GET.index(one.word))
    return tuple(found)


def last_observed(
    desk: Desk, site: Site, viewpoints: Sequence[Viewpoint], on_date: date | None
) -> tuple[Condition, ...]:
    """The latest condition of each watched kind at each place, none younger than the day asked about."""
    ids = {one.id for one in viewpoints}
    seen = [*desk.conditions.all(site_id=site.id), *desk.conditions.all(viewpoint_id=ids)]
    ends = day_ends(desk)
    seen.sort(key=lambda one: begin_on(one.on_date, one.at, ends.get(one.trip_id, DAY_ENDS_AT)), reverse=True)
    latest: dict[tuple[object, ...], Condition] = {}
    for one in seen:
        if one.kind in REMEMBERED and (on_date is None or one.on_date <= on_date):
            # Two closures at one place may be two ways in: only the very same words replace each other.
            words = one.note if KINDS[one.kind].is_barrier else None
            latest.setdefault((one.kind, one.viewpoint_id, one.site_id, words), one)
    return tuple(sorted(latest.values(), key=lambda one: REMEMBERED.index(one.kind)))


@dataclass(frozen=True, slots=True)
class Before:
    """The brief; `focus` is the viewpoint it is about most, `unknown_light` says why no light is known.

    `kept` are the keepers of the shots made here, by shot id. `hours` are the turning points of the light at
    the focus. `observed` is the latest of each kind of
    condition at each place. `reached` is what the owned kit does for the wish, `no_reach` says why nobody can
    tell.
    """

    site: Site
    viewpoints: tuple[Viewpoint, ...]
    focus: Viewpoint | None
    on_date: date | None
    alike: Alike
    here: Happened
    worked: Worked
    kept: Mapping[str, tuple[Keeper, ...]]
    wanted: tuple[StillWanted, ...]
    observed: tuple[Condition, ...]
    light: tuple[ViewLight, ...]
    hours: tuple[Hour, ...]
    unknown_light: str | None
    wish: Wish | None
    owned: tuple[KitItem, ...]
    reached: ShotReach | None
    no_reach: str | None
    trips: Mapping[str, str]  # titles of all trips, by slug

    @property
    def places(self) -> tuple[Site | Viewpoint, ...]:
        """The site and its viewpoints."""
        return (self.site, *self.viewpoints)


def before(
    book: Book,
    wanted: str,
    on_date: date | None = None,
    wish: Wish | None = None,
    limits: LightLimits = CUSTOMARY,
) -> Before:
    """Return the brief for a site, or for the site of a viewpoint or shot; NotFoundError where it is none.

    Raises SkyValueError or CraftValueError for a wish that no time exposes.
    """
    book.prove_tallies()
    with book.reading() as desk:
        site, focus = _meant(desk, wanted)
        viewpoints = tuple(desk.viewpoints.all(site_id=site.id))
        shots = desk.shots.all(viewpoint_id={one.id for one in viewpoints})
        outcomes = {one.shot_id: one for one in desk.outcomes.all(shot_id={shot.id for shot in shots})}
        focus = focus or _busiest(viewpoints, shots)
        owned = tuple(item for item in desk.kit.all() if item.owned)
        alike = alike_in(desk, site.slug, {}, ALIKE_SHOWN)
        here = happened_at(desk, [site.id])[site.id]
        worked = worked_in(desk, WorkedQuestion(By.TECHNIQUE, near=site.slug))
        wanted_again = still_wanted(desk, shots, outcomes)
        observed = last_observed(desk, site, viewpoints, on_date)
        kept = _kept(desk, here)
        there = met_light_in(desk, {focus.id: focus}, {site.id: site}) if focus else {}
        trips = dict(desk.trips.columns("slug", "title"))
        clocks = {one.id: clock_there(desk, one, site, on_date)[1] for one in viewpoints if on_date}
    light, unknown = light_of(site, viewpoints, on_date, limits, clocks)
    hours: tuple[Hour, ...] = ()
    reached: ShotReach | None = None
    no_reach = _no_reach(site, focus, on_date, wish)
    lit = next((one.light for one in light if focus and one.viewpoint.id == focus.id), None)
    if lit is not None and focus is not None and on_date is not None:
        met = there.get(focus.id, ())
        views = (focus, *(one for one in viewpoints if one.id != focus.id))
        if wish is None:
            hours = hours_of(lit, views, None, (), met, site)
        else:
            clock = clocks[focus.id]
            zone = clock.zone if clock else None
            account = account_with(site, focus, owned, wish, on_date, book.now(), met, zone)
            hours, reached = hours_of(lit, views, wish, filters_of(account), met, site), reach_of(account)
    return Before(
        site,
        viewpoints,
        focus,
        on_date,
        alike,
        here,
        worked,
        kept,
        wanted_again,
        observed,
        light,
        hours,
        unknown,
        wish,
        owned,
        reached,
        no_reach,
        trips,
    )


def _no_reach(site: Site, focus: Viewpoint | None, on_date: date | None, wish: Wish | None) -> str | None:
    if wish is None:
        return None
    if on_date is None:
        return "A wish is judged by the light of the day; choose a date."
    if focus is None or at_viewpoint(focus, site) is None:
        return "A wish is judged by the light at the place, and no viewpoint here has a position."
    return None


def _kept(desk: Desk, here: Happened) -> dict[str, tuple[Keeper, ...]]:
    """The keepers of the shots that were made or partly made, by shot id."""
    made = {shot.id for shot in here.shots if shot.outcome in (OutcomeWord.MADE, OutcomeWord.PARTLY)}
    return of_each(desk.keepers.all(shot_id=made), "shot_id")


def _meant(desk: Desk, wanted: str) -> tuple[Site, Viewpoint | None]:
    """The site that is meant, and the viewpoint where one of those, or a shot, was named."""
    try:
        return find(desk, SITE, wanted), None
    except NotFoundError as no_site:
        viewpoint: Viewpoint | None = None
        try:
            viewpoint = find(desk, VIEWPOINT, wanted)
        except NotFoundError:
            try:
                viewpoint = desk.viewpoints.get(find(desk, SHOT, wanted).viewpoint_id)
            except NotFoundError:
                raise no_site from None
        site = desk.sites.get(viewpoint.site_id) if viewpoint else None
        if site is None:
            raise WrongUseError(f'The shot "{wanted}" has no viewpoint; name a site instead.') from None
        return site, viewpoint


def _busiest(viewpoints: Sequence[Viewpoint], shots: Sequence[Shot]) -> Viewpoint | None:
    """The viewpoint that most shots were planned at, the first of equals."""
    return max(viewpoints, key=lambda one: sum(shot.viewpoint_id == one.id for shot in shots), default=None)
