"""From the book to the traits of sites, and to the records that they came from."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from logbook.domain.condition_kinds import COMPARED
from logbook.domain.dates import last_day
from logbook.domain.position import Position
from logbook.domain.site_traits import LIGHT_VISITS, words_in
from logbook.services.alike.traits import SiteTraits, TraitValue
from logbook.services.light.stands import zone_at
from logbook.store import comparisons
from logbook.store.comparisons import SeenLine, StandLine, VisitLine
from logbook.store.desk import Desk


def all_traits(desk: Desk, like: str | None = None) -> dict[str, SiteTraits]:
    """Return the traits of every site, by site id; with a site's id, of it and those that share a kind."""
    sites = comparisons.sites(desk)
    if like is not None:
        wanted = next(words_in(site.kinds) for site in sites if site.id == like)
        sites = [site for site in sites if site.id == like or wanted & words_in(site.kinds)]
    values = desk.tallies.traits([site.id for site in sites], last_day(desk.now().date()), _zone_there)
    return {site.id: SiteTraits(site.id, site.slug, site.title, values[site.id]) for site in sites}


@lru_cache(maxsize=4096)
def _zone_there(latitude_deg: float, longitude_deg: float) -> str:
    return str(zone_at(Position(round(latitude_deg, 2), round(longitude_deg, 2))))


def facts_of(desk: Desk, sites: Sequence[SiteTraits]) -> dict[str, dict[str, TraitValue]]:
    """Return the values of some sites, by site id, each with the rows it came from."""
    ids = [site.id for site in sites]
    stands, visits, seen = (defaultdict[str, list[Any]](list) for _ in range(3))
    site_of = {}
    for stand in comparisons.stands(desk, ids):
        stands[stand.site_id].append(stand)
        site_of[stand.id] = stand.site_id
    for visit in comparisons.visits(desk, list(site_of)):
        visits[site_of[visit.viewpoint_id]].append(visit)
    for one in comparisons.seen(desk, COMPARED, ids):
        for site_id in {site_of.get(one.viewpoint_id or ""), one.site_id} - {None}:
            seen[str(site_id)].append(one)
    return {site.id: _facts(site, stands[site.id], seen[site.id], visits[site.id]) for site in sites}


def _facts(
    traits: SiteTraits,
    stands: Sequence[StandLine],
    seen: Sequence[SeenLine],
    visits: Sequence[VisitLine],
) -> dict[str, TraitValue]:
    latest = sorted(visits, key=lambda visit: visit.on_date, reverse=True)
    return {
        name: TraitValue(value, tuple(dict.fromkeys(_sources(name, traits, stands, seen, latest))))
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
