"""What earlier visits left behind: shots that are still wanted, and what was last observed.

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
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import DAY_ENDS_AT
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord
from logbook.services.records import day_ends
from logbook.store.desk import Desk


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
