"""The fewest pieces with which as much as possible can be done.

One surprising decision: it is searched for exactly, branch by branch, as a bag has a few dozen pieces and a
plan few ways to be met; where many plans leave many ways, the search stops at the best found so far.
"""

from collections.abc import Collection, Sequence

MOST_STEPS = 200_000  # of the search; some tenths of a second (own convention)

Way = frozenset[str]


def smallest_set(needs: Sequence[Collection[Way]]) -> frozenset[str]:
    """Return the smallest set that holds one way of every need that has any; of equals the first in order.

    A way is a set of pieces that meets its need; more pieces never harm. Needs without a way are passed by.
    """
    open_needs = sorted({tuple(_least(ways)) for ways in needs if ways}, key=len)
    best = _greedy(open_needs)
    steps = 0

    def search(chosen: Way, left: Sequence[tuple[Way, ...]]) -> None:
        nonlocal best, steps
        steps += 1
        left = [ways for ways in left if not any(way <= chosen for way in ways)]
        if not left:
            if _rank(chosen) < _rank(best):
                best = chosen
            return
        more = [min(len(way - chosen) for way in ways) for ways in left]
        if steps > MOST_STEPS or len(chosen) + max(more) > len(best):
            return
        hardest = max(range(len(left)), key=lambda at: (more[at], -len(left[at])))
        for way in sorted(left[hardest], key=lambda way: (len(way - chosen), sorted(way))):
            search(chosen | way, left)

    search(frozenset(), open_needs)
    return best


def _least(ways: Collection[Way]) -> list[Way]:
    """The ways that hold no other way, in order."""
    return sorted((way for way in set(ways) if not any(one < way for one in ways)), key=_rank)


def _rank(pieces: Way) -> tuple[int, list[str]]:
    return len(pieces), sorted(pieces)


def _greedy(needs: Sequence[tuple[Way, ...]]) -> Way:
    """A set that meets all needs, taken one by one; a bound for the search."""
    chosen: Way = frozenset()
    for ways in needs:
        if not any(way <= chosen for way in ways):
            chosen |= min(ways, key=lambda way, held=chosen: (len(way - held), sorted(way)))  # type: ignore[misc]
    return chosen
