"""A trip as others may know it: the same nouns, blurred where the trip and its places ask for it.

One surprising decision: the account is blurred once, before any format is written, so that no format can
forget a rule. What students are shown is the measure: no client, no brief, no note to oneself, no kit, no
file, and only lessons meant for students. A withheld place is not there, nor what was observed on it.
"""

import json
from collections.abc import Container, Iterable, Mapping
from dataclasses import MISSING, Field, fields, replace
from datetime import UTC
from hashlib import sha256
from typing import Any, TypeVar

from logbook.domain.account import TripAccount
from logbook.domain.discretion import Discretion
from logbook.domain.discretion.shown import as_shown, is_exact, shown_tracks
from logbook.domain.discretion.sight import without_sight_lines
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.plain_text import plain
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.track import TrackRecord
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure

Noun = TypeVar("Noun", bound=Record)

# An allow-list: free text that others may read once it is scrubbed, and values they may have as they are.
# Whatever a noun holds beside these becomes what it is in an empty record, so that a field which a noun gains
# stays at home until somebody lists it.
TEXTS = frozenset(
    (
        *("title", "purpose", "summary", "credit", "rights", "region", "access", "hazards", "looks_at"),
        *("intent", "technique", "note", "direction", "source", "journal", "text", "caption", "alternative"),
        *("body", "lens"),
    )
)
AS_THEY_ARE = frozenset(
    (
        # what a record is, and what it refers to
        *("id", "created", "updated", "provenance", "trip_id", "site_id", "viewpoint_id", "visit_id"),
        *("shot_id", "fallback_for_id", "replaced_by_shot_id", "replaced_by_keeper_id", "slug"),
        *("kind", "kinds", "verb", "word", "reasons", "level", "priority", "audience", "shown_to"),
        # when
        *("on_date", "at", "starts_on", "ends_on", "arrived_at", "departed_at", "window_from", "window_to"),
        *("day_ends_at", "zone", "taken_text", "taken_local", "utc_offset_text", "clock_offset_s"),
        *("clock_evidence", "taken_utc", "gps_utc"),
        # where, as far as it is shown
        *("latitude_deg", "longitude_deg", "elevation_m", "altitude_m", "facing_deg", "direction_deg"),
        *("direction_is_magnetic", "location_shown", "footing", "walk_min", "tripod_rule", "horizon"),
        # how
        *("exposure_s", "f_number", "iso", "bias_stops", "focal_mm", "focal_35mm", "exposure_mode"),
        *("auto_bracket", "metering", "flash_fired", "filters", "support", "tries", "sharpness", "rating"),
        *("brightness_ev", "metered_ev100", "subject_distance_m", "subject_distance_range"),
        *("format", "width_px", "height_px", "orientation"),
    )
)
KEPT_HOME = frozenset(  # decided to stay at home; a test holds that every field is in one of the three
    (
        *("client", "brief", "next_visit", "notes", "private_names", "also_called", "may_say"),
        *("file", "path", "hash", "size_bytes", "also", "doubts", "label", "keywords", "place", "copyright"),
        "left_trip_ids",
    )
)
_PICTURE = "picture"  # what a picture is called instead of by its file


def for_others(account: TripAccount, say: Discretion | None = None) -> TripAccount:
    """Return the account with all that others must not know left out or blurred; ids stay as they are.

    A discretion that is handed over remembers what was struck.
    """
    say = say or Discretion(account, Audience.STUDENTS)
    account = without_sight_lines(say)
    sites = {
        one.id: _site(say, one, number)
        for number, one in _numbered(account.sites.values())
        if say.site(one.id)
    }
    viewpoints = {
        one.id: _viewpoint(say, one, number)
        for number, one in _numbered(account.viewpoints.values())
        if say.viewpoint(one.id) and one.site_id in sites
    }
    shots = tuple(_shot(say, one, viewpoints, number) for number, one in _numbered(account.shots))
    shot_ids = {one.id for one in shots}
    keepers = tuple(
        _keeper(say, one, viewpoints, shot_ids, number) for number, one in _numbered(account.keepers)
    )
    keeper_ids = {one.id for one in keepers}
    visit_ids = {one.id for one in account.visits if one.viewpoint_id in viewpoints}
    return replace(
        account,
        trip=_scrubbed(say, account.trip, "trip"),
        sites=sites,
        viewpoints=viewpoints,
        shots=tuple(_cut(one, "fallback_for_id", shot_ids) for one in shots),
        outcomes={
            key: _cut(
                _cut(_scrubbed(say, one), "replaced_by_shot_id", shot_ids),
                "replaced_by_keeper_id",
                keeper_ids,
            )
            for key, one in account.outcomes.items()
        },
        visits=tuple(
            _scrubbed(say, one, f"visit-{number}")
            for number, one in _numbered(account.visits)
            if one.id in visit_ids
        ),
        conditions=tuple(
            _cut(_scrubbed(say, one, f"condition-{number}"), "visit_id", visit_ids)
            for number, one in _numbered(account.conditions)
            if not say.hides(one.viewpoint_id, one.site_id) and not say.hides(None, one.site_id)
        ),
        lessons=tuple(
            _cut(_lesson(say, one, viewpoints, sites, number), "shot_id", shot_ids)
            for number, one in _numbered(account.lessons)
            if one.shown_to is Audience.STUDENTS
        ),
        days=tuple(_scrubbed(say, one) for one in account.days),
        keepers=keepers,
        kit={},
        packed=(),
        loose_lines=(),
        tracks=shown_tracks(say),
        withheld_names=(),
        withheld_positions=(),
        people=(),
    )


def track_records(account: TripAccount, records: Iterable[TrackRecord]) -> tuple[TrackRecord, ...]:
    """Return the tracks of a blurred account as one record, under the id of the first there was."""
    first = next(iter(records), None)
    if first is None or not account.tracks:
        return ()
    segments = [
        [[fix.at.astimezone(UTC).isoformat(), fix.latitude_deg, fix.longitude_deg, None] for fix in one]
        for one in account.tracks
    ]
    points = json.dumps(segments)
    hashed = sha256(points.encode()).hexdigest()
    blurred = replace(first, file="track", hash=hashed, title=None, points=points, doubts=(), provenance={})
    return (blurred,)


def _numbered(records: Iterable[Noun]) -> Iterable[tuple[int, Noun]]:
    return enumerate(records, start=1)


def _scrubbed(say: Discretion, record: Noun, fallback_slug: str = "") -> Noun:
    """Return a record with its free text scrubbed, no notes to oneself, and a slug that tells nothing."""
    changes: dict[str, Any] = {}
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name in TEXTS and type(value) is str:  # a word of a vocabulary tells nothing
            changes[field.name] = _text(say, value, field.name)
        elif field.name == "filters" and value is not None:  # words that people made up
            changes[field.name] = tuple(_text(say, one, field.name) for one in value)
        elif field.name == "slug" and say.scrub(value) != value:
            changes["slug"] = fallback_slug
        elif field.name not in TEXTS | AS_THEY_ARE:
            changes |= _emptied(field)
    return _known(record, changes)


def _emptied(field: "Field[Any]") -> dict[str, Any]:
    """Return what a field is in an empty record; a field that every record has is for its noun to blur."""
    return {} if field.default is MISSING else {field.name: field.default}


def _text(say: Discretion, text: str, name: str) -> str:
    scrubbed = say.scrub(plain(text))
    return scrubbed[:200].strip() if name == "title" else scrubbed


def _known(record: Noun, changes: Mapping[str, Any]) -> Noun:
    """Return a record with changes; what became unknown has no provenance either."""
    gone = {name for name, value in changes.items() if value is None}
    provenance = {name: word for name, word in record.provenance.items() if name not in gone}
    return replace(record, **changes, provenance=provenance)


def _cut(record: Noun, name: str, known: Container[str]) -> Noun:
    """Return a record that no longer refers to what is not there."""
    wanted = getattr(record, name)
    return record if wanted is None or wanted in known else _known(record, {name: None})


def _place(say: Discretion, place: Any) -> dict[str, Any]:
    """Return what changes of a place that may be shown: an area has neither exact position nor height."""
    if say.shown(place) is Disclosure.EXACT or not place.position:
        return {}
    position, _ = as_shown(place.position, True)
    return {
        "latitude_deg": position.latitude_deg,
        "longitude_deg": position.longitude_deg,
        "elevation_m": None,
    }


def _site(say: Discretion, site: Site, number: int) -> Site:
    return _known(_scrubbed(say, site, f"site-{number}"), _place(say, site))


def _viewpoint(say: Discretion, viewpoint: Viewpoint, number: int) -> Viewpoint:
    where = _place(say, viewpoint)
    if say.shown(viewpoint) is not Disclosure.EXACT:
        where |= {"horizon": None}  # like a height, it would tell the slopes of an area apart
    return _known(_scrubbed(say, viewpoint, f"viewpoint-{number}"), where)


def _shot(say: Discretion, shot: Shot, viewpoints: Mapping[str, Viewpoint], number: int) -> Shot:
    return _cut(_scrubbed(say, shot, f"shot-{number}"), "viewpoint_id", viewpoints)


def _lesson(
    say: Discretion,
    lesson: Lesson,
    viewpoints: Mapping[str, Viewpoint],
    sites: Mapping[str, Site],
    number: int,
) -> Lesson:
    made = _cut(_scrubbed(say, lesson, f"lesson-{number}"), "viewpoint_id", viewpoints)
    return _cut(made, "site_id", sites)


def _keeper(
    say: Discretion, keeper: Keeper, viewpoints: Mapping[str, Viewpoint], shots: Container[str], number: int
) -> Keeper:
    """Return a picture without its file, and without its place unless that may be shown exactly."""
    made = _cut(_cut(_scrubbed(say, keeper), "shot_id", shots), "viewpoint_id", viewpoints)
    name = f"{_PICTURE}-{number}"
    changes: dict[str, Any] = {
        "slug": name,
        "file": name,
        "path": "",
        "hash": sha256(keeper.id.encode()).hexdigest(),  # of nothing that could be found again
        "size_bytes": 0,
        "note": None,  # a picture's note is to oneself
        "credit": None,  # the trip has one for all
    }
    if not is_exact(say, keeper):
        changes |= {"latitude_deg": None, "longitude_deg": None, "altitude_m": None}
        if keeper.viewpoint_id not in viewpoints:
            changes |= {"direction_deg": None, "direction_is_magnetic": None}
    return _known(made, changes)
