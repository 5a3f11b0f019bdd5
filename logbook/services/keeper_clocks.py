"""Whose clock a picture's camera is compared with.

What brings pictures to the clock of their place is in `store/following`: no verb needs to ask for it.
"""

from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.store.desk import Desk
from logbook.store.following import clock_of, ground_of


def zone_meant(desk: Desk, trip: Trip, keeper: Keeper | None) -> str | None:
    """Return the zone of the clock that a picture's camera is compared with: the one where it was made."""
    if keeper is None:
        return trip.zone
    if keeper.zone is not None and keeper.provenance_of("zone") is Provenance.STATED:
        return keeper.zone
    clock = clock_of(keeper, ground_of(desk, trip, [keeper]))
    return clock.zone if clock else keeper.zone or trip.zone
