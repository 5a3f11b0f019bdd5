"""Finding the sites that are alike to one of the book, or to one that is only described, by their traits.

One surprising decision: a described place (`--kind dune --crowd none`) is met by a site that has what was
asked and more besides, while two sites are compared by what they share of all they have.
"""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from logbook.craft.likeness import (
    SHARED_MIN,
    Likeness,
    Score,
    Trait,
    circular,
    likeness,
    numeric,
    ordinal,
    shared_words,
)
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, COMPARED, KINDS
from logbook.domain.dates import last_day
from logbook.domain.errors import WrongUseError
from logbook.domain.site_traits import LIGHT_VISITS, words_in
from logbook.domain.words import ConditionKind
from logbook.services.alike.happened import Happened, happened_at
from logbook.services.kinds import SITE
from logbook.services.records import find
from logbook.store import comparisons
from logbook.store.book import Book
from logbook.store.comparisons import SeenLine, StandLine, VisitLine
from logbook.store.desk import Desk

KINDS_WEIGHT = 3.0  # what kind of subject a place is counts threefold (own convention)
WALK_SPAN_MIN = 120.0  # min; two hours more to walk is as unlike as it gets (own convention)
LIGHT_SPAN_DEG = 180.0  # from straight against the light to straight with it
SHOWN = 5  # sites; more than anybody reads before a trip (own convention)
ALIKE_ENOUGH = 0.5  # similarity from which a site counts as one like it (own convention)


def by_the_hour(scale: Sequence[str]) -> Callable[[Mapping[str, str], Mapping[str, str]], Score]:
    """Return how levels at the same parts of the day are scored; None where no part is known of both."""
    levels = ordinal(scale)

    def compare(first: Mapping[str, str], second: Mapping[str, str]) -> Score:
        parts = first.keys() & second.keys()
        return sum(levels(first[part], second[part]) for part in parts) / len(parts) if parts else None

    return compare


def as_usual(kind: ConditionKind) -> Callable[[Any, Any], Score]:
    """Return how the usual levels of a kind are scored: numbers, or words of its scale."""
    of = KINDS[kind]
    return numeric(len(of.levels) - 1.0) if of.is_figure else ordinal(of.levels)


def wanted_words(asked: Collection[object], there: Collection[object]) -> Score:
    """Score how much of what was asked is there; more than that does no harm."""
    return len(set(asked) & set(there)) / len(set(asked)) if asked else None


def _traits(words: Any) -> tuple[Trait, ...]:
    return (
        Trait("kinds", words, KINDS_WEIGHT),
        Trait("footing", words),
        Trait("tripod", words),
        *(Trait(kind.value, by_the_hour(KINDS[kind].levels)) for kind in BY_THE_HOUR),
        Trait("light", numeric(LIGHT_SPAN_DEG)),
        Trait("phase", words),
        *(Trait(kind.value, as_usual(kind)) for kind in AS_USUAL),
        Trait("access", words),
        Trait("walk", numeric(WALK_SPAN_MIN)),
        Trait("season", circular),
    )


BETWEEN_SITES = _traits(shared_words)


AGAINST_WISH = _traits(wanted_words)


@dataclass(frozen=True, slots=True)
class SiteTraits:
    """What the book knows of one site, by the name of the trait; what is not there is unknown.

    kinds, footing, tripod, phase, access: sets of words; a kind of condition: its usual level as a word or
    number, or one for each part of the day; light: the sun's angle off the view's axis in degrees, 0 against
    and 180 with the light; walk: minutes; season: place on the circle of the year in degrees.
    """

    id: str
    slug: str
    title: str
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class TraitValue:
    """One value of a site and the rows it came from, each as `noun slug`."""

    value: Any
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AlikeSite:
    """One site, how alike it is, the facts of it and where they came from, and what happened there."""

    site: SiteTraits
    likeness: Likeness
    facts: Mapping[str, TraitValue]
    happened: Happened


@dataclass(frozen=True, slots=True)
class Alike:
    """The answer: sites, most alike first; `about` and its facts are what they were compared with.

    `described` says that nobody named a site. `unjudged` counts sites of which too little is known.
    """

    about: SiteTraits
    described: bool
    facts: Mapping[str, TraitValue]
    sites: tuple[AlikeSite, ...]
    compared: int
    unjudged: int
    shared_min: int


def alike(book: Book, wanted: str | None, wish: Mapping[str, Any], limit: int = SHOWN) -> Alike:
    """Return the sites most alike to a site, a description, or a site with some of its traits described.

    `wish` holds values by trait as in `SiteTraits`. Raises WrongUseError where neither is given, and
    NotFoundError for an unknown site.
    """
    if wanted is None and not wish:
        raise WrongUseError("Say what to compare with: a SITE, or a description such as --kind dune.")
    book.prove_tallies()
    with book.reading() as desk:
        return alike_in(desk, wanted, wish, limit)


def alike_in(desk: Desk, wanted: str | None, wish: Mapping[str, Any], limit: int = SHOWN) -> Alike:
    """The same within a transaction that is open, of a book whose tallies are proven."""
    known = _all_traits(desk)
    if wanted is None:
        about = SiteTraits("", "", "as described", dict(wish))
        shared_min = max(1, min(SHARED_MIN, (len(wish) + 1) // 2))
    else:
        own = known.pop(find(desk, SITE, wanted).id)
        about = SiteTraits(own.id, own.slug, own.title, {**own.values, **wish})
        shared_min = SHARED_MIN
    traits = AGAINST_WISH if wanted is None else BETWEEN_SITES
    judged = [
        (site, likeness(traits, about.values, site.values, shared_min=shared_min)) for site in known.values()
    ]
    scored = [(site, found) for site, found in judged if found.similarity is not None]
    scored.sort(key=lambda pair: (-round(pair[1].similarity or 0.0, 6), -pair[1].shared, pair[0].slug))
    best = scored[:limit]
    happened = happened_at(desk, [site.id for site, _ in best])
    asked = {name: TraitValue(value, ("asked",)) for name, value in wish.items()}
    facts = _facts_of(desk, [about, *(site for site, _ in best)])
    return Alike(
        about,
        wanted is None,
        facts[about.id] | asked,
        tuple(AlikeSite(site, found, facts[site.id], happened[site.id]) for site, found in best),
        len(judged),
        len(judged) - len(scored),
        shared_min,
    )


def those_like(desk: Desk, site_id: str) -> tuple[tuple[SiteTraits, Likeness], ...]:
    """Return the sites that count as like one: alike enough, and of one subject kind at least, best first."""
    known = _all_traits(desk, like=site_id)
    about = known.pop(site_id)
    judged = ((site, likeness(BETWEEN_SITES, about.values, site.values)) for site in known.values())
    near = [(site, found) for site, found in judged if (found.similarity or 0.0) >= ALIKE_ENOUGH]
    near.sort(key=lambda pair: (-(pair[1].similarity or 0.0), pair[0].slug))
    return tuple(near)


def _all_traits(desk: Desk, like: str | None = None) -> dict[str, SiteTraits]:
    """Return the traits of every site, by site id; with a site's id, of it and those that share a kind."""
    sites = comparisons.sites(desk)
    if like is not None:
        wanted = next(words_in(site.kinds) for site in sites if site.id == like)
        sites = [site for site in sites if site.id == like or wanted & words_in(site.kinds)]
    values = desk.tallies.traits([site.id for site in sites], last_day(desk.now().date()))
    return {site.id: SiteTraits(site.id, site.slug, site.title, values[site.id]) for site in sites}


def _facts_of(desk: Desk, sites: Sequence[SiteTraits]) -> dict[str, dict[str, TraitValue]]:
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
