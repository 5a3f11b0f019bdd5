"""Cutting a visit in two, and joining two into one.

One surprising decision: what held for the whole time holds for each part of it (place, support, purpose), but
a number of tries does not: nobody knows how it divides, so both parts are without one until somebody says.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from logbook.domain.belonging import spell_of, spells_of, visits_by_keeper
from logbook.domain.day import day_of, moment_on, window_on
from logbook.domain.errors import ConflictError, InvalidValueError
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance, VisitPurpose
from logbook.services.kinds import VISIT
from logbook.services.records import Listing, find, listing, put_new
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class VisitCut:
    """The parts of a visit that was cut, or the one that two became.

    `keepers` counts those of each; `tries` is the number that nobody can divide, or None.
    """

    listing: Listing
    keepers: tuple[int, ...]
    tries: int | None = None


def split_visit(book: Book, wanted: str, at: time) -> VisitCut:
    """Cut one visit in two at a given time."""
    with book.writing() as desk:
        before = find(desk, VISIT, wanted)
        parts = split(desk, before, at, book.now())
        return VisitCut(listing(desk, parts), _keepers_of(desk, parts), before.tries)


def join_visits(book: Book, wanted: str, other: str) -> VisitCut:
    """Join two visits to one viewpoint; the earlier one stays, with what was said of the later one."""
    with book.writing() as desk:
        joined = (join(desk, find(desk, VISIT, wanted), find(desk, VISIT, other), book.now()),)
        return VisitCut(listing(desk, joined), _keepers_of(desk, joined))


def split(
    desk: Desk, visit: Visit, at: time, now: datetime, *, may_end_there: bool = False
) -> tuple[Visit, Visit]:
    """Cut a visit in two within a transaction; the earlier part keeps id, name and journal.

    `may_end_there`: the later part may be the very minute of departure. Raises
    InvalidValueError for a time that does not lie between arrival and departure.
    """
    ends_at = _trip_of(desk, visit).day_ends_at
    arrived, departed = window_on(visit.on_date, visit.arrived_at, visit.departed_at, ends_at)
    cut = moment_on(visit.on_date, at, ends_at)
    if arrived is not None and departed is not None and cut <= arrived and cut.date() < date.max:
        cut += timedelta(days=1)  # a visit that goes on past the end of its day
    is_late = departed is not None and (cut > departed if may_end_there else cut >= departed)
    if is_late or (arrived is not None and cut <= arrived):
        raise InvalidValueError(f"{visit.slug} lasted {_times(visit)}; choose a time between the two.")
    first = replace(
        visit,
        departed_at=at,
        tries=None,
        provenance=_without(visit, "departed_at", "tries"),
        updated=now,
    )
    desk.visits.put(first)
    second = put_new(
        desk,
        VISIT,
        now,
        {
            "trip_id": visit.trip_id,
            "viewpoint_id": visit.viewpoint_id,
            "on_date": day_of(cut, ends_at),
            "arrived_at": at,
            "departed_at": visit.departed_at,
            "purpose": visit.purpose,
            "support": visit.support,
            "provenance": _without(visit, "arrived_at", "tries", "journal"),
        },
    )
    _name_anew(desk, visit, second, now, since=cut)
    return first, second


def join(desk: Desk, one: Visit, other: Visit, now: datetime) -> Visit:
    """Join two visits within a transaction: from the earlier arrival to the later departure.

    The tries are added where both are known. Raises ConflictError for visits that cannot be one.
    """
    trip = _trip_of(desk, one)
    first, last = sorted((one, other), key=lambda each: _begin(each, trip))
    _refuse_to_join(desk, first, last, trip)
    either = {name: first if getattr(first, name) is not None else last for name in ("purpose", "support")}
    said = {name: getattr(of, name) for name, of in either.items()}
    words = {name: of.provenance_of(name) for name, of in either.items()}
    for name in said:
        if getattr(last, name) not in (None, said[name]):  # one shot where one had scouted before
            said[name] = VisitPurpose.SHOOTING if name == "purpose" else None
    tries = None if first.tries is None or last.tries is None else first.tries + last.tries
    words["tries"] = first.provenance.get("tries") or last.provenance.get("tries")
    words["arrived_at"] = first.provenance_of("arrived_at")
    words["departed_at"] = last.provenance_of("departed_at")
    words["viewpoint_id"] = first.provenance_of("viewpoint_id") and last.provenance_of("viewpoint_id")
    joined = replace(
        first,
        departed_at=last.departed_at,
        tries=tries,
        journal="\n\n".join(text for text in (first.journal, last.journal) if text) or None,
        **said,
        provenance={
            name: word
            for name, word in words.items()
            if word not in (None, Provenance.STATED) and {**said, "tries": tries}.get(name, ...) is not None
        },
        updated=now,
    )
    desk.visits.put(joined)
    _name_anew(desk, last, joined, now)
    desk.visits.remove([last.id])
    return joined


def _name_anew(desk: Desk, old: Visit, new: Visit, now: datetime, since: datetime | None = None) -> None:
    """Let what was seen on a visit name another one; with a moment, only what was seen from then on."""
    ends_at = _trip_of(desk, old).day_ends_at
    for one in desk.conditions.all(visit_id=old.id):
        at = None if one.at is None else moment_on(one.on_date, one.at, ends_at)
        if since is None or (at is not None and at >= since):
            desk.conditions.put(replace(one, visit_id=new.id, updated=now))


def _refuse_to_join(desk: Desk, first: Visit, last: Visit, trip: Trip) -> None:
    if first.id == last.id:
        raise ConflictError(f"{first.slug} is already one visit; name two to join.")
    if (first.trip_id, first.viewpoint_id) != (last.trip_id, last.viewpoint_id):
        raise ConflictError(
            f"{first.slug} and {last.slug} are at different viewpoints; "
            'correct one first with "logbook visit edit NAME --viewpoint".'
        )
    if first.on_date != last.on_date:
        raise ConflictError(
            f"{first.slug} and {last.slug} are on different days; a visit lasts one day at most."
        )
    whole = spell_of("", first.on_date, first.arrived_at, last.departed_at, trip.day_ends_at)
    others = [
        each
        for each in desk.visits.all(trip_id=trip.id, on_date=first.on_date)
        if each.viewpoint_id != first.viewpoint_id
    ]
    for each, spell in zip(others, spells_of(others, trip.day_ends_at), strict=True):
        if whole.arrived and whole.departed and spell.overlaps(whole):
            raise ConflictError(
                f"{each.slug}, at another viewpoint, comes between them; they remain two visits."
            )


def _begin(visit: Visit, trip: Trip) -> tuple[bool, datetime]:
    arrived, departed = window_on(visit.on_date, visit.arrived_at, visit.departed_at, trip.day_ends_at)
    begin = arrived or departed
    return begin is None, begin or visit.created.replace(tzinfo=None)


def _trip_of(desk: Desk, visit: Visit) -> Trip:
    trip = desk.trips.get(visit.trip_id)
    assert trip is not None
    return trip


def _without(visit: Visit, *names: str) -> dict[str, Provenance]:
    return {name: word for name, word in visit.provenance.items() if name not in names}


def _times(visit: Visit) -> str:
    begin, end = (f"{at:%H:%M}" if at else "an unknown time" for at in (visit.arrived_at, visit.departed_at))
    return f"from {begin} to {end}"


def _keepers_of(desk: Desk, visits: Sequence[Visit]) -> tuple[int, ...]:
    """Return how many keepers each of some visits of one trip has."""
    trip = _trip_of(desk, visits[0])
    keepers = desk.keepers.all(trip_id=trip.id, viewpoint_id=visits[0].viewpoint_id)
    owners = list(visits_by_keeper(keepers, desk.visits.all(trip_id=trip.id), trip.day_ends_at).values())
    return tuple(owners.count(visit.id) for visit in visits)
