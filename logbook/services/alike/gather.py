"""From the book to the traits of every site.

One surprising decision: of a site's visits only the latest six tell its light, because the light one works
in at a place is clear by then, and a busy town must not cost a thousand sun positions.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time
from functools import lru_cache
from typing import Any

from logbook.craft.circular import circular_mean, year_angle_deg
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, COMPARED, KINDS
from logbook.domain.dates import counts, last_day
from logbook.domain.day import window_on
from logbook.domain.horizon import horizon_kept, seen_deg
from logbook.domain.position import Position
from logbook.domain.rough_phase import posix_s
from logbook.domain.words import ConditionKind, TripodRule
from logbook.services.alike.traits import SiteTraits, TraitValue, means_of, part_of
from logbook.services.light.stands import zone_at
from logbook.sky.observer import Observer
from logbook.sky.phases import PHASE_FLOORS_DEG, PhaseKind, phase_at
from logbook.sky.rough import RoughSun, rough_sun
from logbook.store import comparisons
from logbook.store.comparisons import ComparedSite, LevelLine, SeenLine, SpellLine, StandLine, VisitLine
from logbook.store.desk import Desk

LIGHT_VISITS = 6  # latest visits of a site that tell its light (own convention)
_FROM_DARK = [PhaseKind.NIGHT, *(kind for _, kind in reversed(PHASE_FLOORS_DEG))]


def all_traits(desk: Desk, like: str | None = None) -> dict[str, SiteTraits]:
    """Return the traits of every site, by site id; with a site's id, of it and those that share a kind."""
    sites = comparisons.sites(desk)
    if like is not None:
        wanted = next(words_in(site.kinds) for site in sites if site.id == like)
        sites = [site for site in sites if site.id == like or wanted & words_in(site.kinds)]
    stands = comparisons.stands(desk)
    site_of = {stand.id: stand.site_id for stand in stands}
    levels = _by_site(comparisons.levels(desk, COMPARED), site_of)
    spells = _by_site(comparisons.spells(desk), site_of)
    last = last_day(desk.now().date())
    lit = {key: [one for one in of_site if _counts(one, last)] for key, of_site in spells.items()}
    stands_of: dict[str, list[StandLine]] = defaultdict(list)
    for stand in stands:
        stands_of[stand.site_id].append(stand)
    return {
        site.id: SiteTraits(
            site.id,
            site.slug,
            site.title,
            _values(
                site,
                stands_of[site.id],
                levels.get(site.id, ()),
                spells.get(site.id, ()),
                lit.get(site.id, ()),
            ),
        )
        for site in sites
    }


def facts_of(desk: Desk, traits: SiteTraits) -> dict[str, TraitValue]:
    """Return the values of one site, each with the rows it came from."""
    stands = comparisons.stands(desk, [traits.id])
    ids = [stand.id for stand in stands]
    visits = comparisons.visits(desk, ids)
    visits.sort(key=lambda visit: visit.on_date, reverse=True)
    seen = comparisons.seen(desk, COMPARED, [traits.id])
    return {
        name: TraitValue(value, tuple(dict.fromkeys(_sources(name, traits, stands, seen, visits))))
        for name, value in traits.values.items()
    }


def _sources(
    name: str,
    traits: SiteTraits,
    stands: Sequence[StandLine],
    seen: Sequence[SeenLine],
    visits: Sequence[VisitLine],
) -> Iterator[str]:
    if name in ("kinds", "access", "walk", "footing"):
        yield f"site {traits.slug}"
    if name in ("footing", "tripod"):
        yield from (f"viewpoint {one.slug}" for one in stands if one.footing or name == "tripod")
    if name in COMPARED:
        yield from (f"condition {one.slug}" for one in seen if one.kind == name)
    if name in ("light", "phase"):
        yield from (f"visit {one.slug}" for one in visits[:LIGHT_VISITS] if one.arrived_at)
    if name == "light":
        yield from (f"viewpoint {one.slug}" for one in stands if one.facing_deg is not None)
    if name == "season":
        yield from (f"visit {one.slug}" for one in visits)


def _by_site(lines: Iterable[Any], site_of: Mapping[str, str]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = defaultdict(list)
    for line in lines:
        viewpoint_id = line.viewpoint_id
        site_id = site_of.get(viewpoint_id) if viewpoint_id else line.site_id
        if site_id:
            found[site_id].append(line)
    return found


def _values(
    site: ComparedSite,
    stands: Sequence[StandLine],
    levels: Sequence[LevelLine],
    spells: Sequence[SpellLine],
    lit: Sequence[SpellLine],
) -> dict[str, Any]:
    """The known traits; an unknown one has no entry. Light comes from the spells in `lit`."""
    footing = {stand.footing for stand in stands} | {site.footing}
    rules = {stand.tripod_rule for stand in stands} - {str(TripodRule.UNKNOWN)}
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
        values["season"] = circular_mean(_year_angle(day) for day in days).mean_deg
        values["light"], values["phase"] = _light(site, stands, lit[:LIGHT_VISITS])
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
    scale = KINDS[kind].levels
    ranks = sorted(map(scale.index, levels))
    return str(scale[ranks[(len(ranks) - 1) // 2]])


def _light(
    site: ComparedSite, stands: Sequence[StandLine], spells: Sequence[SpellLine]
) -> tuple[float | None, frozenset[str]]:
    """The mean angle between view and sun over the visits while it was up, and the kinds of light met."""
    stand_of = {stand.id: stand for stand in stands}
    angles: list[float] = []
    phases: set[str] = set()
    for spell in spells:
        stand = stand_of[spell.viewpoint_id]
        ends = [sun for at in _ends(spell) if (sun := _sun(site, stand, spell.trip_zone, at))]
        up_deg = _up_deg(stand.horizon, site.elevation_m if stand.elevation_m is None else stand.elevation_m)
        if not ends:
            continue
        first, last = sorted(_FROM_DARK.index(phase_at(sun.altitude_deg)) for sun in (ends[0], ends[-1]))
        phases.update(map(str, _FROM_DARK[first : last + 1]))
        if stand.facing_deg is not None:
            angles += [
                off_axis_deg(stand.facing_deg, sun.azimuth_deg) for sun in ends if sun.altitude_deg >= up_deg
            ]
    # Unsigned angles lie on half a circle, where they cannot cancel out.
    return circular_mean(angles).mean_deg, frozenset(phases)


@lru_cache(maxsize=4096)
def _up_deg(horizon: str | None, elevation_m: float | None) -> float:
    """From which geometric altitude the sun shows over a viewpoint's own horizon."""
    own = None if horizon is None else seen_deg(horizon_kept(horizon), elevation_m)
    return Observer(0.0, 0.0, 0.0, own).sun_rises_deg


def off_axis_deg(facing_deg: float, azimuth_deg: float) -> float:
    """Return the angle between a view and the sun's azimuth, 0 to 180 degrees, left and right alike."""
    return abs((azimuth_deg - facing_deg + 180.0) % 360.0 - 180.0)


def _counts(spell: SpellLine, last: date) -> bool:
    return counts(date.fromisoformat(spell.on_date), last)


def _ends(spell: SpellLine) -> list[datetime]:
    """Arrival and departure at the place's own clock, as far as they are known."""
    on_date, day_ends_at = date.fromisoformat(spell.on_date), time.fromisoformat(spell.day_ends_at)
    arrived, departed = (
        time.fromisoformat(at) if at else None for at in (spell.arrived_at, spell.departed_at)
    )
    return [at for at in window_on(on_date, arrived, departed, day_ends_at) if at is not None]


def _sun(site: ComparedSite, stand: StandLine, trip_zone: str | None, at: datetime) -> RoughSun | None:
    latitude = stand.latitude_deg if stand.latitude_deg is not None else site.latitude_deg
    longitude = stand.longitude_deg if stand.longitude_deg is not None else site.longitude_deg
    if latitude is None or longitude is None:
        return None
    zone = site.zone or trip_zone or _zone_there(round(latitude, 2), round(longitude, 2))
    return rough_sun(latitude, longitude, posix_s(at.isoformat(), zone))


@lru_cache(maxsize=4096)
def _zone_there(latitude_deg: float, longitude_deg: float) -> str:
    return str(zone_at(Position(latitude_deg, longitude_deg)))
