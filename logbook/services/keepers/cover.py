"""The picture that stands for a trip: the one that a person chose to open it, else its best.

One surprising decision: only the trip's own records are asked, not its whole account, for a list of trips
shows a cover for each.
"""

from logbook.domain.account import TripAccount
from logbook.domain.choosing import opening_of
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.store.desk import Desk

USUAL_SHAPE = (3, 2)  # width to height of a picture whose file does not say


def cover_of(desk: Desk, trip: Trip) -> Keeper | None:
    """Return the picture that stands for a trip, or None where it has none."""
    chosen = desk.keepers.first(trip_id=trip.id, opening=True)
    if chosen is not None:
        return chosen
    keepers = in_order(desk.keepers.all(trip_id=trip.id))
    shots = tuple(desk.shots.all(trip_id=trip.id))
    outcomes = {one.shot_id: one for one in desk.outcomes.all(shot_id={shot.id for shot in shots})}
    visits = tuple(desk.visits.all(trip_id=trip.id))
    account = TripAccount(trip=trip, sites={}, viewpoints={}, shots=shots, outcomes=outcomes, visits=visits)
    sizes = {one.id: one.upright_px or USUAL_SHAPE for one in keepers}
    return opening_of(account, keepers, {one: width / height for one, (width, height) in sizes.items()})
