"""Evidence for how far a camera's clock runs ahead of UTC: tags, satellites, pictured clocks, words.

One surprising decision: every kind of evidence is turned into the same number, the seconds by which the
camera's clock is ahead of UTC, and keeps how exactly it tells them.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum

TAG_TOLERANCE_S = 300.0  # s; an offset tag shows the zone, not how right the clock is; own convention
GPS_TOLERANCE_S = 10.0  # s; how old a satellite time in a file may be; own convention
SHOWN_TOLERANCE_S = 60.0  # s; a clock face read to the minute
TIE_TOLERANCE_S = 5.0  # s; two bodies fired by hand at the same moment; own convention
_HALF_DAY_S = 43_200.0


class EvidenceKind(StrEnum):
    """The evidence for a clock; strongest first."""

    STATED = "stated"
    GPS_TIME = "gps time"
    PHOTOGRAPHED_CLOCK = "photographed clock"
    SAME_MOMENT = "same moment"
    OFFSET_TAG = "offset tag"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class ClockFact:
    """One piece of evidence: how far a body's clock is ahead of UTC, in seconds, and how exactly.

    `wall` is the camera's own time (naive) of the frame it rests on, None where it rests on no frame;
    `source` names the file or the other body. A fact that was said of a range holds from `since` to before
    `until` (the camera's own time, naive); several such ranges of one body do not overlap.
    """

    body: str
    kind: EvidenceKind
    ahead_s: float
    tolerance_s: float
    source: str
    wall: datetime | None = None
    since: datetime | None = None
    until: datetime | None = None

    @property
    def is_ranged(self) -> bool:
        """Whether it was said of a range of frames only."""
        return self.since is not None or self.until is not None


@dataclass(frozen=True, slots=True)
class Tie:
    """Two bodies at the same moment: each one's own wall time (naive) in a frame of it."""

    body: str
    wall: datetime
    other: str
    other_wall: datetime
    source: str
    tolerance_s: float = TIE_TOLERANCE_S


def from_offset_tag(body: str, wall: datetime, offset_min: int, source: str) -> ClockFact:
    """The file says at which offset from UTC (minutes) its wall time is; not that the clock is right."""
    return ClockFact(body, EvidenceKind.OFFSET_TAG, offset_min * 60.0, TAG_TOLERANCE_S, source, wall)


def from_gps_time(body: str, wall: datetime, gps_utc: datetime, source: str) -> ClockFact:
    """The file holds the satellites' time (aware) beside the camera's own (naive)."""
    ahead_s = (wall.replace(tzinfo=UTC) - gps_utc).total_seconds()
    return ClockFact(body, EvidenceKind.GPS_TIME, ahead_s, GPS_TOLERANCE_S, source, wall)


def from_shown_clock(
    body: str,
    wall: datetime,
    shown: datetime,
    shown_offset_s: float,
    source: str,
    *,
    twelve_hours: bool = False,
) -> ClockFact:
    """The picture shows a clock: its time `shown` (naive), and the offset from UTC it keeps, in seconds.

    A face of twelve hours (or a time read without its date) is taken for the half day nearest to the camera.
    """
    ahead_s = (wall - shown).total_seconds() + shown_offset_s
    if twelve_hours:
        off_s = (wall - shown).total_seconds()
        ahead_s -= round(off_s / _HALF_DAY_S) * _HALF_DAY_S
    return ClockFact(body, EvidenceKind.PHOTOGRAPHED_CLOCK, ahead_s, SHOWN_TOLERANCE_S, source, wall)


def stated(body: str, ahead_s: float, source: str = "stated") -> ClockFact:
    """A person says how far the clock is ahead of UTC: the zone it was set to, plus what it runs fast."""
    return ClockFact(body, EvidenceKind.STATED, ahead_s, 0.0, source)
