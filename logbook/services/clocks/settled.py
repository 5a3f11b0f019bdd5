"""What is known of the clocks of camera bodies, and the instant of one picture by it: a file's or a keeper's.

One surprising decision: a correction is never added to a corrected time; it is worked out again from the
camera's own reading, so that a clock may be changed as often as one learns better. Of a file alone only the
zone is taken: how fast the clock runs is settled for the body, as single satellite times are old now and then
and would put frames out of order. A stated zone fills in where the file is silent, a trip's zone is assumed.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from logbook.craft.clock_facts import ClockFact, from_gps_time, from_offset_tag
from logbook.craft.clocks import NOTHING_ASSUMED, AssumedOffset, SettledClock, clock_at, settle_clocks
from logbook.domain.camera import CameraFacts
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import zone_of
from logbook.intake.exif.times import minutes_east
from logbook.services.clocks.history import SAID, facts_of
from logbook.store.desk import Desk

PAUSE = timedelta(days=7)  # so long without a frame, a clock may have been set again (own convention)


def settled(desk: Desk, trip: Trip, keepers: Iterable[Keeper]) -> tuple[SettledClock, ...]:
    """Return what is known of each body's clock: what people said of it, then what its files confirm."""
    facts: list[ClockFact] = []
    bodies: dict[str, list[datetime]] = {}
    for keeper in keepers:
        body, wall = keeper.camera, keeper.camera_time
        walls = bodies.setdefault(body, [])
        if wall is None:
            continue
        walls.append(wall)
        offset_min = minutes_east(keeper.utc_offset_text or "")
        facts += facts_of_frame(body, wall, offset_min, keeper.gps_utc, keeper.file)
    for body in bodies:
        facts += facts_of(desk.clocks.all(trip_id=trip.id, body=body))
    assumed = _assumed(trip.zone, bodies) if trip.zone else NOTHING_ASSUMED
    return settle_clocks(bodies, facts, (), assumed)


def _assumed(zone: str, bodies: Mapping[str, Collection[datetime]]) -> dict[str, tuple[AssumedOffset, ...]]:
    """Return what is assumed of each body's clock, by the times of its frames: that it was set to the zone.

    It was set when a run of frames began and shows the same through a change of the place's clocks. A run
    ends where no camera made a frame for `PAUSE`: pictures of last winter that are still on the card do not
    tell how the clock was set in summer.
    """
    begins: dict[datetime, datetime] = {}
    last: datetime | None = None
    for wall in sorted(set().union(*bodies.values())):
        begins[wall] = wall if last is None or wall - last > PAUSE else begins[last]
        last = wall
    assumed: dict[str, tuple[AssumedOffset, ...]] = {}
    for body, walls in bodies.items():
        known: tuple[AssumedOffset, ...] = ()
        for wall in sorted(set(walls)):
            ahead_s = offset_s_of(zone, begins[wall])
            if not known or known[-1].ahead_s != ahead_s:
                known = (*known, AssumedOffset(wall if known else None, ahead_s))
        assumed[body] = known
    return assumed


def offset_s_of(zone: str, wall: datetime, *, later: bool = False) -> int:
    """Return a zone's offset from UTC at a wall time, in seconds; of a time that comes twice, the later's."""
    offset = wall.replace(tzinfo=zone_of(zone), fold=int(later)).utcoffset()
    return int(offset.total_seconds()) if offset else 0


def facts_of_frame(
    body: str, wall: datetime, offset_min: int | None, gps_utc: datetime | None, source: str
) -> list[ClockFact]:
    """Return what one file confirms: its offset tag, in minutes, and the satellites' time."""
    facts = []
    if offset_min is not None:
        facts.append(from_offset_tag(body, wall, offset_min, source))
    if gps_utc is not None:
        facts.append(from_gps_time(body, wall, gps_utc, source))
    return facts


def put_right(
    keeper: Keeper,
    clocks: Iterable[SettledClock],
    now: datetime,
    *,
    stated_zone: str | None = None,
    trip_zone: str | None = None,
) -> Keeper:
    """Return a keeper with instant and place time by its body's clock; itself where nothing is known.

    What a person said when it was taken in stands until somebody says something of that clock.
    """
    wall = keeper.camera_time
    clock = clock_at(clocks, keeper.camera, wall) if wall else None
    if wall is None or clock is None or clock.ahead_s is None or clock.kind is None:
        return keeper
    if _said_at_import(keeper) and not any(fact.kind in SAID for fact in clock.evidence):
        return keeper
    instant = clock.instant(wall)
    if instant is None:
        return keeper
    place = stated_zone or keeper.zone or trip_zone
    try:
        correction_s = round(_place_offset_s(instant, place, clock) - clock.ahead_s)
        local = wall + timedelta(seconds=correction_s)
    except OverflowError:  # a clock at the very edge of the calendar
        return keeper
    kind = ClockEvidence(clock.kind)
    words = _provenance(kind, correction_s)
    if stated_zone is not None:
        words["zone"] = Provenance.STATED
    elif place is not None and keeper.zone is None:
        words["zone"] = Provenance.ASSUMED
    told: dict[str, Any] = {
        "taken_local": local,
        "taken_utc": instant,
        "zone": place,
        "clock_offset_s": correction_s,
        "clock_evidence": kind,
        "provenance": {**keeper.provenance, **words},
    }
    if all(getattr(keeper, name) == value for name, value in told.items()):
        return keeper
    return replace(keeper, **told, updated=now)


def _said_at_import(keeper: Keeper) -> bool:
    corrected = keeper.clock_offset_s != 0 and keeper.provenance_of("taken_local") is Provenance.STATED
    return corrected or keeper.clock_evidence is ClockEvidence.STATED


def _place_offset_s(instant: datetime, place: str | None, clock: SettledClock) -> float:
    if place is None:  # an instant without a zone tells no place's time: the camera's own stands
        return float((clock.ahead_s if clock.zone_offset_s is None else clock.zone_offset_s) or 0)
    offset = instant.astimezone(zone_of(place)).utcoffset()
    return offset.total_seconds() if offset else 0.0


def _provenance(kind: ClockEvidence, correction_s: int) -> dict[str, Provenance]:
    words = {
        ClockEvidence.OFFSET_TAG: Provenance.CAMERA,
        ClockEvidence.GPS_TIME: Provenance.INFERRED,
        ClockEvidence.SAME_MOMENT: Provenance.INFERRED,
        ClockEvidence.ASSUMED: Provenance.ASSUMED,
    }
    word = words.get(kind, Provenance.STATED)
    return {"taken_utc": word, "taken_local": Provenance.CAMERA if correction_s == 0 else word}


@dataclass(frozen=True, slots=True)
class ClockReading:
    """A camera's time put right; `taken_utc` None where no zone is known."""

    taken_local: datetime | None
    taken_utc: datetime | None
    zone: str | None
    evidence: ClockEvidence | None
    provenance: dict[str, Provenance]


def read_clock(
    facts: CameraFacts, *, stated_zone: str | None, trip_zone: str | None, offset_s: int = 0
) -> ClockReading:
    """Return the instant of a picture, with the correction `offset_s` added to the camera's own time."""
    zone = stated_zone or trip_zone
    known: dict[str, Provenance] = {}
    if zone is not None:
        known["zone"] = Provenance.STATED if stated_zone else Provenance.ASSUMED
    if facts.taken_local is None:
        return ClockReading(None, None, zone, None, known)
    try:
        local = facts.taken_local + timedelta(seconds=offset_s)
    except OverflowError:  # the correction leads to a year that no calendar has
        return ClockReading(None, None, zone, None, known)
    try:
        ahead_s, evidence, word = _ahead(facts, local, stated_zone, trip_zone)
        instant = None if ahead_s is None else (local - timedelta(seconds=ahead_s)).replace(tzinfo=UTC)
    except OverflowError:  # the zone does: the camera's own time is kept, and its instant is unknown
        instant, evidence, word = None, None, None
    known["taken_local"] = Provenance.STATED if offset_s else Provenance.CAMERA
    if word is Provenance.CAMERA and offset_s:
        word = Provenance.STATED  # the camera's own instant was put right by a person
    if word is not None:
        known["taken_utc"] = word
    return ClockReading(local, instant, zone, evidence, known)


def _ahead(
    facts: CameraFacts, local: datetime, stated_zone: str | None, trip_zone: str | None
) -> tuple[int | None, ClockEvidence | None, Provenance | None]:
    """Return the seconds that the camera's zone is ahead of UTC, and the evidence for it."""
    of_frame = facts_of_frame("", local, facts.utc_offset_min, facts.gps_utc, "")
    (clock,) = settle_clocks([""], of_frame)
    ahead_s = clock.zone_offset_s
    if ahead_s is not None:
        if facts.utc_offset_min is not None and ahead_s == facts.utc_offset_min * 60:
            return ahead_s, ClockEvidence.OFFSET_TAG, Provenance.CAMERA
        return ahead_s, ClockEvidence.GPS_TIME, Provenance.INFERRED
    if stated_zone is not None:
        return offset_s_of(stated_zone, local), ClockEvidence.STATED, Provenance.STATED
    if trip_zone is not None:
        return offset_s_of(trip_zone, local), ClockEvidence.ASSUMED, Provenance.ASSUMED
    return None, None, None
