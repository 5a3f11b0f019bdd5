"""What may have been on the lens in each run of a stretch, and every alternative nearly as good.

One surprising decision: a filter worn throughout a stretch leaves no trace, so it is left out of an
explanation; it is named only if it may have come on or off within the stretch at a cost still near the best.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.inference.chain import Row, cheapest_ways
from logbook.craft.inference.stacks import Alphabet

NEAR_NATS = 7.0  # explanations this close to the best are nearly as good (chosen on trials)


@dataclass(frozen=True, slots=True)
class Explanation:
    """Filters that would explain a run (() is none), their stops, and how many nats worse than the best."""

    filters: tuple[str, ...]
    stops: float
    cost: float


class Stretch:
    """Runs in a row, each behind one stack; `own` and `between` are costs by run and stack."""

    def __init__(
        self, letters: Alphabet, own: Sequence[Row], between: Sequence[Sequence[Row]], *, anchored: bool
    ) -> None:
        """Work out the best ways; in an anchored stretch nothing is left out, because a person said it."""
        self.letters, self.own, self.between, self.anchored = letters, own, between, anchored
        self.ways = cheapest_ways(own, between)
        limit = self.ways.best + NEAR_NATS
        # a way nearly as good as the best visits only stacks whose own best way is nearly as good
        self.near = [
            [i for i, (a, b) in enumerate(zip(up, after, strict=True)) if a + b <= limit]
            for up, after in zip(self.ways.up_to, self.ways.after, strict=True)
        ]
        used = {i for near in self.near for index in near for i in letters.stacks[index].parts}
        self.visible = {i for i in used if letters.filters[i].kind is FilterKind.VARIABLE or anchored}
        self.absent = {i: self._absent(i) for i in used - self.visible}

    def explanations(self, run: int, jump_stops: float) -> tuple[Explanation, ...]:
        """Return what may have been on during one run, best first; ranges show the stops nearest the jump."""
        best: dict[tuple[str, ...], tuple[float, tuple[Filter, ...]]] = {}
        for index in self.near[run]:
            parts = self.letters.stacks[index].parts
            total = self.ways.up_to[run][index] + self.ways.after[run][index]
            path = self.ways.path(run, index)
            worn = (
                frozenset.intersection(*(self.letters.stacks[other].parts for other in path)) - self.visible
            )
            for size in range(len(worn) + 1):
                for named in combinations(sorted(worn), size):
                    cost = max((self.absent[i][run][index] for i in named), default=total)
                    self._offer(best, parts - worn | frozenset(named), cost)
        floor = min(cost for cost, _ in best.values())
        ranked = sorted(best.values(), key=lambda one: one[0])
        return tuple(_explanation(items, cost - floor, jump_stops) for cost, items in ranked)

    def _offer(
        self,
        best: dict[tuple[str, ...], tuple[float, tuple[Filter, ...]]],
        parts: frozenset[int],
        cost: float,
    ) -> None:
        items = tuple(self.letters.filters[i] for i in sorted(parts))
        name = tuple(sorted(item.name for item in items))
        if cost <= self.ways.best + NEAR_NATS and cost < best.get(name, (math.inf,))[0]:
            best[name] = cost, items

    def _absent(self, part: int) -> list[dict[int, float]]:
        """For each run and near stack the cheapest way on which this filter is absent from another run."""
        stacks, up_to, after = self.letters.stacks, self.ways.up_to, self.ways.after
        last = len(self.own) - 1
        earlier: list[dict[int, float]] = [dict.fromkeys(self.near[0], math.inf)]
        for run in range(last):
            reached = {
                i: earlier[run][i] if part in stacks[i].parts else up_to[run][i] for i in self.near[run]
            }
            earlier.append(
                {
                    j: min(cost + self.between[run][i][j] for i, cost in reached.items())
                    + self.own[run + 1][j]
                    for j in self.near[run + 1]
                }
            )
        later: list[dict[int, float]] = [{} for _ in self.own]
        later[last] = dict.fromkeys(self.near[last], math.inf)
        for run in range(last - 1, -1, -1):
            ahead = {
                j: self.own[run + 1][j]
                + (later[run + 1][j] if part in stacks[j].parts else after[run + 1][j])
                for j in self.near[run + 1]
            }
            later[run] = {
                i: min(self.between[run][i][j] + cost for j, cost in ahead.items()) for i in self.near[run]
            }
        return [
            {i: min(earlier[run][i] + after[run][i], up_to[run][i] + later[run][i]) for i in self.near[run]}
            for run in range(last + 1)
        ]


def _explanation(items: Sequence[Filter], cost: float, jump_stops: float) -> Explanation:
    low, high = (
        math.fsum(getattr(item, end) or 0.0 for item in items) for end in ("low_stops", "high_stops")
    )
    stops = min(max(abs(jump_stops), low), high)
    return Explanation(tuple(item.name for item in items), round(stops, 2), round(cost, 2))
