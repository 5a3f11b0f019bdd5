"""From the book to the traits of sites, and to the records that they came from."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

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
