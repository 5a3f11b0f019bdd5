"""What is compared between two sites, and how: the traits, their scales and their weights.

One surprising decision: a described place (`--kind dune --crowd none`) is met by a site that has what was
asked and more besides, while two sites are compared by what they share of all they have.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from logbook.craft.likeness import Score, Trait, circular, numeric, ordinal, shared_words
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, KINDS
from logbook.domain.words import ConditionKind

KINDS_WEIGHT = 3.0  # what kind of subject a place is counts threefold (own convention)
WALK_SPAN_MIN = 120.0  # min; two hours more to walk is as unlike as it gets (own convention)
LIGHT_SPAN_DEG = 180.0  # from straight against the light to straight with it


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
