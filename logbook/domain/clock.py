"""A camera's clock: how far it runs ahead of UTC on a trip, and the evidence for that.

One surprising decision: it is one number; the zone is the place's, not the camera's, so that neither daylight
saving nor a border needs new evidence.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from logbook.domain.checks import check_range, check_text, check_zone
from logbook.domain.fields import Refers
from logbook.domain.kinds import WALL_TIME, ZONE
from logbook.domain.record import Record
from logbook.domain.words import ClockEvidence

MOST_AHEAD_S = 60 * 86_400  # s; a clock further off than two months is a slip of the finger


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyClock(Record):
    """How far one camera's clock runs ahead of UTC on a trip, from `since` (its own wall time) on."""

    trip_id: Annotated[str, Refers("trip")]
    body: str
    ahead_s: int
    zone: Annotated[str | None, ZONE] = None  # the place's, where somebody said so
    evidence: ClockEvidence
    since: Annotated[datetime | None, WALL_TIME] = None
    note: str | None = None

    def __post_init__(self) -> None:
        check_range(self.ahead_s, "clock correction", -MOST_AHEAD_S, MOST_AHEAD_S, " s")
        check_zone(self.zone)
        check_text(self.note, "note")
