"""The pictures of what was found: a keeper itself, those of a shot, of a place, of a day or a visit.

A place is shown by a picture that was planned there, if there is one: the first of a day is often of the way.

One surprising decision: what belongs to no picture has none, rather than one that only looks nice.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from logbook.domain.keeper import Keeper, in_order
from logbook.services.accounts import day_of
from logbook.store.desk import Desk
from logbook.store.text_index.asking import FoundDocument


def pictures_found(desk: Desk, found: Iterable[FoundDocument]) -> dict[str, Keeper]:
    """Return the first picture of each result that has one, by the record's id."""
    about = ((one.record_id, planned_first(_about(desk, one))) for one in found)
    return {record_id: keepers[0] for record_id, keepers in about if keepers}


def planned_first(keepers: Iterable[Keeper]) -> list[Keeper]:
    """Return keepers in order of time, those for a planned shot before the others."""
    return sorted(in_order(keepers), key=lambda one: one.shot_id is None)


def of_site(desk: Desk, site_id: str) -> list[Keeper]:
    """Return the keepers made at a site, those for a planned shot first."""
    stands = {one.id for one in desk.viewpoints.all(site_id=site_id)}
    return planned_first(desk.keepers.all(viewpoint_id=stands)) if stands else []


def keepers_found(desk: Desk, found: Iterable[FoundDocument]) -> tuple[Keeper, ...]:
    """Return the keepers among the results and those that serve the shots among them, each once, in order."""
    kinds = ("keeper", "shot")
    of_each = (_about(desk, one) for one in found if one.kind in kinds)
    return tuple(in_order({one.id: one for group in of_each for one in group}.values()))


def _about(desk: Desk, found: FoundDocument) -> Sequence[Keeper]:
    if found.kind == "keeper":
        keeper = desk.keepers.get(found.record_id)
        return [keeper] if keeper else []
    if found.kind == "shot":
        return desk.keepers.all(shot_id=found.record_id)
    if found.kind == "viewpoint":
        return desk.keepers.all(viewpoint_id=found.record_id)
    if found.kind == "site":
        return of_site(desk, found.record_id)
    record: Any = None
    if found.kind in ("visit", "condition", "lesson", "day"):
        record = getattr(desk, f"{found.kind}s").get(found.record_id)
    return _of_day(desk, record) if record is not None else []


def _of_day(desk: Desk, record: Any) -> Sequence[Keeper]:
    """The pictures of a day of a trip, at the record's viewpoint where it has one."""
    trip = desk.trips.get(record.trip_id) if record.trip_id else None
    if trip is None or record.on_date is None:
        return []
    of_day = [one for one in desk.keepers.all(trip_id=trip.id) if day_of(one, trip) == record.on_date]
    viewpoint_id = getattr(record, "viewpoint_id", None)
    return [one for one in of_day if viewpoint_id in (None, one.viewpoint_id)]
