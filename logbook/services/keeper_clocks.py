"""The zone of a trip's pictures, brought to the clock of the place where each turned out to be made.

Surprising decisions: it is worked out again whenever a place, a day or a trip is told another zone, and never
when it is shown, so that every list, page and search has the same time of a picture. Only a picture whose
instant is confirmed follows the place. Where a camera's clock is merely assumed to show the trip's time, a
border shifts nothing: it may have been set there or not, and nobody knows which.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.day import Day
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import PlaceClock, ZoneFrom, shown_at
from logbook.domain.record import Record
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import wall_at, zone_of
from logbook.store.desk import Desk

_FROM_PLACE = (ZoneFrom.SITE, ZoneFrom.COORDINATE)


def clock_of(keeper: Keeper, account: TripAccount) -> PlaceClock | None:
    """Return whose clock counts where and when a picture was made; None where that is not known.

    What is said of its viewpoint's site goes first, then its own position, then its viewpoint's.
    """
    if keeper.taken_utc is None:
        return None
    there: dict[str, Any] = {"viewpoint_id": keeper.viewpoint_id, "position": keeper.position}
    if account.clock_on(None, **there) is None:
        return None
    ends_at = account.trip.day_ends_at
    day, _ = shown_at(keeper.taken_utc, lambda day: account.zone_on(day, **there) or UTC, ends_at)
    return account.clock_on(day, **there)


def at_its_clock(keeper: Keeper, account: TripAccount) -> Keeper:
    """Return a picture with the time of the clock where it was made; itself where that is so already.

    A zone that a person stated for it stands.
    """
    is_stated = keeper.zone is not None and keeper.provenance_of("zone") is Provenance.STATED
    is_assumed = keeper.clock_evidence in (None, ClockEvidence.ASSUMED)
    if is_stated or is_assumed or keeper.taken_utc is None or (camera := keeper.camera_time) is None:
        return keeper
    clock = clock_of(keeper, account)
    if clock is None or clock.zone == keeper.zone:
        return keeper
    local = wall_at(keeper.taken_utc, zone_of(clock.zone))
    added_s = round((local - camera).total_seconds())
    words = dict(keeper.provenance)
    words["zone"] = Provenance.INFERRED if clock.zone_from in _FROM_PLACE else Provenance.ASSUMED
    if keeper.provenance_of("taken_local") is not Provenance.STATED:
        words["taken_local"] = words.get("taken_utc", Provenance.CAMERA) if added_s else Provenance.CAMERA
    return replace(keeper, taken_local=local, zone=clock.zone, clock_offset_s=added_s, provenance=words)


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
