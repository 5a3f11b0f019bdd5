"""Finding the sites that are alike to one of the book, or to one that is only described."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from logbook.craft.likeness import SHARED_MIN, Likeness, likeness
from logbook.domain.errors import WrongUseError
from logbook.services.alike.gather import all_traits, facts_of
from logbook.services.alike.happened import Happened, happened_at
from logbook.services.alike.traits import AGAINST_WISH, BETWEEN_SITES, SiteTraits, TraitValue
from logbook.services.kinds import SITE
from logbook.services.records import find
from logbook.store.book import Book
from logbook.store.desk import Desk

SHOWN = 5  # sites; more than anybody reads before a trip (own convention)
ALIKE_ENOUGH = 0.5  # similarity from which a site counts as one like it (own convention)


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
    known = all_traits(desk)
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
    facts = facts_of(desk, [about, *(site for site, _ in best)])
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
    known = all_traits(desk, like=site_id)
    about = known.pop(site_id)
    judged = ((site, likeness(BETWEEN_SITES, about.values, site.values)) for site in known.values())
    near = [(site, found) for site, found in judged if (found.similarity or 0.0) >= ALIKE_ENOUGH]
    near.sort(key=lambda pair: (-(pair[1].similarity or 0.0), pair[0].slug))
    return tuple(near)
