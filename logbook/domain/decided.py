"""Which observations decided about which shots.

One surprising decision: what a reason may speak of is looked for in order, and the first kind that was met
where the shot was due is the one that counts: of weather the wind alone where no other weather was noted.
"""

from collections.abc import Mapping
from datetime import date

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.observed import visit_seen_on
from logbook.domain.shot import Shot
from logbook.domain.words import ConditionKind, OutcomeWord, Reason

_BORE_ON: dict[Reason, tuple[ConditionKind, ...]] = {
    reason: tuple(kind for kind, of in KINDS.items() if of.reason is reason) for reason in Reason
}


def decided(account: TripAccount, visit_by_keeper: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Return the ids of the shots that each observation decided about, by its id; others are absent.

    It was a reason for the shot, and was seen where and when the shot was due, or its pictures were made.
    """
    found: dict[str, tuple[str, ...]] = {}
    for shot in account.shots:
        met = [one for one in account.conditions if _meets(account, visit_by_keeper, shot, one)]
        kinds = _kinds(account, shot, {one.kind for one in met})
        for one in met:
            if one.kind in kinds:
                found[one.id] = (*found.get(one.id, ()), shot.id)
    return found


def _kinds(account: TripAccount, shot: Shot, met: set[ConditionKind]) -> set[ConditionKind]:
    """The kinds of observation that a shot's reasons speak of, of each the first that was made there."""
    outcome = account.outcomes.get(shot.id)
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return set()
    found = (next((kind for kind in _BORE_ON[why] if kind in met), None) for why in outcome.reasons)
    return {kind for kind in found if kind}


def _meets(
    account: TripAccount, visit_by_keeper: Mapping[str, str], shot: Shot, condition: Condition
) -> bool:
    """Whether something was observed where and when a shot was planned, or its pictures were made."""
    made = {visit_by_keeper.get(one.id) for one in account.keepers if one.shot_id == shot.id}
    stood: set[tuple[str | None, date]] = {
        (v.viewpoint_id, v.on_date) for v in account.visits if v.id in made
    }
    if shot.on_date:
        stood.add((shot.viewpoint_id, shot.on_date))
    if condition.viewpoint_id and not KINDS[condition.kind].is_barrier:
        here = (condition.viewpoint_id, condition.on_date)
        visits = {v.id for v in account.visits if (v.viewpoint_id, v.on_date) == here}
        seen_on = visit_seen_on(condition, account.visits, account.trip.day_ends_at)
        made_on_another = seen_on is not None and bool(made & visits) and seen_on not in made
        return here in stood and not made_on_another
    there = account.site_id_of(condition.viewpoint_id) or condition.site_id  # it bars the whole place
    return there is not None and (there, condition.on_date) in {
        (account.site_id_of(viewpoint_id), day) for viewpoint_id, day in stood
    }
