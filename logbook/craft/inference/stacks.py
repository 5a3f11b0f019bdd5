"""Which stacks of filters a packed kit can make, and what each takes from the scene.

One surprising decision: filters that do not change the exposure of the whole scene (graduated, clear) and
those of unknown strength are in no stack here: exposures cannot witness them, so they are never asserted.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter

STACK_MAX = 3  # filters on one lens; more darken the corners (common practice, no source)
TYPICAL_RANGE = 1.5  # stops; a filter whose strength ranges wider explains too much and pays for it


@dataclass(frozen=True, slots=True)
class FilterStack:
    """Filters on the lens at once: indices into the alphabet, names, stops as a range and a middle."""

    parts: frozenset[int]
    names: tuple[str, ...]
    low: float
    high: float

    @property
    def middle(self) -> float:
        """Stops in the middle of the range."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class Alphabet:
    """The filters that exposures can witness, and every stack they can make; the bare lens comes first."""

    filters: tuple[Filter, ...]
    stacks: tuple[FilterStack, ...]

    def stack_of(self, names: Sequence[str]) -> int | None:
        """Return the index of the stack with these names (canonical, any order), None if there is none."""
        wanted = sorted(names)
        return next((i for i, stack in enumerate(self.stacks) if sorted(stack.names) == wanted), None)


def witnessed(item: Filter) -> bool:
    """Return whether the whole scene's exposure changes by a known number of stops behind this filter."""
    known = item.high_stops is not None and item.low_stops is not None
    return item.type.dims and known and bool(item.high_stops)


def stated_stack(names: Sequence[str]) -> tuple[Filter, ...] | None:
    """Return the stated filters that darken the whole scene; None when one is of unknown strength."""
    try:
        items = [parse_filter(name) for name in names]
    except CraftValueError:
        return None
    if any(item.low_stops is None or item.high_stops is None for item in items):
        return None
    return tuple(item for item in items if witnessed(item))


def alphabet(filters: Iterable[Filter], stated: Iterable[tuple[Filter, ...]] = ()) -> Alphabet:
    """Return every stack of up to three packed filters, and each stated stack as it was stated.

    Two filters of one name count twice in a stack but once among the choices.
    """
    packed = [item for item in filters if witnessed(item)]
    extra: list[Filter] = []
    for stack in stated:  # a statement may name a filter nobody packed, or more of a kind than packed
        pool = packed + extra
        for item in set(stack):
            missing = stack.count(item) - sum(other.name == item.name for other in pool)
            extra += [item] * missing
    items = packed + extra
    stacks: dict[tuple[str, ...], FilterStack] = {}
    for size in range(min(STACK_MAX, len(packed)) + 1):
        for chosen in combinations(range(len(packed)), size):
            _add(stacks, items, chosen)
    for stack in stated:
        left = list(range(len(items)))
        chosen_parts = []
        for item in stack:
            index = next(i for i in left if items[i].name == item.name)
            left.remove(index)
            chosen_parts.append(index)
        _add(stacks, items, tuple(sorted(chosen_parts)))
    return Alphabet(tuple(items), tuple(stacks.values()))


def _add(stacks: dict[tuple[str, ...], FilterStack], items: Sequence[Filter], chosen: Sequence[int]) -> None:
    names = tuple(items[i].name for i in chosen)
    low = math.fsum(items[i].low_stops or 0.0 for i in chosen)
    high = math.fsum(items[i].high_stops or 0.0 for i in chosen)
    stacks.setdefault(tuple(sorted(names)), FilterStack(frozenset(chosen), names, low, high))


def moved(first: FilterStack, second: FilterStack) -> tuple[frozenset[int], frozenset[int]]:
    """Return which filters came off and which went on between two stacks."""
    return first.parts - second.parts, second.parts - first.parts


def occam_nats(filters: Sequence[Filter], parts: Iterable[int]) -> float:
    """Return what moved filters of wide range pay for explaining almost anything: ln(range / 1.5 stops)."""
    widths = ((filters[i].high_stops or 0.0) - (filters[i].low_stops or 0.0) for i in parts)
    return math.fsum(math.log(width / TYPICAL_RANGE) for width in widths if width > TYPICAL_RANGE)
