"""What a receiver recorded, in unbroken segments, and the track as the book keeps it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from logbook.domain.fields import Refers
from logbook.domain.kinds import POINTS
from logbook.domain.record import Record


@dataclass(frozen=True, slots=True)
class Fix:
    """One recorded point: an aware instant in UTC, degrees on WGS84, metres above the sea where recorded."""

    at: datetime
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None = None


Segment = tuple[Fix, ...]  # unbroken, in order of time


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackRecord(Record):
    """A track of a trip; `points` is JSON: segments of [instant, latitude, longitude, elevation]."""

    UNIQUE_TOGETHER = (("trip_id", "hash"),)

    trip_id: Annotated[str, Refers("trip")]
    file: str
    hash: str
    title: str | None = None
    points: Annotated[str, POINTS]
    doubts: tuple[str, ...] = ()
