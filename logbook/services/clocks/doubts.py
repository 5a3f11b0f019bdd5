"""Pictures whose time by the place's clock came twice or never came, or whose date cannot be.

One surprising decision: nothing is stored. Whether an offset tag, the satellites or a person settled it
follows from what the book knows of the clock, so that the doubt goes by itself.
"""

import shlex
from collections.abc import Sequence
from datetime import UTC, date, datetime

from logbook.domain.clock import BodyClock
from logbook.domain.dates import counts, last_day, outside_words
from logbook.domain.keeper import Keeper
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import ClockTurn, TimeDoubt, instants_at, turn_at, turn_words, zone_of
from logbook.services.clocks.history import in_force
from logbook.store.desk import Desk

# What tells an instant by itself, however often a clock shows its time
TELLING = frozenset(
    (
        ClockEvidence.OFFSET_TAG,
        ClockEvidence.GPS_TIME,
        ClockEvidence.PHOTOGRAPHED_CLOCK,
        ClockEvidence.SAME_MOMENT,
    )
)


def time_doubts(desk: Desk, keepers: Sequence[Keeper]) -> dict[str, TimeDoubt]:
    """Return the doubts about the times of keepers of any trips, by keeper id, as the book has them."""
    last = last_day(desk.now().date())
    outside = {one.id: found_out for one in keepers if (found_out := _outside(one, last))}
    odd = {one.id: found for one in keepers if one.id not in outside and (found := _odd(one))}
    if not odd:
        return outside
    records: dict[tuple[str, str], list[BodyClock]] = {}
    for record in desk.clocks.all(trip_id={one.trip_id for one in keepers if one.id in odd}):
        records.setdefault((record.trip_id, record.body), []).append(record)
    return outside | {
        one.id: _doubt(one, *odd[one.id])
        for one in keepers
        if one.id in odd and not _is_stated(one, records.get((one.trip_id, one.camera), ()))
    }


def _outside(keeper: Keeper, last: date) -> TimeDoubt | None:
    """The doubt about a date that cannot be that of a picture."""
    at = keeper.place_time
    if at is None or counts(at.date(), last):
        return None
    reason = (
        f"{outside_words(at.date(), last)}: it is kept as written but not used for drawings or light; "
        "perhaps the camera's clock had not been set"
    )
    return TimeDoubt(None, at, keeper.zone, (), None, reason)


def _odd(keeper: Keeper) -> tuple[ClockTurn, datetime] | None:
    """What is odd about a keeper's time, unless its file tells the instant."""
    reading = keeper.taken_local
    if keeper.provenance_of("taken_local") is Provenance.ASSUMED:
        reading = keeper.camera_time  # the correction itself is a guess
    if reading is None or keeper.zone is None or keeper.taken_utc is None or keeper.clock_evidence in TELLING:
        return None
    turn = turn_at(reading, zone_of(keeper.zone))
    return None if turn is None else (turn, reading)


def _is_stated(keeper: Keeper, records: Sequence[BodyClock]) -> bool:
    """Whether a person stated how fast the camera's clock ran then, which leaves one instant."""
    wall = keeper.camera_time
    return wall is not None and in_force(records, wall) is not None


def _doubt(keeper: Keeper, turn: ClockTurn, reading: datetime) -> TimeDoubt:
    assert keeper.zone is not None
    assert keeper.taken_utc is not None
    zone = zone_of(keeper.zone)
    instants = instants_at(reading, zone)
    taken = instants.index(keeper.taken_utc) + 1 if keeper.taken_utc in instants else None
    told = turn_words(turn, reading, keeper.zone)
    shown = keeper.taken_utc.astimezone(zone)
    at_utc = f"{keeper.taken_utc.astimezone(UTC):%H:%M} UTC"
    line = ["logbook", "keeper", "clock", "--body", keeper.camera, "--since", keeper.file]
    line += ["--until", keeper.file, "--fast", str(-keeper.clock_offset_s)]
    if turn is ClockTurn.TWICE:
        which = {1: "the first is used", 2: "the second is used"}.get(taken or 0, "which one is unknown")
        reason = f'{told}: {which} ({at_utc}); "{shlex.join(line)}" states the first, with --later the second'
    else:
        reason = (
            f"{told}, because the clocks skipped it: {shown:%H:%M} is used ({at_utc}); "
            f'"{shlex.join(line)}" states that'
        )
    return TimeDoubt(turn, reading, keeper.zone, instants, taken, reason)
