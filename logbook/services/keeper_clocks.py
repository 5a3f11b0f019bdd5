"""The zone of a trip's pictures, brought to the clock of the place where each turned out to be made.

One surprising decision: it is worked out again whenever a place, a day or a trip is told another zone, and
never when it is shown, so that every list, page and search has the same time of a picture.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from logbook.domain.account import TripAccount
from logbook.domain.day import Day
from logbook.domain.keeper import Keeper
from logbook.domain.keeper_clock import at_its_clock, clock_of
from logbook.domain.record import Record
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance
from logbook.store.desk import Desk


def follow_places(desk: Desk, trip: Trip, now: datetime, keepers: Sequence[Keeper] | None = None) -> int:
    """Give keepers, or all of a trip, the time of the clock where they were made; return how many changed."""
    found = desk.keepers.all(trip_id=trip.id) if keepers is None else keepers
    if not found:
        return 0
    ground = _ground(desk, trip)
    changed = 0
    for keeper in found:
        after = at_its_clock(keeper, ground)
        if after is not keeper:
            desk.keepers.put(replace(after, updated=now))
            changed += 1
    return changed


def zone_meant(desk: Desk, trip: Trip, keeper: Keeper | None) -> str | None:
    """Return the zone of the clock that a picture's camera is compared with: the one where it was made."""
    if keeper is None:
        return trip.zone
    if keeper.zone is not None and keeper.provenance_of("zone") is Provenance.STATED:
        return keeper.zone
    clock = clock_of(keeper, _ground(desk, trip))
    return clock.zone if clock else keeper.zone or trip.zone


def _ground(desk: Desk, trip: Trip) -> TripAccount:
    """What of a trip tells whose clock counts where."""
    return TripAccount(
        trip=trip,
        sites={site.id: site for site in desk.sites.held()},
        viewpoints={viewpoint.id: viewpoint for viewpoint in desk.viewpoints.held()},
        days=tuple(desk.days.held(trip_id=trip.id)),
    )


def follow_edited(desk: Desk, before: Record, after: Record, now: datetime) -> None:
    """Give the keepers of every trip that an edited place, day or trip bears on the time of its clock."""
    names = ("zone", "latitude_deg", "longitude_deg", "site_id")
    told = [name for name in names if getattr(before, name, None) != getattr(after, name, None)]
    if not told or not isinstance(after, (Site, Viewpoint, Day, Trip)):
        return
    if isinstance(after, Trip):
        trips = [after]
    elif isinstance(after, Day):
        trips = desk.trips.all(id=after.trip_id)
    else:
        there = {after.id} if isinstance(after, Viewpoint) else desk.viewpoints.values("id", site_id=after.id)
        trips = desk.trips.all(id=desk.keepers.values("trip_id", viewpoint_id=there)) if there else []
    for trip in trips:
        follow_places(desk, trip, now)
