"""How alike two things are that are described by several traits of different kinds.

One surprising decision: an ordinal trait is scaled by the length of its vocabulary, not by the range that the
book happens to hold, so that two places do not become less alike because a third one was added.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from logbook.craft.bearings import off_axis_deg
from logbook.craft.errors import CraftValueError

SHARED_MIN = 4  # traits known of both; with fewer there is no score (own convention)
ALIKE_FROM = 0.5  # partial score from which a trait speaks for a match (own convention)

Score = float | None
"""A partial score 0 to 1, or None where the trait says nothing about this pair."""


@dataclass(frozen=True, slots=True)
class Trait:
    """One trait: its name, how two of its values are compared, its weight."""

    name: str
    compare: Callable[[Any, Any], Score]
    weight: float = 1.0

    def __post_init__(self) -> None:
        if not self.weight > 0:
            raise CraftValueError(f"The weight of {self.name} is {self.weight:g}; it must be above 0.")


class TraitScore(NamedTuple):
    """What one trait said about a pair; `score` 0 to 1."""

    name: str
    score: float
    weight: float


@dataclass(frozen=True, slots=True)
class Likeness:
    """The likeness of a pair: `similarity` 0 to 1, or None where too little is known about both.

    `parts` are the traits that could be compared, in the order of the traits; `asked` is how many there are.
    """

    similarity: float | None
    parts: tuple[TraitScore, ...]
    asked: int

    @property
    def shared(self) -> int:
        """How many traits are known of both."""
        return len(self.parts)

    @property
    def alike(self) -> int:
        """How many of them speak for the match."""
        return sum(part.score >= ALIKE_FROM for part in self.parts)


def likeness(
    traits: Sequence[Trait],
    first: Mapping[str, Any],
    second: Mapping[str, Any],
    *,
    shared_min: int = SHARED_MIN,
) -> Likeness:
    """Return Gower's general coefficient over the traits that are known of both.

    S = Σ w·s / Σ w over the traits that can be compared; a value that is absent or None is left out, which is
    not the same as equal. J. C. Gower, A general coefficient of similarity and some of its properties,
    Biometrics 27 (1971) 857-871. With fewer than `shared_min` shared traits there is no similarity.
    """
    parts = []
    scored = whole = 0.0
    for trait in traits:
        one, other = first.get(trait.name), second.get(trait.name)
        score = None if one is None or other is None else trait.compare(one, other)
        if score is not None:
            parts.append(TraitScore(trait.name, score, trait.weight))
            scored += score * trait.weight
            whole += trait.weight
    enough = parts and len(parts) >= shared_min
    return Likeness(scored / whole if enough else None, tuple(parts), len(traits))


def ordinal(scale: Sequence[object]) -> Callable[[object, object], float]:
    """Return how two words of a scale are scored: 1 - |rank difference| / (number of words - 1).

    Ranks treated as quantitative: the "classic" way for ordered characters, J. Podani, Taxon 48 (1999)
    331-340. Raises CraftValueError for a scale of fewer than two words.
    """
    if len(scale) < 2:
        raise CraftValueError("A scale needs at least two words.")
    ranks = {word: rank for rank, word in enumerate(scale)}
    longest = len(scale) - 1

    def compare(first: object, second: object) -> float:
        return 1.0 - abs(ranks[first] - ranks[second]) / longest

    return compare


def numeric(span: float) -> Callable[[float, float], float]:
    """Return how two numbers are scored: 1 - |difference| / span, never below 0.

    Gower 1971, quantitative characters; the span is the range of the population, given beforehand. Raises
    CraftValueError unless it is above 0.
    """
    if not span > 0:
        raise CraftValueError(f"A range of {span:g} cannot scale a difference; it must be above 0.")
    return lambda first, second: max(0.0, 1.0 - abs(first - second) / span)


def circular(first_deg: float, second_deg: float) -> float:
    """Score two places on a circle: 1 where they coincide, 0 where they stand opposite.

    Gower's quantitative score with the largest difference on a circle, 180 degrees, as its range.
    """
    return 1.0 - off_axis_deg(first_deg, second_deg) / 180.0


def shared_words(first: Collection[object], second: Collection[object]) -> Score:
    """Score two sets of words: shared over all (P. Jaccard 1901); None where both are empty.

    The same as Gower's coefficient over the presence of each word: of both 1, of one 0, of neither nothing.
    """
    one, other = set(first), set(second)
    return len(one & other) / len(one | other) if one or other else None
