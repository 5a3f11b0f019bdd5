"""Clocks of camera bodies on a trip: what vouches for them, and putting all keepers right by it.

One surprising decision: a correction is never added to a corrected time; it is worked out anew from the
camera's own reading, so that a clock may be changed as often as one learns better.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from logbook.craft.clock_facts import ClockFact, Tie, from_gps_time, from_offset_tag
from logbook.craft.clocks import BodyClock as Settled
from logbook.craft.clocks import clock_at, settle_clocks
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.night import BodyClock
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services.clock_records import SAID, WHOLE, Stretch, facts_of, say_the_same, with_statement
from logbook.services.keepers import in_order, one_keeper
from logbook.services.records import the_trip
from logbook.services.tracks import place_keepers
from logbook.store.book import Book
from logbook.store.desk import Desk

NAMELESS = "a camera that does not say its name"
TICK = timedelta(microseconds=1)  # the least by which one time is later than another
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")


@dataclass(frozen=True, slots=True)
class ClockSet:
    """What was done to a body's keepers: the correction in force, what it rests on, and for which frames.

    `keepers` are the files it holds for, in order of time; `is_whole` where it holds for all of the body.
    """

    trip: str
    clock: BodyClock
    until: datetime | None
    correction_s: int
    evidence: ClockEvidence
    changed: int
    doubts: tuple[str, ...]
    keepers: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Whether it was stated for all frames of the body, those still to come too."""
        return self.clock.since is None and self.until is None


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
    for body in bodies:
        facts += facts_of(desk.clocks.all(trip_id=trip.id, body=body))
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


def put_right(
    keeper: Keeper,
    clocks: Iterable[Settled],
    now: datetime,
    *,
    stated_zone: str | None = None,
    trip_zone: str | None = None,
) -> Keeper:
    """Return a keeper with instant and place time by its body's clock; itself where nothing is known.

    What a person said when it was taken in stands until somebody says something of that clock.
    """
    wall = wall_of(keeper)
    clock = clock_at(clocks, body_of(keeper), wall) if wall else None
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
    after = replace(
        keeper,
        taken_local=local,
        taken_utc=instant,
        zone=place,
        clock_offset_s=correction_s,
        clock_evidence=kind,
        provenance={**keeper.provenance, **words},
    )
    return replace(after, updated=now) if after != keeper else keeper


def _said_at_import(keeper: Keeper) -> bool:
    corrected = keeper.clock_offset_s != 0 and keeper.provenance_of("taken_local") is Provenance.STATED
    return corrected or keeper.clock_evidence is ClockEvidence.STATED


def _place_offset_s(instant: datetime, place: str | None, clock: Settled) -> float:
    if place is None:
        return float(clock.zone_offset_s or 0)
    offset = instant.astimezone(ZoneInfo(place)).utcoffset()
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


def apply_clocks(
    desk: Desk,
    book: Book,
    trip: Trip,
    bodies: Iterable[str],
    zone: str | None = None,
    stretch: Stretch = WHOLE,
) -> int:
    """Put keepers of some bodies right by what is known of their clocks; return how many changed.

    Only those within the stretch of a body's own time are touched. Those whose position came from a track
    are placed anew, because they were made at another moment.
    """
    wanted = set(bodies)
    keepers = desk.keepers.all(trip_id=trip.id)
    clocks = settled(desk, trip, keepers)
    changed = 0
    for keeper in keepers:
        wall = wall_of(keeper)
        if body_of(keeper) in wanted and wall is not None and stretch.holds(wall):
            after = put_right(keeper, clocks, book.now(), stated_zone=zone, trip_zone=trip.zone)
            if after is not keeper:
                desk.keepers.put(after)
                changed += 1
    place_keepers(desk, book, trip)
    return changed


def state_clock(
    desk: Desk,
    book: Book,
    trip: Trip,
    body: str,
    ahead_s: int,
    stretch: Stretch = WHOLE,
    *,
    evidence: ClockEvidence = ClockEvidence.STATED,
    note: str = "stated",
    zone: str | None = None,
) -> BodyClock:
    """State how far a body's clock is ahead of UTC within a stretch; what was said of other ranges stays.

    Without a stretch it takes the place of all that was said. Raises WrongUseError where nothing is known of
    the clock behind the stretch.
    """
    before = desk.clocks.all(trip_id=trip.id, body=body)
    said = BodyClock(
        **new_record(book.now()),
        trip_id=trip.id,
        body=body,
        ahead_s=ahead_s,
        zone=zone,
        evidence=evidence,
        since=stretch.since,
        note=note,
    )
    until = stretch.until
    is_known_behind = until is None or any(one.since is None or one.since <= until for one in before)
    behind = _behind(desk, trip, said, until) if until is not None and not is_known_behind else None
    after = with_statement(before, said, until, behind)
    if say_the_same(before, after):
        return next(one for one in before if one.since == stretch.since)
    kept = {one.id for one in after}
    desk.clocks.remove(one.id for one in before if one.id not in kept)
    desk.clocks.add(*(one for one in after if one not in before))
    return said


def _behind(desk: Desk, trip: Trip, said: BodyClock, until: datetime) -> BodyClock:
    """Return what holds from the end of a range on where nothing was stated: what files and trip tell."""
    own = [keeper for keeper in desk.keepers.all(trip_id=trip.id) if body_of(keeper) == said.body]
    clock = clock_at(settled(desk, trip, own), said.body, until)
    if clock is None or clock.ahead_s is None or clock.kind is None:
        raise WrongUseError(
            f"Nothing tells how the clock of {said.body} ran after that; state it for all its frames first, "
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


@dataclass(frozen=True, slots=True)
class ClockSaid:
    """What a person says of a clock: how fast it runs, or a keeper and the right time it should show."""

    fast_s: int | None = None
    shown: datetime | None = None  # the place's wall time at the moment of `keeper`
    keeper: str | None = None
    tied_to: str | None = None  # a keeper of another body, of the same moment
    zone: str | None = None
    since: str | None = None  # a keeper: it holds from that frame on
    until: str | None = None  # a keeper: it holds to that frame


def set_clock(book: Book, trip: str | None, body: str | None, said: ClockSaid) -> ClockSet:
    """State a body's clock from a number, a photographed clock or the same moment in another body."""
    shows = said.keeper is not None and (said.shown is not None or said.tied_to is not None)
    if said.fast_s is None and said.zone is None and not shows:
        raise WrongUseError(
            "Say what is known of the clock: --slow or --fast SECONDS, --zone, "
            "or --keeper with --shown or --same-as."
        )
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        keepers = desk.keepers.all(trip_id=of_trip.id)
        frame, first, last = (
            one_keeper(desk, wanted, {"trip_id": of_trip.id}) if wanted else None
            for wanted in (said.keeper, said.since, said.until)
        )
        shown = frame or first or last
        name = body_named(body, keepers) if body or shown is None else body_of(shown)
        stretch = _stretch(name, frame, first, last)
        own = in_order(one for one in keepers if body_of(one) == name)
        held = [one for one in own if (wall := wall_of(one)) is not None and stretch.holds(wall)]
        ahead_s, evidence, note = _ahead(desk, of_trip, keepers, name, frame, held, said)
        clock = state_clock(
            desk, book, of_trip, name, ahead_s, stretch, evidence=evidence, note=note, zone=said.zone
        )
        changed = apply_clocks(desk, book, of_trip, [name], said.zone, stretch)
        righted = desk.keepers.get(held[0].id)
        wall = wall_of(held[0])
        assert righted is not None
        assert wall is not None
        in_force = clock_at(settled(desk, of_trip, own), name, wall)
        return ClockSet(
            of_trip.slug,
            clock,
            stretch.until,
            righted.clock_offset_s,
            righted.clock_evidence or evidence,
            changed,
            in_force.doubts if in_force else (),
            tuple(one.file for one in held),
        )


def _stretch(body: str, frame: Keeper | None, first: Keeper | None, last: Keeper | None) -> Stretch:
    """Return the stretch from one frame to another; raises WrongUseError for one that cannot be."""
    walls: list[datetime | None] = []
    for keeper in (frame, first, last):
        wall = wall_of(keeper) if keeper else None
        if keeper and body_of(keeper) != body:
            raise WrongUseError(
                f"{keeper.file} is not of {body}; a clock is stated for one camera at a time."
            )
        if keeper and wall is None:
            raise WrongUseError(f"{keeper.file} does not know when it was taken; name another keeper.")
        walls.append(wall)
    shown, since, until = walls
    if first and last and since and until and since > until:
        raise WrongUseError(f"{first.file} was taken after {last.file}; say the earlier one with --since.")
    stretch = Stretch(since, until + TICK if until else None)
    if frame and shown and not stretch.holds(shown):
        raise WrongUseError(f"{frame.file} lies outside that range and tells nothing of the clock within it.")
    return stretch


def body_named(body: str | None, keepers: list[Keeper]) -> str:
    """Return the one body that a name, or a part of it, means; NotFoundError lists what there is."""
    bodies = sorted({body_of(keeper) for keeper in keepers})
    if body is None and len(bodies) == 1:
        return bodies[0]
    wanted = (body or "").strip().lower()
    fitting = [name for name in bodies if wanted == name.lower()]
    fitting = fitting or [name for name in bodies if wanted and wanted in name.lower()]
    if len(fitting) == 1:
        return fitting[0]
    listed = ", ".join(bodies) or "none; import keepers first"
    raise NotFoundError(f"Say which camera with --body; the keepers of this trip come from: {listed}.")


def _ahead(
    desk: Desk,
    trip: Trip,
    keepers: list[Keeper],
    body: str,
    frame: Keeper | None,
    held: list[Keeper],
    said: ClockSaid,
) -> tuple[int, ClockEvidence, str]:
    zone = said.zone or trip.zone
    wall = wall_of(frame or held[0]) if held else None
    if wall is None:
        raise WrongUseError(f"No keeper of {body} knows when it was taken; its clock cannot be put right.")
    if said.tied_to is not None and frame is not None:
        other = one_keeper(desk, said.tied_to, {"trip_id": trip.id})
        other_wall = wall_of(other)
        if other_wall is None or body_of(other) == body:
            raise WrongUseError("The same moment needs a keeper of another camera that knows its time.")
        known = settled(desk, trip, [one for one in keepers if body_of(one) != body])
        tie = Tie(body, wall, body_of(other), other_wall, f"{frame.file} and {other.file}")
        facts = dict.fromkeys(fact for clock in known for fact in clock.evidence)
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
