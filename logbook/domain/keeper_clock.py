"""Which zone's time a picture shows: that of the clock where and when it was made.

One surprising decision: only a picture whose instant is confirmed follows the place. Where a camera's clock
is merely assumed to show the trip's time, a border shifts nothing: it may have been set there or not, and
nobody knows which.
"""

from dataclasses import replace
from datetime import UTC
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import PlaceClock, ZoneFrom, shown_at
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import wall_at, zone_of

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
