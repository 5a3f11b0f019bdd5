"""What may have been on the lens in each run of a stretch, and every alternative nearly as good.

One surprising decision: a filter worn throughout a stretch leaves no trace, so it is left out of an
explanation; it is named only if it may have come on or off within the stretch at a cost still near the best.
Therefore the cheapest ways through a chain of choices are worked out in both directions at once, the best one
and the best through any given choice. Cost is linear in the length and quadratic in the choices.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import add

from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.inference.stacks import Alphabet

Row = Sequence[float]


@dataclass(frozen=True, slots=True)
class Ways:
    """Costs of the best way up to each choice, and from it to the end; with the neighbour each comes from."""

    up_to: Sequence[Row]  # own cost included
    after: Sequence[Row]  # own cost left out
    came_from: Sequence[Sequence[int]]
    goes_to: Sequence[Sequence[int]]

    @property
    def best(self) -> float:
        """The cost of the best way."""
        return min(self.up_to[-1])

    def path(self, place: int, choice: int) -> list[int]:
        """Return the best way through one choice at one place, as the choices from first to last."""
        back = [choice]
        for here in range(place, 0, -1):
            back.append(self.came_from[here - 1][back[-1]])
        way = back[::-1]
        for here in range(place, len(self.up_to) - 1):
            way.append(self.goes_to[here][way[-1]])
        return way


def cheapest_ways(own: Sequence[Row], between: Sequence[Sequence[Row]]) -> Ways:
    """Return the ways through n places; `own[place][choice]` and `between[place][from][to]` are their costs.

    `between` has one entry fewer than `own`.
    """
    up_to: list[Row] = [list(own[0])]
    came_from: list[list[int]] = []
    for costs, mine in zip(between, own[1:], strict=True):
        previous = up_to[-1]
        sources, totals = [], []
        for column, here in zip(zip(*costs, strict=True), mine, strict=True):
            through = list(map(add, previous, column))
            total = min(through)
            sources.append(through.index(total))
            totals.append(total + here)
        up_to.append(totals)
        came_from.append(sources)
    after: list[Row] = [[0.0] * len(own[-1])]
    goes_to: list[list[int]] = []
    for costs, mine in zip(reversed(between), reversed(own[1:]), strict=True):
        ahead = list(map(add, after[-1], mine))
        targets, rest = [], []
        for row in costs:
            through = list(map(add, row, ahead))
            total = min(through)
            targets.append(through.index(total))
            rest.append(total)
        after.append(rest)
        goes_to.append(targets)
    return Ways(up_to, after[::-1], came_from, goes_to[::-1])


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
