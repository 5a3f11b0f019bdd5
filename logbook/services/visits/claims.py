"""Which keepers a visit of stated times claims, though nothing else says where they were made.

One surprising decision: a stated time outranks what was worked out, never what a person placed, and never a
picture's own position at another viewpoint: there the clock or the statement is wrong, and a person decides.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from logbook.craft.placing import nearest_spot
from logbook.craft.stays import REACH_M
from logbook.domain.belonging import spells_of, visit_at, visits_by_keeper
from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.services.places.viewpoints import Spot, spots_near
from logbook.services.visits.room import ENDS, spell_in
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class Claimed:
    """What a visit claimed: keepers at its viewpoint now, and those of its time that stay elsewhere."""

    taken: tuple[Keeper, ...] = ()
    elsewhere: tuple[Keeper, ...] = ()


def are_times_stated(visit: Visit) -> bool:
    """Whether a person said both when a visit began and when it ended."""
    return all(visit.provenance_of(name) is Provenance.STATED for name in ENDS)


def owners_stated(
    keepers: Sequence[Keeper],
    visits: Iterable[Visit],
    trip: Trip,
    viewpoints: Mapping[str, str],
    spots: Sequence[Spot],
) -> dict[str, str]:
    """Return the id of the visit of stated times that each keeper was made on, by the keeper's id.

    A keeper at a visit's viewpoint is its by place and time; one that nobody placed by time alone, unless its
    own position speaks against that. `viewpoints` are slugs by id, `spots` what lies near the keepers.
    """
    stated = [one for one in visits if are_times_stated(one)]
    owners = visits_by_keeper(keepers, stated, trip.day_ends_at)
    for keeper in keepers:
        taken = keeper.place_time
        if keeper.id in owners or taken is None or _is_placed(keeper):
            continue
        on_day = [one for one in stated if one.on_date == day_of(taken, trip.day_ends_at)]
        around = [
            one
            for one in on_day
            if _contains(one, trip, taken)
            and not _speaks_against(keeper, viewpoints[one.viewpoint_id], spots)
        ]
        if owner := visit_at(taken, spells_of(around, trip.day_ends_at)):
            owners[keeper.id] = owner
    return owners


def claim(desk: Desk, trip: Trip, visit: Visit, now: datetime) -> Claimed:
    """Infer a visit's viewpoint for the keepers of its stated time; nothing where a time was not stated."""
    viewpoint = desk.viewpoints.get(visit.viewpoint_id)
    if viewpoint is None or not are_times_stated(visit):
        return Claimed()
    keepers = [
        one
        for one in desk.keepers.all(trip_id=trip.id)
        if one.viewpoint_id != visit.viewpoint_id
        and one.place_time is not None
        and _contains(visit, trip, one.place_time)
    ]
    spots = spots_near(desk, places_of(keepers))
    taken, elsewhere = [], []
    for keeper in keepers:
        if _is_placed(keeper) or _speaks_against(keeper, viewpoint.slug, spots):
            elsewhere.append(keeper)
            continue
        words = {**keeper.provenance, "viewpoint_id": Provenance.INFERRED}
        after = replace(keeper, viewpoint_id=viewpoint.id, provenance=words, updated=now)
        desk.keepers.put(after)
        taken.append(after)
    return Claimed(tuple(taken), tuple(elsewhere))


def let_go(desk: Desk, trip: Trip, own: Collection[str], now: datetime) -> int:
    """Forget the inferred place of keepers that were a visit's and are no visit's any more; return how many.

    Those with a position of their own keep theirs.
    """
    keepers = desk.keepers.all(trip_id=trip.id)
    owners = visits_by_keeper(keepers, desk.visits.all(trip_id=trip.id), trip.day_ends_at)
    gone = [
        one
        for one in keepers
        if one.id in own and one.id not in owners and not _is_placed(one) and one.latitude_deg is None
    ]
    for keeper in gone:
        words = {name: word for name, word in keeper.provenance.items() if name != "viewpoint_id"}
        desk.keepers.put(replace(keeper, viewpoint_id=None, provenance=words, updated=now))
    return len(gone)


def places_of(keepers: Iterable[Keeper]) -> list[tuple[float, float]]:
    """Return where some keepers were made, in degrees, as far as they know it themselves."""
    return [
        (one.latitude_deg, one.longitude_deg)
        for one in keepers
        if one.latitude_deg is not None and one.longitude_deg is not None
    ]


def _is_placed(keeper: Keeper) -> bool:
    return keeper.provenance_of("viewpoint_id") is Provenance.STATED


def _contains(visit: Visit, trip: Trip, taken: datetime) -> bool:
    spell, minute = spell_in(trip, visit), taken.replace(second=0, microsecond=0)
    return (
        spell.arrived is not None and spell.departed is not None and spell.arrived <= minute <= spell.departed
    )


def _speaks_against(keeper: Keeper, viewpoint: str, spots: Sequence[Spot]) -> bool:
    """Whether a keeper's own position lies at another viewpoint of the book, and not at this one."""
    near = [
        spot.key
        for latitude_deg, longitude_deg in places_of([keeper])
        for spot in spots
        if (found := nearest_spot(latitude_deg, longitude_deg, (spot,))) and found.distance_m <= REACH_M
    ]
    return bool(near) and viewpoint not in near
