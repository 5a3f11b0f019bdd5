"""Clocks of camera bodies on a trip: what vouches for them, and putting all keepers right by it.

One surprising decision: a correction is never added to a corrected time; it is worked out anew from the
camera's own reading, so that a clock may be changed as often as one learns better.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from logbook.craft.clocks import (
    BodyClock as Settled,
)
from logbook.craft.clocks import (
    ClockFact,
    EvidenceKind,
    Tie,
    clock_at,
    from_gps_time,
    from_offset_tag,
    settle_clocks,
)
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.night import BodyClock
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services.keepers import one_keeper
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

NAMELESS = "a camera that does not say its name"
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")


@dataclass(frozen=True, slots=True)
class ClockSet:
    """What was done to a body's keepers."""

    trip: str
    clock: BodyClock
    correction_s: int
    changed: int


def body_of(keeper: Keeper) -> str:
    """Return the name under which a keeper's camera is known."""
    return keeper.body or NAMELESS


def wall_of(keeper: Keeper) -> datetime | None:
    """Return the camera's own reading (naive), before any correction."""
    if keeper.taken_local is None:
        return None
    return keeper.taken_local - timedelta(seconds=keeper.clock_offset_s)


def settled(desk: Desk, trip: Trip, keepers: Iterable[Keeper]) -> tuple[Settled, ...]:
    """Return what is known of each body's clock: what people said of it, then what its files vouch for."""
    facts: list[ClockFact] = []
    bodies: dict[str, None] = {}
    first: datetime | None = None
    for keeper in keepers:
        body, wall = body_of(keeper), wall_of(keeper)
        bodies[body] = None
        if wall is None:
            continue
        first = min(first or wall, wall)
        if (offset_min := _offset_min(keeper.utc_offset_text)) is not None:
            facts.append(from_offset_tag(body, wall, offset_min, keeper.file))
        if keeper.gps_utc is not None:
            facts.append(from_gps_time(body, wall, keeper.gps_utc, keeper.file))
    for said in desk.clocks.all(trip_id=trip.id):
        if said.body in bodies:
            kind = EvidenceKind(said.evidence)
            facts.append(ClockFact(said.body, kind, said.ahead_s, 0.0, said.note or "stated", said.since))
    assumed_s = offset_s_of(trip.zone, first) if trip.zone and first else None
    return settle_clocks(bodies, facts, (), assumed_s)


def offset_s_of(zone: str, wall: datetime) -> int:
    """Return a zone's offset from UTC at a wall time, in seconds."""
    offset = wall.replace(tzinfo=ZoneInfo(zone)).utcoffset()
    return int(offset.total_seconds()) if offset else 0


def _offset_min(text: str | None) -> int | None:
    found = _OFFSET.fullmatch((text or "").strip())
    if not found:
        return None
    minutes = int(found[2]) * 60 + int(found[3])
    return -minutes if found[1] == "-" else minutes


def put_right(keeper: Keeper, clocks: Iterable[Settled], zone: str | None, now: datetime) -> Keeper:
    """Return a keeper with instant and place time by its body's clock; itself where nothing is known."""
    wall = wall_of(keeper)
    clock = clock_at(clocks, body_of(keeper), wall) if wall else None
    place = zone or keeper.zone
    if wall is None or clock is None or clock.ahead_s is None or clock.kind is None:
        return keeper
    instant = clock.instant(wall)
    if instant is None:
        return keeper
    place_offset_s = _place_offset_s(instant, place, clock)
    correction_s = round(place_offset_s - clock.ahead_s)
    kind = ClockEvidence(clock.kind)
    after = replace(
        keeper,
        taken_local=wall + timedelta(seconds=correction_s),
        taken_utc=instant,
        zone=place,
        clock_offset_s=correction_s,
        clock_evidence=kind,
        provenance={**keeper.provenance, **_provenance(kind, correction_s, stated_zone=zone is not None)},
    )
    return replace(after, updated=now) if after != keeper else keeper


def _place_offset_s(instant: datetime, place: str | None, clock: Settled) -> float:
    if place is None:
        return float(clock.zone_offset_s or 0)
    offset = instant.astimezone(ZoneInfo(place)).utcoffset()
    return offset.total_seconds() if offset else 0.0


def _provenance(kind: ClockEvidence, correction_s: int, *, stated_zone: bool) -> dict[str, Provenance]:
    words = {
        ClockEvidence.OFFSET_TAG: Provenance.CAMERA,
        ClockEvidence.GPS_TIME: Provenance.INFERRED,
        ClockEvidence.SAME_MOMENT: Provenance.INFERRED,
        ClockEvidence.ASSUMED: Provenance.ASSUMED,
    }
    word = words.get(kind, Provenance.STATED)
    result = {"taken_utc": word, "taken_local": Provenance.CAMERA if correction_s == 0 else word}
    return result | ({"zone": Provenance.STATED} if stated_zone else {})


def apply_clocks(desk: Desk, book: Book, trip: Trip, bodies: Iterable[str], zone: str | None = None) -> int:
    """Put all keepers of some bodies right by what is known of their clocks; return how many changed."""
    wanted = set(bodies)
    keepers = desk.keepers.all(trip_id=trip.id)
    clocks = settled(desk, trip, keepers)
    changed = 0
    for keeper in keepers:
        if body_of(keeper) in wanted:
            after = put_right(keeper, clocks, zone, book.now())
            if after is not keeper:
                desk.keepers.put(after)
                changed += 1
    return changed


@dataclass(frozen=True, slots=True)
class ClockSaid:
    """What a person says of a clock: how fast it runs, or a keeper and the right time it should show."""

    fast_s: int | None = None
    shown: datetime | None = None  # the place's wall time at the moment of `keeper`
    keeper: str | None = None
    tied_to: str | None = None  # a keeper of another body, of the same moment
    zone: str | None = None


def set_clock(book: Book, trip: str | None, body: str | None, said: ClockSaid) -> ClockSet:
    """State a body's clock from a number, a photographed clock or the same moment in another body."""
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        keepers = desk.keepers.all(trip_id=of_trip.id)
        frame = one_keeper(desk, said.keeper, {"trip_id": of_trip.id}) if said.keeper else None
        name = body_of(frame) if frame else _body_named(body, keepers)
        ahead_s, evidence, note = _ahead(desk, of_trip, keepers, name, frame, said)
        for before in desk.clocks.all(trip_id=of_trip.id, body=name):
            desk.clocks.remove([before.id])
        clock = BodyClock(
            **new_record(book.now()),
            trip_id=of_trip.id,
            body=name,
            ahead_s=ahead_s,
            zone=said.zone,
            evidence=evidence,
            note=note,
        )
        desk.clocks.add(clock)
        changed = apply_clocks(desk, book, of_trip, [name], said.zone)
        zone = said.zone or of_trip.zone
        first = next((wall for keeper in keepers if (wall := wall_of(keeper))), None)
        place_s = offset_s_of(zone, first) if zone and first else 0
        return ClockSet(of_trip.slug, clock, place_s - ahead_s, changed)


def _body_named(body: str | None, keepers: list[Keeper]) -> str:
    bodies = sorted({body_of(keeper) for keeper in keepers})
    if body is None and len(bodies) == 1:
        return bodies[0]
    fitting = [name for name in bodies if body is not None and body.lower() in name.lower()]
    if len(fitting) == 1:
        return fitting[0]
    listed = ", ".join(bodies) or "none; import keepers first"
    raise NotFoundError(f"Say which camera with --body; the keepers of this trip come from: {listed}.")


def _ahead(
    desk: Desk, trip: Trip, keepers: list[Keeper], body: str, frame: Keeper | None, said: ClockSaid
) -> tuple[int, ClockEvidence, str]:
    zone = said.zone or trip.zone
    wall = (
        wall_of(frame)
        if frame
        else next((wall for keeper in keepers if body_of(keeper) == body and (wall := wall_of(keeper))), None)
    )
    if wall is None:
        raise WrongUseError(f"No keeper of {body} knows when it was taken; its clock cannot be put right.")
    if said.tied_to is not None and frame is not None:
        other = one_keeper(desk, said.tied_to, {"trip_id": trip.id})
        other_wall = wall_of(other)
        if other_wall is None or body_of(other) == body:
            raise WrongUseError("The same moment needs a keeper of another camera that knows its time.")
        known = settled(desk, trip, [one for one in keepers if body_of(one) != body])
        tie = Tie(body, wall, body_of(other), other_wall, f"{frame.file} and {other.file}")
        facts = [fact for clock in known for fact in clock.evidence]
        clocks = settle_clocks([body], facts, [tie])
        mine = next(clock for clock in clocks if clock.body == body)
        if mine.ahead_s is None:
            raise WrongUseError(
                f"Nothing vouches for the clock of {body_of(other)} either; state one of them."
            )
        return round(mine.ahead_s), ClockEvidence.SAME_MOMENT, tie.source
    if zone is None:
        raise WrongUseError("Say the place's zone with --zone, or give the trip one: trip edit --zone.")
    place_s = offset_s_of(zone, said.shown or wall)
    if said.shown is not None and frame is not None:
        ahead_s = place_s + round((wall - said.shown).total_seconds())
        return ahead_s, ClockEvidence.PHOTOGRAPHED_CLOCK, f"{frame.file} shows {said.shown:%H:%M:%S}"
    return place_s + (said.fast_s or 0), ClockEvidence.STATED, "stated"
