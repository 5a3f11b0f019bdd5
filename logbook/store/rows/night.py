"""Rows of the night: clocks put right, tracks, and the answers that let a session resume."""

from datetime import date, datetime

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from logbook.domain.words import ClockEvidence
from logbook.store.columns import WallTime
from logbook.store.rows.base import RecordRow, listed, reference, word


class BodyClockRow(RecordRow, table=True):
    """Table `body_clock`."""

    __tablename__ = "body_clock"

    trip_id: str = reference("trip")
    body: str
    ahead_s: int
    zone: str | None = None
    evidence: ClockEvidence = word(ClockEvidence)
    since: datetime | None = Field(default=None, sa_type=WallTime)
    note: str | None = None


class TrackRow(RecordRow, table=True):
    """Table `track`."""

    __tablename__ = "track"
    __table_args__ = (UniqueConstraint("trip_id", "hash"),)

    trip_id: str = reference("trip")
    file: str
    hash: str
    title: str | None = None
    points: str
    doubts: tuple[str, ...] = listed()


class NightAnswerRow(RecordRow, table=True):
    """Table `night_answer`."""

    __tablename__ = "night_answer"
    __table_args__ = (UniqueConstraint("trip_id", "on_date", "key"),)

    trip_id: str = reference("trip")
    on_date: date
    key: str
    answer: str
