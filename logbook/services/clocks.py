"""From a camera's clock to an instant: which zone and offset apply to a picture, and what vouches for them.

One surprising decision: the strongest evidence in the file wins (its offset tag, then GPS time); a stated
zone fills in where the file is silent, and a trip's zone is only ever an assumption.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from logbook.domain.camera import CameraFacts
from logbook.domain.words import ClockEvidence, Provenance

LARGEST_OFFSET_MIN = 14 * 60  # min; no zone lies further from UTC (IANA time zone database)
OFFSET_STEP_MIN = 15  # min; every zone of today lies on a quarter hour
CLOCK_ERROR_MIN = 5  # min; a camera further off than this from a GPS quarter hour proves nothing


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
        instant, evidence, word = _instant(facts, local, stated_zone, trip_zone)
    except OverflowError:  # the camera, or the correction, says a year that no calendar has
        return ClockReading(None, None, zone, None, {})
    known = {"taken_local": Provenance.STATED if offset_s else Provenance.CAMERA}
    if zone is not None:
        known["zone"] = Provenance.STATED if stated_zone else Provenance.ASSUMED
    if word is Provenance.CAMERA and offset_s:
        word = Provenance.STATED  # the camera's own instant was put right by a person
    if word is not None:
        known["taken_utc"] = word
    return ClockReading(local, instant, zone, evidence, known)


def _instant(
    facts: CameraFacts, local: datetime, stated_zone: str | None, trip_zone: str | None
) -> tuple[datetime | None, ClockEvidence | None, Provenance | None]:
    offset_min, evidence = _offset_in_file(facts, local)
    if offset_min is not None:
        instant = local.replace(tzinfo=timezone(timedelta(minutes=offset_min))).astimezone(UTC)
        word = Provenance.CAMERA if evidence is ClockEvidence.OFFSET_TAG else Provenance.INFERRED
        return instant, evidence, word
    if stated_zone is not None:
        instant = local.replace(tzinfo=ZoneInfo(stated_zone)).astimezone(UTC)
        return instant, ClockEvidence.STATED, Provenance.STATED
    if trip_zone is not None:
        instant = local.replace(tzinfo=ZoneInfo(trip_zone)).astimezone(UTC)
        return instant, ClockEvidence.ASSUMED, Provenance.ASSUMED
    return None, None, None


def _offset_in_file(facts: CameraFacts, local: datetime) -> tuple[int | None, ClockEvidence | None]:
    if facts.utc_offset_min is not None:
        return facts.utc_offset_min, ClockEvidence.OFFSET_TAG
    if facts.gps_utc is not None:
        apart_min = (local.replace(tzinfo=UTC) - facts.gps_utc).total_seconds() / 60
        offset_min = round(apart_min / OFFSET_STEP_MIN) * OFFSET_STEP_MIN
        if abs(offset_min) <= LARGEST_OFFSET_MIN and abs(apart_min - offset_min) <= CLOCK_ERROR_MIN:
            return offset_min, ClockEvidence.GPS_TIME
    return None, None
