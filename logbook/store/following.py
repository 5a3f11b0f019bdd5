"""Pictures brought to the clock of the place where each turned out to be made, whatever moved it there.

Surprising decisions: what may have moved a picture is read from the journal of the transaction that runs, at
its end. So no verb can forget it, and every list, page and search has the same time of a picture. Only a
picture whose instant is confirmed follows the place. Where a camera's clock is merely assumed to show the
trip's time, a border shifts nothing: it may have been set there or not, and nobody knows which.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING, Any

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import PlaceClock, ZoneFrom, shown_at
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import wall_at, zone_of
from logbook.store.portions import portions

if TYPE_CHECKING:
    from logbook.domain.trip import Trip
    from logbook.store.desk import Desk

_FROM_PLACE = (ZoneFrom.SITE, ZoneFrom.COORDINATE)
# Of each noun the fields that bear on whose clock counts for a picture, and which pictures they bear on.
_BEARING = {
    "keeper": (
        "trip_id viewpoint_id latitude_deg longitude_deg taken_local taken_utc zone clock_evidence",
        "SELECT id FROM moved",
    ),
    "viewpoint": (
        "site_id latitude_deg longitude_deg",
        "SELECT id FROM keeper WHERE viewpoint_id IN moved",
    ),
    "site": (
        "zone latitude_deg longitude_deg",
        "SELECT id FROM keeper WHERE viewpoint_id IN (SELECT id FROM viewpoint WHERE site_id IN moved)",
    ),
    "day": (
        "zone on_date trip_id",
        "SELECT id FROM keeper WHERE trip_id IN (SELECT trip_id FROM day WHERE id IN moved"
        " UNION SELECT v.value FROM change_row r JOIN change_value v ON v.seq = r.seq AND v.name = 'trip_id'"
        " WHERE r.seq > :since AND r.table_name = 'day')",
    ),
    "trip": ("zone day_ends_at", "SELECT id FROM keeper WHERE trip_id IN moved"),
}


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


def follow_places(desk: "Desk", since: int) -> int:
    """Give the pictures that moved after a mark in the journal the time of the clock where they were made.

    Returns the mark up to which they have followed.
    """
    ids = _moved(desk, since)
    for trip, keepers in _by_trip(desk, ids):
        ground = ground_of(desk, trip, keepers)
        for keeper in keepers:
            after = at_its_clock(keeper, ground)
            if after is not keeper:
                desk.keepers.put(replace(after, updated=desk.now()))
    return desk.journal.last_row()


def ground_of(desk: "Desk", trip: "Trip", keepers: Sequence[Keeper]) -> TripAccount:
    """Return what of a trip tells whose clock counts where some of its pictures were made."""
    viewpoints = desk.viewpoints.all(id={one.viewpoint_id for one in keepers if one.viewpoint_id})
    sites = desk.sites.all(id={one.site_id for one in viewpoints})
    desk.tallies.learn_zones([*(one.position for one in sites), *(one.position for one in viewpoints)])
    return TripAccount(
        trip=trip,
        sites={site.id: site for site in sites},
        viewpoints={viewpoint.id: viewpoint for viewpoint in viewpoints},
        days=tuple(desk.days.held(trip_id=trip.id)),
    )


def _moved(desk: "Desk", since: int) -> list[str]:
    """The ids of the pictures whose clock may be another one than at a mark in the journal."""
    from sqlalchemy import text

    ask = desk.connection.execute
    new = ask(text("SELECT DISTINCT table_name FROM change_row WHERE seq > :since"), {"since": since})
    found: dict[str, None] = {}
    for (noun,) in new.all():
        if noun not in _BEARING:
            continue
        fields, which = _BEARING[noun]
        names = ", ".join(f"'{name}'" for name in fields.split())
        moved = (
            "WITH moved (id) AS (SELECT row_id FROM change_row r WHERE seq > :since AND table_name = :noun"
            " AND (verb <> 'changed' OR EXISTS (SELECT 1 FROM change_value v"
            f" WHERE v.seq = r.seq AND v.name IN ({names})))) "
        )
        found.update(dict.fromkeys(ask(text(moved + which), {"since": since, "noun": noun}).scalars()))
    return list(found)


def _by_trip(desk: "Desk", ids: Sequence[str]) -> Iterator[tuple["Trip", list[Keeper]]]:
    for some in portions(ids):
        keepers = desk.keepers.all(id=set(some))
        for trip in desk.trips.all(id={one.trip_id for one in keepers}):
            yield trip, [one for one in keepers if one.trip_id == trip.id]
