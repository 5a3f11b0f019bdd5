"""Setting a camera's clock from what a person says: a number, a pictured clock, a shared moment.

One surprising decision: what a person says is turned into one number at once, and what the files themselves
confirm better stays in force; the answer then carries the doubt.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from logbook.craft.clock_facts import Tie, from_shown_clock
from logbook.craft.clocks import clock_at, settle_clocks
from logbook.domain.clock import BodyClock
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence
from logbook.domain.zones import ClockTurn, turn_at, turn_words, zone_of, zone_words
from logbook.services.clocks.history import ClockStretch
from logbook.services.clocks.settled import offset_s_of, settled
from logbook.services.clocks.stating import ClockStatement, apply_clocks, state_clock
from logbook.services.keeper_clocks import zone_meant
from logbook.services.naming import Narrow, one_keeper
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

TICK = timedelta(microseconds=1)  # the least by which one time is later than another


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
    later: bool = False  # of a time that the place's clocks show twice, the second is meant


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


def set_clock(book: Book, trip: str | None, body: str | None, said: ClockSaid) -> ClockSet:
    """State a body's clock from a number, a photographed clock or the same moment in another body."""
    shows = said.keeper is not None and (said.shown is not None or said.tied_to is not None)
    if said.fast_s is None and said.zone is None and not shows:
        raise WrongUseError(
            "Say how wrong the clock is: --slow or --fast SECONDS, --zone, "
            "or --keeper with --shown or --same-as."
        )
    with book.writing() as desk:
        return set_clock_in(desk, book, the_trip(desk, trip), body, said)


def set_clock_in(desk: Desk, book: Book, of_trip: Trip, body: str | None, said: ClockSaid) -> ClockSet:
    """The same within a transaction that is open."""
    keepers = desk.keepers.all(trip_id=of_trip.id)
    frame, first, last = (
        _frame(desk, of_trip, wanted, body) if wanted else None
        for wanted in (said.keeper, said.since, said.until)
    )
    shown = frame or first or last
    name = body_named(body, keepers) if body or shown is None else shown.camera
    stretch = _stretch(name, frame, first, last)
    own = in_order(one for one in keepers if one.camera == name)
    held = [one for one in own if (wall := one.camera_time) is not None and stretch.holds(wall)]
    statement = _statement(desk, of_trip, keepers, name, frame, held, said)
    clock = state_clock(desk, book, of_trip, replace(statement, stretch=stretch))
    changed = apply_clocks(desk, book, of_trip, [name], said.zone, stretch)
    righted = desk.keepers.get(held[0].id)
    wall = held[0].camera_time
    assert righted is not None
    assert wall is not None
    turns = _turn_doubts(zone_meant(desk, of_trip, frame or held[0]), frame or held[0], said)
    in_force = clock_at(settled(desk, of_trip, keepers), name, wall)
    return ClockSet(
        of_trip.slug,
        clock,
        stretch.until,
        righted.clock_offset_s,
        righted.clock_evidence or clock.evidence,
        changed,
        (*(in_force.doubts if in_force else ()), *turns),
        tuple(one.file for one in held),
    )


def _frame(desk: Desk, trip: Trip, wanted: str, body: str | None) -> Keeper:
    """Return the keeper that is meant: the camera's own before another's, which is refused by its name."""
    try:
        return one_keeper(desk, wanted, trip, Narrow(body=body))
    except NotFoundError:
        return one_keeper(desk, wanted, trip)


def _stretch(body: str, frame: Keeper | None, first: Keeper | None, last: Keeper | None) -> ClockStretch:
    """Return the stretch from one frame to another; raises WrongUseError for one that cannot be."""
    walls: list[datetime | None] = []
    for keeper in (frame, first, last):
        wall = keeper.camera_time if keeper else None
        if keeper and keeper.camera != body:
            raise WrongUseError(
                f"{keeper.file} is not from {body}; a clock is stated for one camera at a time."
            )
        if keeper and wall is None:
            raise WrongUseError(f"{keeper.file} has no time of its own; name another keeper.")
        walls.append(wall)
    shown, since, until = walls
    if first and last and since and until and since > until:
        raise WrongUseError(f"{first.file} was taken after {last.file}; give the earlier one to --since.")
    stretch = ClockStretch(since, until + TICK if until else None)
    if frame and shown and not stretch.holds(shown):
        raise WrongUseError(
            f"{frame.file} is outside that range, so it does not show how the clock ran within it; "
            "name a picture in the range."
        )
    return stretch


def body_named(body: str | None, keepers: list[Keeper]) -> str:
    """Return the one body that a name, or a part of it, means; NotFoundError lists what there is."""
    bodies = sorted({keeper.camera for keeper in keepers})
    if body is None and len(bodies) == 1:
        return bodies[0]
    wanted = (body or "").strip().lower()
    fitting = [name for name in bodies if wanted == name.lower()]
    fitting = fitting or [name for name in bodies if wanted and wanted in name.lower()]
    if len(fitting) == 1:
        return fitting[0]
    listed = ", ".join(bodies) or "no camera yet; import keepers first"
    raise NotFoundError(f"Say which camera with --body; the keepers of this trip come from: {listed}.")


def _statement(
    desk: Desk,
    trip: Trip,
    keepers: list[Keeper],
    body: str,
    frame: Keeper | None,
    held: list[Keeper],
    said: ClockSaid,
) -> ClockStatement:
    """Return what the words mean in seconds, for no range yet; raises WrongUseError where they mean none."""
    shown_by = frame or (held[0] if held else None)
    zone = said.zone or zone_meant(desk, trip, shown_by)
    wall = shown_by.camera_time if held and shown_by else None
    if wall is None:
        raise WrongUseError(f"No keeper from {body} has a time; its clock cannot be put right.")
    if said.later:
        _check_later(_place_reading(wall, said), zone, said)
    if said.tied_to is not None and frame is not None:
        other = one_keeper(desk, said.tied_to, trip)
        other_wall = other.camera_time
        if other_wall is None or other.camera == body:
            raise WrongUseError("--same-as needs a keeper from another camera with a known time.")
        known = settled(desk, trip, [one for one in keepers if one.camera != body])
        tie = Tie(body, wall, other.camera, other_wall, f"{frame.file} and {other.file}")
        facts = dict.fromkeys(fact for clock in known for fact in clock.evidence)
        clocks = settle_clocks([body], facts, [tie])
        mine = next(clock for clock in clocks if clock.body == body)
        if mine.ahead_s is None:
            raise WrongUseError(f"Nothing confirms the clock of {other.camera} either; state one of them.")
        return ClockStatement(
            body,
            round(mine.ahead_s),
            evidence=ClockEvidence.SAME_MOMENT,
            note=tie.source,
            zone=said.zone,
        )
    if zone is None:
        raise WrongUseError("Name the place's zone with --zone, or give the trip one: trip edit --zone.")
    place_s = offset_s_of(zone, _place_reading(wall, said), later=said.later)
    if said.shown is not None and frame is not None:
        fact = from_shown_clock(body, wall, said.shown, place_s, f"{frame.file} shows {said.shown:%H:%M:%S}")
        return ClockStatement(
            body,
            round(fact.ahead_s),
            evidence=ClockEvidence.PHOTOGRAPHED_CLOCK,
            note=fact.source,
            zone=said.zone,
        )
    return ClockStatement(body, place_s + (said.fast_s or 0), zone=said.zone)


def _place_reading(wall: datetime, said: ClockSaid) -> datetime:
    """The time that the place's clocks showed (naive), as far as it was said."""
    return said.shown or wall - timedelta(seconds=said.fast_s or 0)


def _check_later(reading: datetime, zone: str | None, said: ClockSaid) -> None:
    """Refuse a second time where there is only one; raises WrongUseError."""
    if said.tied_to is not None:
        raise WrongUseError("Two pictures of the same moment settle which time it was; leave out --later.")
    if zone is not None and turn_at(reading, zone_of(zone)) is not ClockTurn.TWICE:
        raise WrongUseError(
            f"{reading:%H:%M} on {reading:%Y-%m-%d} came only once in {zone_words(zone)}; leave out --later."
        )


def _turn_doubts(place_zone: str | None, frame: Keeper, said: ClockSaid) -> list[str]:
    """Say which time was taken where the place's clocks show the one that was meant twice, or never."""
    zone, wall = said.zone or place_zone, frame.camera_time
    if zone is None or wall is None or said.tied_to is not None:
        return []
    reading = _place_reading(wall, said)
    turn = turn_at(reading, zone_of(zone))
    if turn is None or said.later:
        return []
    taken = "the first is used; --later states the second"
    if turn is ClockTurn.NEVER:
        taken = "the clock before the jump is used"
    return [f"{turn_words(turn, reading, zone)}; {taken}"]
