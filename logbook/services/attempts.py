"""The history of shots that were tried on several trips.

One surprising decision: links are followed step by step from the shots that are asked about, so that the
account of one trip does not read the plans of all.
"""

from collections.abc import Iterable

from logbook.domain.attempts import Attempt, earlier_and_later
from logbook.domain.shot import Shot
from logbook.store.desk import Desk


def attempts_in(desk: Desk, shots: Iterable[Shot]) -> dict[str, tuple[Attempt, ...]]:
    """Return what was tried of each shot that is linked to another, by its id, earliest first."""
    shots = tuple(shots)
    linked = _linked(desk, shots)
    chains = {shot.id: earlier_and_later(shot, linked.values()) for shot in shots}
    chains = {shot_id: chain for shot_id, chain in chains.items() if len(chain) > 1}
    if not chains:
        return {}
    ids = {one.id for chain in chains.values() for one in chain}
    outcomes = {one.shot_id: one for one in desk.outcomes.all(shot_id=ids) if one.is_stated}
    trips = {trip_id: slug for slug, trip_id in desk.trips.slugs().items()}
    return {
        shot_id: tuple(Attempt(one, outcomes.get(one.id), trips[one.trip_id]) for one in chain)
        for shot_id, chain in chains.items()
    }


def _linked(desk: Desk, shots: tuple[Shot, ...]) -> dict[str, Shot]:
    """The shots, all that they continue, and all that continue them."""
    found = {shot.id: shot for shot in shots}
    wanted = {shot.continues_id for shot in shots if shot.continues_id} - set(found)
    while wanted:
        before = desk.shots.all(id=wanted)
        found |= {one.id: one for one in before}
        wanted = {one.continues_id for one in before if one.continues_id} - set(found)
    wanted = {shot.id for shot in shots}
    while wanted:
        after = [one for one in desk.shots.all(continues_id=wanted) if one.id not in found]
        found |= {one.id: one for one in after}
        wanted = {one.id for one in after}
    return found
