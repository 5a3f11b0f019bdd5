"""What tells a site from others and can be compared: its kinds, footing, light, crowd, season and more.

One surprising decision: of a site's visits only the latest six tell its light, because the light one works
in at a place is clear by then, and a busy town must not cost a thousand sun positions.
"""

import json
import re
from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime, time
from enum import StrEnum
from functools import cache, lru_cache
from typing import Any, NamedTuple

from logbook.craft.bearings import circular_mean, off_axis_deg, year_angle_deg
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, KINDS
from logbook.domain.dates import counts
from logbook.domain.day import window_on
from logbook.domain.horizon import horizon_kept, seen_deg
from logbook.domain.place_clock import zone_by_columns
from logbook.domain.rough_phase import posix_s
from logbook.domain.words import ConditionKind, TripodRule
from logbook.sky.observer import Observer
from logbook.sky.phases import PHASE_FLOORS_DEG, PhaseKind, phase_at
from logbook.sky.rough import RoughSun, rough_sun

LIGHT_VISITS = 6  # latest visits of a site that tell its light (own convention)
_FROM_DARK = [PhaseKind.NIGHT, *(kind for _, kind in reversed(PHASE_FLOORS_DEG))]

# What a text about access says of the way, word by word (own convention).
_MEANS = {
    "road": r"road|car|drive|park",
    "track": r"track|jeep|4x4|off-road",
    "path": r"path|trail|on foot|walk",
    "steps": r"steps?|stairs?|ladder",
    "bus": r"bus|buses|coach|coaches",
    "train": r"train|tram|railway",
    "boat": r"boat|ferry",
    "lift": r"lift|cable",
    "by arrangement": r"arrangement|permission|permit|landowner|guide|ticket|booking",
}
_MEANS_OF = {word: re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE) for word, pattern in _MEANS.items()}


class PlaceLine(NamedTuple):
    """A site as it lies in the book; `kinds` is a JSON list."""

    id: str
    kinds: str
    latitude_deg: float | None
    longitude_deg: float | None
    zone: str | None
    footing: str | None
    access: str | None
    walk_min: int | None
    elevation_m: float | None


class ViewLine(NamedTuple):
    """A viewpoint as it lies in the book; `horizon` in degrees of skyline, or sea."""

    id: str
    latitude_deg: float | None
    longitude_deg: float | None
    facing_deg: float | None
    tripod_rule: str
    footing: str | None
    elevation_m: float | None
    horizon: str | None


class LevelLine(NamedTuple):
    """The level of a condition; `at` begins with 17:20."""

    kind: str
    level: str
    at: str | None


class SpellLine(NamedTuple):
    """When a viewpoint was visited, with its trip's zone and end of day, and the zone stated for the day."""

    viewpoint_id: str
    on_date: str
    arrived_at: str | None
    departed_at: str | None
    trip_zone: str | None
    day_ends_at: str
    day_zone: str | None


class PartOfDay(StrEnum):
    """Parts of the day by the place's clock, for what changes with the hour."""

    MORNING = "morning"
    MIDDAY = "midday"
    EVENING = "evening"
    NIGHT = "night"
    SOME_TIME = "some time"


_PART_OF_HOUR = tuple(
    PartOfDay.MORNING
    if 5 <= hour < 11
    else PartOfDay.MIDDAY
    if 11 <= hour < 15
    else PartOfDay.EVENING
    if 15 <= hour < 21
    else PartOfDay.NIGHT
    for hour in range(24)
)


def part_of(at: str | None) -> PartOfDay:
    """Return the part of the day of a time such as 17:20; without a time, some time."""
    return _PART_OF_HOUR[int(at[:2])] if at else PartOfDay.SOME_TIME


def means_of(access: str | None) -> frozenset[str] | None:
    """Return what a text about access says of the way, or None where it says nothing we know."""
    found = frozenset(word for word, pattern in _MEANS_OF.items() if pattern.search(access or ""))
    return found or None


def traits_of(
    site: PlaceLine,
    views: Sequence[ViewLine],
    levels: Sequence[LevelLine],
    spells: Sequence[SpellLine],
    last: date,
) -> dict[str, Any]:
    """Return the known traits of a site by name, as `SiteTraits` has them; an unknown one has no entry.

    The spells are given latest first; those after the `last` day tell no light.
    """
    footing = {view.footing for view in views} | {site.footing}
    rules = {view.tripod_rule for view in views} - {str(TripodRule.UNKNOWN)}
    values: dict[str, Any] = {
        "kinds": words_in(site.kinds),
        "footing": frozenset(footing - {None}),
        "tripod": frozenset(rules),
        "access": means_of(site.access),
        "walk": None if site.walk_min is None else float(site.walk_min),
    }
    told: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for line in levels:
        told[line.kind][part_of(line.at) if line.kind in BY_THE_HOUR else ""].append(line.level)
    for kind in BY_THE_HOUR:
        values[kind.value] = {part: usual(kind, seen) for part, seen in told[kind].items()}
    for kind in AS_USUAL:
        level = usual(kind, told[kind][""])
        values[kind.value] = float(level) if level is not None and KINDS[kind].is_figure else level
    if spells:
        days = {spell.on_date for spell in spells}
        values["season"] = circular_mean(_year_angle(day) for day in sorted(days)).mean_deg
        lit = [spell for spell in spells if counts(date.fromisoformat(spell.on_date), last)]
        values["light"], values["phase"] = _light(site, views, lit[:LIGHT_VISITS])
    return {name: value for name, value in values.items() if value or value == 0.0}


@lru_cache(maxsize=4096)
def words_in(listed: str | None) -> frozenset[str]:
    """Return the words of a JSON list."""
    return frozenset(json.loads(listed or "[]"))


@lru_cache(maxsize=16384)
def _year_angle(day: str) -> float:
    return year_angle_deg(date.fromisoformat(day))


def usual(kind: ConditionKind, levels: Sequence[str]) -> str | None:
    """Return the middle of the levels on their scale (the lower one of two), or None where none was seen."""
    if not levels:
        return None
    ranks = sorted(map(_ranks(kind).__getitem__, levels))
    return str(KINDS[kind].levels[ranks[(len(ranks) - 1) // 2]])


@cache
def _ranks(kind: ConditionKind) -> dict[str, int]:
    return {str(level): rank for rank, level in enumerate(KINDS[kind].levels)}


def _light(
    site: PlaceLine, views: Sequence[ViewLine], spells: Sequence[SpellLine]
) -> tuple[float | None, frozenset[str]]:
    """The mean angle between view and sun over the visits while it was up, and the kinds of light met."""
    view_of = {view.id: view for view in views}
    angles: list[float] = []
    phases: set[str] = set()
    for spell in spells:
        view = view_of[spell.viewpoint_id]
        ends = [sun for at in _ends(spell) if (sun := _sun(site, view, spell, at))]
        up_deg = _up_deg(view.horizon, site.elevation_m if view.elevation_m is None else view.elevation_m)
        if not ends:
            continue
        first, last = sorted(_FROM_DARK.index(phase_at(sun.altitude_deg)) for sun in (ends[0], ends[-1]))
        phases.update(map(str, _FROM_DARK[first : last + 1]))
        if view.facing_deg is not None:
            angles += [
                off_axis_deg(view.facing_deg, sun.azimuth_deg) for sun in ends if sun.altitude_deg >= up_deg
            ]
    # Unsigned angles lie on half a circle, where they cannot cancel out.
    return circular_mean(angles).mean_deg, frozenset(phases)


@lru_cache(maxsize=4096)
def _up_deg(horizon: str | None, elevation_m: float | None) -> float:
    """From which geometric altitude the sun shows over a viewpoint's own horizon."""
    own = None if horizon is None else seen_deg(horizon_kept(horizon), elevation_m)
    return Observer(0.0, 0.0, 0.0, own).sun_rises_deg


def _ends(spell: SpellLine) -> list[datetime]:
    """Arrival and departure at the place's own clock, as far as they are known."""
    on_date, day_ends_at = date.fromisoformat(spell.on_date), time.fromisoformat(spell.day_ends_at)
    arrived, departed = (
        time.fromisoformat(at) if at else None for at in (spell.arrived_at, spell.departed_at)
    )
    return [at for at in window_on(on_date, arrived, departed, day_ends_at) if at is not None]


def _sun(site: PlaceLine, view: ViewLine, spell: SpellLine, at: datetime) -> RoughSun | None:
    latitude = view.latitude_deg if view.latitude_deg is not None else site.latitude_deg
    longitude = view.longitude_deg if view.longitude_deg is not None else site.longitude_deg
    if latitude is None or longitude is None:
        return None
    zone = zone_by_columns(latitude, longitude, spell.on_date, site.zone, spell.day_zone, spell.trip_zone)
    return None if zone is None else rough_sun(latitude, longitude, posix_s(at.isoformat(), zone))
