"""Stating a clock of a camera body on a trip, and putting all its keepers right by what is known then.

One surprising decision: what was stated of other ranges of frames stays, so that a clock which was reset
on the way needs one statement for each stretch and no order among them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from logbook.craft.clocks import clock_at
from logbook.domain.clock import BodyClock
from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services.clocks.history import WHOLE, ClockStretch, in_force, say_the_same, with_statement
from logbook.services.clocks.settled import put_right, settled
from logbook.services.tracks import place_keepers
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class ClockStatement:
    """How far a body's clock is ahead of UTC within a stretch of its own time; `zone` is the place's."""

    body: str
    ahead_s: int
    stretch: ClockStretch = WHOLE
    evidence: ClockEvidence = ClockEvidence.STATED
    note: str = "stated"
    zone: str | None = None


def state_clock(desk: Desk, book: Book, trip: Trip, statement: ClockStatement) -> BodyClock:
    """State a body's clock; what was said of other ranges stays.

    Without a stretch it takes the place of all that was said. Raises WrongUseError where nothing is known of
    the clock behind the stretch.
    """
    since, until = statement.stretch.since, statement.stretch.until
    before = desk.clocks.all(trip_id=trip.id, body=statement.body)
    said = BodyClock(
        **new_record(book.now()),
        trip_id=trip.id,
        body=statement.body,
        ahead_s=statement.ahead_s,
        zone=statement.zone,
        evidence=statement.evidence,
        since=since,
        note=statement.note,
    )
    is_known_behind = until is None or any(one.since is None or one.since <= until for one in before)
    behind = _behind(desk, trip, said, until) if until is not None and not is_known_behind else None
    after = with_statement(before, said, until, behind)
    if say_the_same(before, after):
        return next(one for one in before if one.since == since)
    kept = {one.id for one in after}
    desk.clocks.remove(one.id for one in before if one.id not in kept)
    desk.clocks.add(*(one for one in after if one not in before))
    return said


def _behind(desk: Desk, trip: Trip, said: BodyClock, until: datetime) -> BodyClock:
    """Return what holds from the end of a range on where nothing was stated: what files and trip tell."""
    clock = clock_at(settled(desk, trip, desk.keepers.all(trip_id=trip.id)), said.body, until)
    if clock is None or clock.ahead_s is None or clock.kind is None:
        raise WrongUseError(
            f"Nothing shows how the clock of {said.body} ran after that; state it for all its frames first, "
            "or give the trip a zone: trip edit --zone."
        )
    evidence = ClockEvidence(clock.kind)
    return replace(
        said,
        **new_record(said.created),
        ahead_s=round(clock.ahead_s),
        zone=None,
        evidence=evidence,
        since=until,
        note="as before",
    )


def apply_clocks(
    desk: Desk,
    book: Book,
    trip: Trip,
    bodies: Iterable[str],
    zone: str | None = None,
    stretch: ClockStretch = WHOLE,
) -> int:
    """Put keepers of some bodies right by what is known of their clocks; return how many changed.

    Only those within the stretch of a body's own time are touched. Those whose position came from a track
    are placed again, because they were made at another moment.
    """
    wanted = set(bodies)
    keepers = desk.keepers.all(trip_id=trip.id)
    clocks = settled(desk, trip, keepers)
    changed = 0
    for keeper in keepers:
        wall = keeper.camera_time
        if keeper.camera in wanted and wall is not None and stretch.holds(wall):
            after = put_right(keeper, clocks, book.now(), stated_zone=zone, trip_zone=trip.zone)
            if after is not keeper:
                desk.keepers.put(after)
                changed += 1
    place_keepers(desk, book, trip)
    return changed


def as_stated(
    desk: Desk, book: Book, trip: Trip, keepers: Sequence[Keeper], beside: Iterable[Keeper]
) -> list[Keeper]:
    """Return keepers that are being taken in, put right by what was stated of their cameras before.

    Only frames for which somebody stated a clock are; evidence in files is that of the keepers `beside`, so
    that it costs no more in a large book. Seconds that were stated with the import itself stand.
    """
    records: dict[str, list[BodyClock]] = {}
    for record in desk.clocks.all(trip_id=trip.id, body={keeper.camera for keeper in keepers}):
        records.setdefault(record.body, []).append(record)
    if not records:
        return list(keepers)
    clocks = settled(desk, trip, beside)
    result = []
    for keeper in keepers:
        wall = keeper.camera_time
        stated = in_force(records.get(keeper.camera, ()), wall) if wall else None
        if stated is None or keeper.clock_offset_s:
            result.append(keeper)
            continue
        zone = None if keeper.provenance_of("zone") is Provenance.STATED else stated.zone
        result.append(put_right(keeper, clocks, book.now(), stated_zone=zone, trip_zone=trip.zone))
    return result
