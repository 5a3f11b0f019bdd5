"""Cheapest ways through a chain of choices: the best way, and the best way through any given choice.

One surprising decision: both directions are worked out at once, because every alternative that is nearly as
good is wanted, not only the winner. Cost is linear in the length and quadratic in the choices.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import add

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
