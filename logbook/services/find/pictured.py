"""The pictures of what was found: a keeper itself, those of a shot, of a place, of a day or a visit.

A place is shown by a picture that was planned there, if there is one: the first of a day is often of the way.

One surprising decision: what belongs to no picture has none, rather than one that only looks nice; what was
seen at 17:20 is not shown by a picture of the morning.
"""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from logbook.domain.day import moment_on
from logbook.domain.keeper import Keeper, in_order
from logbook.services.accounts import day_of
from logbook.store.desk import Desk
from logbook.store.text_index.asking import FoundDocument

NEAR = timedelta(minutes=30)  # between an observation and a picture that may show it; own convention
PICTURES_OF_RECORD = 2  # that stand beside one of many observations or lessons


def pictures_found(desk: Desk, found: Iterable[FoundDocument]) -> dict[str, Keeper]:
    """Return the first picture of each result that has one, by the record's id."""
    about = ((one.record_id, _about(desk, one)) for one in found)
    return {record_id: keepers[0] for record_id, keepers in about if keepers}


def planned_first(keepers: Iterable[Keeper]) -> list[Keeper]:
    """Return keepers in order of time, those for a planned shot before the others."""
    return sorted(in_order(keepers), key=lambda one: one.shot_id is None)


def of_site(desk: Desk, site_id: str) -> list[Keeper]:
    """Return the keepers made at a site, those for a planned shot first."""
    stands = _stands(desk, site_id)
    return planned_first(desk.keepers.all(viewpoint_id=stands)) if stands else []


def _stands(desk: Desk, site_id: str) -> set[str]:
    return {one.id for one in desk.viewpoints.all(site_id=site_id)}


def keepers_found(desk: Desk, found: Iterable[FoundDocument]) -> tuple[Keeper, ...]:
    """Return the keepers among the results and those that serve the shots among them, each once, in order."""
    kinds = ("keeper", "shot")
    of_each = (_about(desk, one) for one in found if one.kind in kinds)
    return tuple(in_order({one.id: one for group in of_each for one in group}.values()))


def of_day(desk: Desk, trip_id: str | None, on_date: date | None, stands: set[str]) -> list[Keeper]:
    """Return the keepers of a day at some viewpoints, or anywhere, those for a planned shot first."""
    trip = desk.trips.get(trip_id) if trip_id else None
    if trip is None or on_date is None:
        return []
    made = desk.keepers.all(trip_id=trip.id, **({"viewpoint_id": stands} if stands else {}))
    return planned_first(one for one in made if day_of(one, trip) == on_date)


def of_record(desk: Desk, record: Any) -> list[Keeper]:
    """Return the keepers that a visit, condition, lesson or day is about: of its shot, or day and place.

    Of a time that it names those within `NEAR`, the nearest first.
    """
    shot_id, viewpoint_id, site_id = (
        getattr(record, name, None) for name in ("shot_id", "viewpoint_id", "site_id")
    )
    if shot_id:
        return planned_first(desk.keepers.all(shot_id=shot_id))
    stands = {viewpoint_id} if viewpoint_id else _stands(desk, site_id) if site_id else set()
    if site_id and not stands:
        return []
    found = of_day(desk, record.trip_id, record.on_date, stands)
    at = getattr(record, "at", None)
    if not found or at is None:
        return found
    trip = desk.trips.get(record.trip_id)
    assert trip is not None
    seen = moment_on(record.on_date, at, trip.day_ends_at)
    away = {one.id: abs(one.place_time - seen) for one in found if one.place_time is not None}
    return sorted((one for one in found if away[one.id] <= NEAR), key=lambda one: away[one.id])


def _about(desk: Desk, found: FoundDocument) -> Sequence[Keeper]:
    if found.kind == "keeper":
        keeper = desk.keepers.get(found.record_id)
        return [keeper] if keeper else []
    if found.kind == "shot":
        return in_order(desk.keepers.all(shot_id=found.record_id))
    if found.kind == "viewpoint":
        return planned_first(desk.keepers.all(viewpoint_id=found.record_id))
    if found.kind == "site":
        return of_site(desk, found.record_id)
    record: Any = None
    if found.kind in ("visit", "condition", "lesson", "day"):
        record = getattr(desk, f"{found.kind}s").get(found.record_id)
    return of_record(desk, record) if record is not None else []
