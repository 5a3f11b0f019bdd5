"""From a camera's clock to an instant: which zone and offset apply to a picture, and what vouches for them.

One surprising decision: the file is weighed as all of a body's files are later, but only the zone is taken
from it; how fast the clock runs is settled for the body, as single satellite times are old now and then and
would put frames out of order. A stated zone fills in where the file is silent, a trip's zone is assumed.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from logbook.craft.clocks import settle_clocks
from logbook.domain.camera import CameraFacts
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services.clocks.settled import facts_of_frame, offset_s_of


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
    if facts.taken_local is None:
        return ClockReading(None, None, stated_zone or trip_zone, None, {})
    zone = stated_zone or trip_zone
    try:
        local = facts.taken_local + timedelta(seconds=offset_s)
    except OverflowError:  # the correction leads to a year that no calendar has
        return ClockReading(None, None, zone, None, {})
    try:
        ahead_s, evidence, word = _ahead(facts, local, stated_zone, trip_zone)
        instant = None if ahead_s is None else (local - timedelta(seconds=ahead_s)).replace(tzinfo=UTC)
    except OverflowError:  # the zone does: the camera's own time is kept, and its instant is unknown
        instant, evidence, word = None, None, None
    known = {"taken_local": Provenance.STATED if offset_s else Provenance.CAMERA}
    if zone is not None:
        known["zone"] = Provenance.STATED if stated_zone else Provenance.ASSUMED
    if word is Provenance.CAMERA and offset_s:
        word = Provenance.STATED  # the camera's own instant was put right by a person
    if word is not None:
        known["taken_utc"] = word
    return ClockReading(local, instant, zone, evidence, known)


def _ahead(
    facts: CameraFacts, local: datetime, stated_zone: str | None, trip_zone: str | None
) -> tuple[int | None, ClockEvidence | None, Provenance | None]:
    """Return the seconds that the camera's zone is ahead of UTC, and what vouches for it."""
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
