"""Which fields of the nouns an audience may see, as they are or as text that is struck first.

One surprising decision: these are lists of what may be seen, and nothing else may: a field that a noun gains
stays at home until somebody lists it.
"""

from collections.abc import Mapping
from dataclasses import fields
from enum import Enum
from functools import cache
from typing import Any

from logbook.domain.condition import Condition
from logbook.domain.day import Day
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.lesson import Lesson
from logbook.domain.record import Record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import Audience


class Sight(Enum):
    """What an audience sees of a field."""

    NOTHING = "nothing"
    STRUCK = "the text without what is withheld"
    ALL = "the value"


TEXTS = frozenset(
    (
        *("title", "purpose", "summary", "credit", "rights", "region", "access", "hazards", "looks_at"),
        *("intent", "technique", "note", "direction", "source", "journal", "text", "caption", "alternative"),
        *("body", "lens", "filters"),
    )
)
AS_THEY_ARE = frozenset(
    (
        # what a record is, and what it refers to
        *("id", "created", "updated", "provenance", "trip_id", "site_id", "viewpoint_id", "visit_id"),
        *("shot_id", "fallback_for_id", "replaced_by_shot_id", "replaced_by_keeper_id", "slug", "keeper_ids"),
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
        *("auto_bracket", "metering", "flash_fired", "support", "tries", "sharpness", "rating"),
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
_EVERY = ("id", "created", "updated", "provenance", "slug", "trip_id")
_CLIENT: dict[type[Record], frozenset[str]] = {
    noun: frozenset((*_EVERY, *names.split()))
    for noun, names in {
        Trip: "title client brief summary next_visit credit rights starts_on ends_on zone day_ends_at"
        " location_shown",
        Site: "title region latitude_deg longitude_deg elevation_m zone location_shown",
        Viewpoint: "title site_id latitude_deg longitude_deg elevation_m facing_deg horizon location_shown",
        Shot: "title viewpoint_id intent on_date window_from window_to priority focal_mm",
        Outcome: "shot_id word reasons note replaced_by_shot_id replaced_by_keeper_id",
        Visit: "viewpoint_id on_date arrived_at departed_at",
        Condition: "kind on_date at site_id viewpoint_id visit_id level direction note source",
        Lesson: "verb text on_date site_id viewpoint_id shot_id shown_to",
        Day: "on_date zone",
        Keeper: "format width_px height_px orientation taken_local taken_utc zone clock_offset_s exposure_s"
        " f_number iso focal_mm focal_35mm body filters viewpoint_id shot_id caption alternative rating",
        KeeperSet: "kind keeper_ids",
    }.items()
}
_CLIENTS_TEXTS = frozenset(("client", "brief", "next_visit"))


def sight_of(noun: type[Record], audience: Audience) -> Mapping[str, Sight]:
    """Return what an audience other than the photographer sees of each field of a noun."""
    kind: Any = noun
    return _sights(kind, audience)


@cache
def _sights(noun: Any, audience: Audience) -> Mapping[str, Sight]:
    return {field.name: _sight(noun, field.name, audience) for field in fields(noun)}


def _sight(noun: type[Record], name: str, audience: Audience) -> Sight:
    if audience is Audience.CLIENT:
        if name not in _CLIENT.get(noun, ()):
            return Sight.NOTHING
        if name in _CLIENTS_TEXTS:
            return Sight.STRUCK
    if (noun, name) == (Visit, "purpose"):
        return Sight.ALL
    return Sight.STRUCK if name in TEXTS else Sight.ALL if name in AS_THEY_ARE else Sight.NOTHING
