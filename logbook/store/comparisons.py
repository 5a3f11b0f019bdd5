"""Narrow rows for looking back: only the columns that comparing needs, over all trips at once.

One surprising decision: dates, times and words come back as the text they are stored as. A whole book is
sorted by a handful of columns, and turning a hundred thousand rows into nouns would take a second.
"""

from collections.abc import Collection
from typing import Any, NamedTuple, cast

from sqlalchemy import (
    ColumnElement,
    CursorResult,
    Select,
    String,
    Table,
    case,
    func,
    select,
    text,
    type_coerce,
)

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind
from logbook.store.desk import Desk
from logbook.store.tables import table_of
from logbook.store.wall_times import place_time_text

_SITE = table_of(Site)
_STAND = table_of(Viewpoint)
_SEEN = table_of(Condition)
_VISIT = table_of(Visit)
_TRIP = table_of(Trip)
_SHOT = table_of(Shot)
_OUTCOME = table_of(Outcome)
_KEEPER = table_of(Keeper)
_LESSON = table_of(Lesson)
MANY = 5_000  # ids; more are not worth a list in the question


class ComparedSite(NamedTuple):
    """A site; `kinds` is a JSON list."""

    id: str
    slug: str
    title: str
    kinds: str
    latitude_deg: float | None
    longitude_deg: float | None
    zone: str | None


class StandLine(NamedTuple):
    """A viewpoint."""

    id: str
    slug: str
    title: str
    site_id: str
    latitude_deg: float | None
    longitude_deg: float | None
    facing_deg: float | None
    tripod_rule: str
    footing: str | None


class SeenLine(NamedTuple):
    """A condition with a level; `on_date` is 2031-10-14, `at` begins with 17:20."""

    id: str
    slug: str
    kind: str
    level: str
    on_date: str
    at: str | None
    site_id: str | None
    viewpoint_id: str | None
    visit_id: str | None


class VisitLine(NamedTuple):
    """A visit, with its trip's zone."""

    id: str
    slug: str
    trip_id: str
    trip_zone: str | None
    viewpoint_id: str
    on_date: str
    arrived_at: str | None
    departed_at: str | None
    tries: int | None
    support: str | None


class ShotLine(NamedTuple):
    """A planned shot beside its outcome; `word` None: nobody said; `filters` and `reasons` are JSON lists."""

    id: str
    slug: str
    title: str
    trip_id: str
    trip: str
    viewpoint_id: str | None
    on_date: str | None
    window_from: str | None
    window_to: str | None
    technique: str | None
    filters: str | None
    support: str | None
    word: str | None
    reasons: str | None
    note: str | None
    outcome_id: str | None


class FileLine(NamedTuple):
    """Of which keeper a file is, by its own name, body and moment (UTC and local)."""

    id: str
    trip_id: str
    viewpoint_id: str | None
    taken_utc: str | None
    place_time: str | None
    file: str
    body: str | None


class ComparedLesson(NamedTuple):
    """A lesson, with the slug of its trip."""

    id: str
    slug: str
    verb: str
    text: str
    trip_id: str | None
    trip: str | None
    on_date: str | None
    site_id: str | None
    viewpoint_id: str | None
    shot_id: str | None
    technique: str | None


def sites(desk: Desk) -> list[ComparedSite]:
    """Return all sites by slug."""
    return _all(desk, ComparedSite, select(*_columns(_SITE, ComparedSite)).order_by(_SITE.c.slug))


def stands(desk: Desk, site_ids: Collection[str] | None = None) -> list[StandLine]:
    """Return viewpoints, of all sites or of some."""
    query = _among(select(*_columns(_STAND, StandLine)), _STAND.c.site_id, site_ids)
    return _all(desk, StandLine, query.order_by(_STAND.c.slug))


def seen(desk: Desk, kinds: Collection[ConditionKind], site_ids: Collection[str]) -> list[SeenLine]:
    """Return conditions that have a level, of some kinds, seen at some sites or their viewpoints."""
    here = select(_STAND.c.id).where(_STAND.c.site_id.in_(site_ids))
    query = select(*_columns(_SEEN, SeenLine)).where(
        _SEEN.c.kind.in_(kinds),
        _SEEN.c.level.is_not(None),
        _SEEN.c.viewpoint_id.in_(here) | _SEEN.c.site_id.in_(site_ids),
    )
    return _all(desk, SeenLine, query.order_by(_SEEN.c.on_date, _SEEN.c.at))


def visits(desk: Desk, viewpoint_ids: Collection[str] | None = None) -> list[VisitLine]:
    """Return visits, of all viewpoints or of some."""
    columns = [
        _TRIP.c.zone.label("trip_zone") if name == "trip_zone" else _text(_VISIT, name)
        for name in VisitLine._fields
    ]
    query = select(*columns).join_from(_VISIT, _TRIP, _VISIT.c.trip_id == _TRIP.c.id)
    return _all(desk, VisitLine, _among(query, _VISIT.c.viewpoint_id, viewpoint_ids))


def shots(desk: Desk, viewpoint_ids: Collection[str] | None = None) -> list[ShotLine]:
    """Return planned shots beside their outcomes, of all viewpoints or of some."""
    special: dict[str, ColumnElement[Any]] = {
        "trip": _TRIP.c.slug.label("trip"),
        "word": case((_is_stated(_OUTCOME, "word"), type_coerce(_OUTCOME.c.word, String))),
        "reasons": type_coerce(_OUTCOME.c.reasons, String),
        "note": _OUTCOME.c.note,
        "outcome_id": _OUTCOME.c.id.label("outcome_id"),
    }
    columns = [special[name] if name in special else _text(_SHOT, name) for name in ShotLine._fields]
    query = (
        select(*columns)
        .join_from(_SHOT, _TRIP, _SHOT.c.trip_id == _TRIP.c.id)
        .outerjoin(_OUTCOME, _OUTCOME.c.shot_id == _SHOT.c.id)
    )
    return _all(desk, ShotLine, _among(query, _SHOT.c.viewpoint_id, viewpoint_ids))


def files(desk: Desk, viewpoint_ids: Collection[str] | None = None) -> list[FileLine]:
    """Return the files of keepers in the order in which they came in, of all viewpoints or of some.

    The time at the place is worked out from instant and zone.
    """
    at = FileLine._fields.index("place_time")
    names = [*FileLine._fields, "taken_utc", "zone"]
    names[at] = "taken_local"
    columns = [_text(_KEEPER, name).label(f"{name}_{number}") for number, name in enumerate(names)]
    query = _among(select(*columns), _KEEPER.c.viewpoint_id, viewpoint_ids)
    return [
        FileLine._make((*row[:at], place_time_text(row[at], row[-2], row[-1]), *row[at + 1 : -2]))
        for row in _stored(desk, query.order_by(text("keeper.rowid")))
    ]


def day_ends(desk: Desk) -> dict[str, str]:
    """Return when the days of each trip end, by trip id; to the second, as moments are compared with it."""
    query = select(_TRIP.c.id, type_coerce(_TRIP.c.day_ends_at, String))
    return {row[0]: row[1][:8] for row in desk.connection.execute(query)}


def lessons(desk: Desk, site_ids: Collection[str] | None = None) -> list[ComparedLesson]:
    """Return lessons, all of them or those of some sites, their viewpoints and the shots planned there."""
    columns = [
        _TRIP.c.slug.label("trip") if name == "trip" else _text(_LESSON, name)
        for name in ComparedLesson._fields
    ]
    query = select(*columns).join_from(_LESSON, _TRIP, _LESSON.c.trip_id == _TRIP.c.id, isouter=True)
    if _few(site_ids):
        here = select(_STAND.c.id).where(_STAND.c.site_id.in_(site_ids or ()))
        planned = select(_SHOT.c.id).where(_SHOT.c.viewpoint_id.in_(here))
        query = query.where(
            _LESSON.c.site_id.in_(site_ids or ())
            | _LESSON.c.viewpoint_id.in_(here)
            | _LESSON.c.shot_id.in_(planned)
        )
    return _all(desk, ComparedLesson, query.order_by(_LESSON.c.created))


def _columns(table: Table, line: type[Any]) -> list[ColumnElement[Any]]:
    return [_text(table, name) for name in line._fields]


def _text(table: Table, name: str) -> ColumnElement[Any]:
    """A column as it lies in the book: numbers as numbers, everything else as text."""
    return type_coerce(table.c[name], String).label(name)


def _is_stated(table: Table, name: str) -> ColumnElement[bool]:
    """Whether a person stated a value: provenance names those that nobody did."""
    provenance = type_coerce(table.c.provenance, String)
    return func.json_extract(provenance, f"$.{name}").is_(None)


def _few(ids: Collection[str] | None) -> bool:
    return ids is not None and len(ids) <= MANY


def _among(query: Select[Any], column: ColumnElement[Any], ids: Collection[str] | None) -> Select[Any]:
    return query.where(column.in_(ids or ())) if _few(ids) else query


def _all(desk: Desk, line: Any, query: Select[Any]) -> list[Any]:
    return list(map(line._make, _stored(desk, query)))


def _stored(desk: Desk, query: Select[Any]) -> list[Any]:
    """Return the driver's own rows: every column is text or a number as stored, nothing to convert."""
    found = cast("CursorResult[Any]", desk.connection.execute(query))
    return list(found.cursor.fetchall()) if found.cursor is not None else []
