"""Cheapest ways, against every way there is."""

import math
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.inference.chain import cheapest_ways

COSTS = st.one_of(st.floats(0, 20), st.just(math.inf))


@st.composite
def chains(draw: st.DrawFn) -> tuple[list[list[float]], list[list[list[float]]]]:
    places, choices = draw(st.integers(1, 5)), draw(st.integers(1, 4))
    own = [draw(st.lists(COSTS, min_size=choices, max_size=choices)) for _ in range(places)]
    row = st.lists(st.floats(0, 20), min_size=choices, max_size=choices)
    between = [draw(st.lists(row, min_size=choices, max_size=choices)) for _ in range(places - 1)]
    return own, between


@given(chains())
def test_the_best_way_through_each_choice_is_the_cheapest_of_all_ways(
    chain: tuple[list[list[float]], list[list[list[float]]]],
) -> None:
    own, between = chain

    def cost(way: tuple[int, ...]) -> float:
        total = sum(own[place][choice] for place, choice in enumerate(way))
        return total + sum(between[i][a][b] for i, (a, b) in enumerate(pairwise(way)))

    every = {way: cost(way) for way in product(range(len(own[0])), repeat=len(own))}
    ways = cheapest_ways(own, between)
    assert ways.best == pytest.approx(min(every.values()))
    for place in range(len(own)):
        for choice in range(len(own[0])):
            best = min(total for way, total in every.items() if way[place] == choice)
            assert ways.up_to[place][choice] + ways.after[place][choice] == pytest.approx(best)
            path = ways.path(place, choice)
            assert path[place] == choice
            if not math.isinf(best):
                assert every[tuple(path)] == pytest.approx(best)
