"""What is compared between two sites, and how: the traits, their scales and their weights.

One surprising decision: a described place (`--kind dune --crowd none`) is met by a site that has what was
asked and more besides, while two sites are compared by what they share of all they have.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from logbook.craft.likeness import Score, Trait, circular, numeric, ordinal, shared_words
from logbook.domain.words import Crowd, Water

KINDS_WEIGHT = 3.0  # what kind of subject a place is counts threefold (own convention)
WALK_SPAN_MIN = 120.0  # min; two hours more to walk is as unlike as it gets (own convention)
WIND_SPAN = 12.0  # Beaufort forces 0 to 12 (WMO-No. 306)
LIGHT_SPAN_DEG = 180.0  # from straight against the light to straight with it
_CROWDS, _WATERS = ordinal(tuple(map(str, Crowd))), ordinal(tuple(map(str, Water)))

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


class PartOfDay(StrEnum):
    """Parts of the day by the place's clock, for the crowd at the hour."""

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


def crowds_alike(first: Mapping[str, str], second: Mapping[str, str]) -> Score:
    """Score the crowd at the same parts of the day; None where no part is known of both."""
    parts = first.keys() & second.keys()
    return sum(_CROWDS(first[part], second[part]) for part in parts) / len(parts) if parts else None


def wanted_words(asked: Collection[object], there: Collection[object]) -> Score:
    """Score how much of what was asked is there; more than that does no harm."""
    return len(set(asked) & set(there)) / len(set(asked)) if asked else None


def _traits(words: Any) -> tuple[Trait, ...]:
    return (
        Trait("kinds", words, KINDS_WEIGHT),
        Trait("footing", words),
        Trait("tripod", words),
        Trait("crowd", crowds_alike),
        Trait("light", numeric(LIGHT_SPAN_DEG)),
        Trait("phase", words),
        Trait("water", _WATERS),
        Trait("wind", numeric(WIND_SPAN)),
        Trait("access", words),
        Trait("walk", numeric(WALK_SPAN_MIN)),
        Trait("season", circular),
    )


BETWEEN_SITES = _traits(shared_words)
AGAINST_WISH = _traits(wanted_words)


@dataclass(frozen=True, slots=True)
class SiteTraits:
    """What the book knows of one site, by the name of the trait; what is not there is unknown.

    kinds, footing, tripod, phase, access: sets of words; crowd: usual word by part of the day; light: the
    sun's angle off the view's axis in degrees, 0 against and 180 with the light; water: usual word; wind:
    usual force; walk: minutes; season: place on the circle of the year in degrees.
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
