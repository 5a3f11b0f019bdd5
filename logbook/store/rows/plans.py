"""Rows of what is known before: trips, places, planned shots with their outcomes, kit."""

from datetime import date, time
from fractions import Fraction

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from logbook.domain.horizon import Horizon
from logbook.domain.words import (
    Audience,
    Disclosure,
    Footing,
    KitKind,
    OutcomeWord,
    Packing,
    Priority,
    Reason,
    SubjectKind,
    Support,
    TripodRule,
)
from logbook.store.columns import HorizonText, Rational
from logbook.store.rows.base import RecordRow, listed, reference, word


class TripRow(RecordRow, table=True):
    """Table `trip`."""

    __tablename__ = "trip"

    slug: str = Field(unique=True)
    title: str
    purpose: str | None = None
    audience: Audience | None = word(Audience, optional=True)
    client: str | None = None
    brief: str | None = None
    starts_on: date | None = None
    ends_on: date | None = None
    zone: str | None = None
    day_ends_at: time
    location_shown: Disclosure = word(Disclosure)
    summary: str | None = None
    next_visit: str | None = None
    credit: str | None = None
    rights: str | None = None
    private_names: tuple[str, ...] = listed(since_later=True)
    may_say: tuple[str, ...] = listed(since_later=True)


class SiteRow(RecordRow, table=True):
    """Table `site`."""

    __tablename__ = "site"

    slug: str = Field(unique=True)
    title: str
    kinds: tuple[SubjectKind, ...] = listed(SubjectKind)
    region: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    zone: str | None = None
    footing: Footing | None = word(Footing, optional=True)
    access: str | None = None
    walk_min: int | None = None
    hazards: str | None = None
    location_shown: Disclosure | None = word(Disclosure, optional=True)
    notes: str | None = None
    also_called: tuple[str, ...] = listed(since_later=True)


class ViewpointRow(RecordRow, table=True):
    """Table `viewpoint`."""

    __tablename__ = "viewpoint"

    slug: str = Field(unique=True)
    title: str
    site_id: str = reference("site")
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    facing_deg: float | None = None
    horizon: Horizon | None = Field(default=None, sa_type=HorizonText)
    looks_at: str | None = None
    tripod_rule: TripodRule = word(TripodRule)
    footing: Footing | None = word(Footing, optional=True)
    access: str | None = None
    hazards: str | None = None
    location_shown: Disclosure | None = word(Disclosure, optional=True)
    notes: str | None = None
    also_called: tuple[str, ...] = listed(since_later=True)


class ShotRow(RecordRow, table=True):
    """Table `shot`: the plan alone."""

    __tablename__ = "shot"

    slug: str = Field(unique=True)
    title: str
    trip_id: str = reference("trip")
    viewpoint_id: str | None = reference("viewpoint", optional=True)
    intent: str | None = None
    on_date: date | None = None
    window_from: time | None = None
    window_to: time | None = None
    technique: str | None = None
    focal_mm: float | None = None
    f_number: float | None = None
    exposure_s: Fraction | None = Field(default=None, sa_type=Rational)
    iso: int | None = None
    filters: tuple[str, ...] | None = listed(optional=True)
    support: Support | None = word(Support, optional=True)
    priority: Priority = word(Priority)
    fallback_for_id: str | None = reference("shot", optional=True)
    notes: str | None = None


class OutcomeRow(RecordRow, table=True):
    """Table `outcome`: what became of a shot, at most one row a shot."""

    __tablename__ = "outcome"

    shot_id: str = Field(foreign_key="shot.id", unique=True)
    word: OutcomeWord = word(OutcomeWord)
    reasons: tuple[Reason, ...] = listed(Reason)
    note: str | None = None
    replaced_by_shot_id: str | None = reference("shot", optional=True)
    replaced_by_keeper_id: str | None = reference("keeper", optional=True)


class KitRow(RecordRow, table=True):
    """Table `kit`."""

    __tablename__ = "kit"

    slug: str = Field(unique=True)
    title: str
    kind: KitKind = word(KitKind)
    owned: bool | None = None
    filter_name: str | None = None
    body: str | None = None
    sensor_width_mm: float | None = None
    sensor_height_mm: float | None = None
    focal_min_mm: float | None = None
    focal_max_mm: float | None = None
    stabilisation_stops: float | None = None
    notes: str | None = None


class PackedRow(RecordRow, table=True):
    """Table `packed`: what was decided about a piece of kit for one trip."""

    __tablename__ = "packed"
    __table_args__ = (UniqueConstraint("trip_id", "item_id"),)

    trip_id: str = reference("trip")
    item_id: str = reference("kit")
    packing: Packing = word(Packing)
    why: str | None = None
    used: bool | None = None
