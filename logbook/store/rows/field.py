"""Rows of what happened: visits, conditions, lessons, days, keepers."""

from datetime import date, datetime, time
from fractions import Fraction

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from logbook.domain.camera import DistanceRange, ExposureMode, Metering
from logbook.domain.words import (
    Audience,
    ClockEvidence,
    ConditionKind,
    LessonVerb,
    SetKind,
    Sharpness,
    Support,
    VisitPurpose,
)
from logbook.store.columns import Instant, Rational, WallTime
from logbook.store.rows.base import RecordRow, listed, reference, word


class VisitRow(RecordRow, table=True):
    """Table `visit`."""

    __tablename__ = "visit"

    slug: str = Field(unique=True)
    trip_id: str = reference("trip")
    viewpoint_id: str = reference("viewpoint")
    on_date: date
    arrived_at: time | None = None
    departed_at: time | None = None
    purpose: VisitPurpose | None = word(VisitPurpose, optional=True)
    tries: int | None = None
    support: Support | None = word(Support, optional=True)
    journal: str | None = None


class ConditionRow(RecordRow, table=True):
    """Table `condition`."""

    __tablename__ = "condition"

    slug: str = Field(unique=True)
    trip_id: str = reference("trip")
    kind: ConditionKind = word(ConditionKind)
    on_date: date
    at: time | None = None
    site_id: str | None = reference("site", optional=True)
    viewpoint_id: str | None = reference("viewpoint", optional=True)
    visit_id: str | None = reference("visit", optional=True)
    level: str | None = None
    direction: str | None = None
    note: str | None = None
    source: str | None = None


class LessonRow(RecordRow, table=True):
    """Table `lesson`."""

    __tablename__ = "lesson"

    slug: str = Field(unique=True)
    verb: LessonVerb = word(LessonVerb)
    text: str
    trip_id: str | None = reference("trip", optional=True)
    on_date: date | None = None
    site_id: str | None = reference("site", optional=True)
    viewpoint_id: str | None = reference("viewpoint", optional=True)
    shot_id: str | None = reference("shot", optional=True)
    technique: str | None = None
    shown_to: Audience | None = word(Audience, optional=True)


class DayRow(RecordRow, table=True):
    """Table `day`."""

    __tablename__ = "day"
    __table_args__ = (UniqueConstraint("trip_id", "on_date"),)

    trip_id: str = reference("trip")
    on_date: date
    zone: str | None = None
    journal: str | None = None


class DayLineRow(RecordRow, table=True):
    """Table `day_line`: which record a line of a day file made."""

    __tablename__ = "day_line"

    trip_id: str = reference("trip")
    on_date: date
    file: str
    section: str
    line: int
    text: str
    noun: str
    record_id: str = Field(index=True)
    seen: str


class LooseLineRow(RecordRow, table=True):
    """Table `loose_line`: what a day file left to sort out."""

    __tablename__ = "loose_line"

    trip_id: str = reference("trip")
    on_date: date
    file: str
    line: int
    text: str
    why: str


class KeeperRow(RecordRow, table=True):
    """Table `keeper`."""

    __tablename__ = "keeper"
    __table_args__ = (UniqueConstraint("trip_id", "slug"), UniqueConstraint("trip_id", "hash"))

    slug: str
    trip_id: str = reference("trip")
    file: str
    path: str = Field(index=True)
    hash: str = Field(index=True)
    size_bytes: int
    format: str
    also: tuple[str, ...] = listed(since_later=True)
    width_px: int | None = None
    height_px: int | None = None
    orientation: int | None = None
    taken_text: str | None = Field(default=None, index=True)  # the files of one frame share it
    taken_local: datetime | None = Field(default=None, sa_type=WallTime)
    utc_offset_text: str | None = None
    zone: str | None = None
    clock_offset_s: int = 0
    clock_evidence: ClockEvidence | None = word(ClockEvidence, optional=True)
    taken_utc: datetime | None = Field(default=None, sa_type=Instant)
    exposure_s: Fraction | None = Field(default=None, sa_type=Rational)
    f_number: float | None = None
    iso: int | None = None
    bias_stops: float | None = None
    focal_mm: float | None = None
    focal_35mm: float | None = None
    exposure_mode: ExposureMode | None = word(ExposureMode, optional=True)
    auto_bracket: bool | None = None
    metering: Metering | None = word(Metering, optional=True)
    flash_fired: bool | None = None
    brightness_ev: float | None = None
    metered_ev100: float | None = None
    subject_distance_m: float | None = None
    subject_distance_range: DistanceRange | None = word(DistanceRange, optional=True)
    body: str | None = None
    lens: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    direction_deg: float | None = None
    direction_is_magnetic: bool | None = None
    rating: int | None = None
    label: str | None = None
    keywords: tuple[str, ...] = listed(since_later=True)
    place: str | None = None
    credit: str | None = None
    copyright: str | None = None
    gps_utc: datetime | None = Field(default=None, sa_type=Instant)
    doubts: tuple[str, ...] = listed()
    filters: tuple[str, ...] | None = listed(optional=True)
    support: Support | None = word(Support, optional=True)
    viewpoint_id: str | None = reference("viewpoint", optional=True)
    shot_id: str | None = reference("shot", optional=True)
    caption: str | None = None
    alternative: str | None = None
    note: str | None = None
    sharpness: Sharpness | None = word(Sharpness, optional=True)
    left_trip_ids: tuple[str, ...] = listed(since_later=True)


class KeeperSetRow(RecordRow, table=True):
    """Table `keeper_set`; its members are listed in order."""

    __tablename__ = "keeper_set"

    trip_id: str = reference("trip")
    kind: SetKind = word(SetKind)
    keeper_ids: tuple[str, ...] = listed()
