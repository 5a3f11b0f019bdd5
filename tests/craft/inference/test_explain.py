"""Explanations of a stretch, against every sequence of stacks there is."""

import math
from collections import Counter
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.craft.filters import parse_filter
from logbook.craft.inference.explain import NEAR_NATS, Stretch, cheapest_ways
from logbook.craft.inference.stacks import alphabet
from tests.examples import examples

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


LETTERS = alphabet([parse_filter(name) for name in ("nd4", "nd8", "nd64")])
CHOICES = len(LETTERS.stacks)
ROW = st.lists(st.floats(0, 12), min_size=CHOICES, max_size=CHOICES)


@settings(max_examples=examples(0.6))
@given(st.lists(ROW, min_size=2, max_size=3), st.data(), st.booleans())
def test_every_sequence_nearly_as_good_as_the_best_has_its_explanation(
    own: list[list[float]], data: st.DataObject, anchored: bool
) -> None:
    """What a sequence wears throughout may be named or not; in an anchored stretch it must be."""
    between = [data.draw(st.lists(ROW, min_size=CHOICES, max_size=CHOICES)) for _ in own[1:]]
    stretch = Stretch(LETTERS, own, between, anchored=anchored)
    costs = {
        way: sum(own[run][choice] for run, choice in enumerate(way))
        + sum(between[run][way[run]][way[run + 1]] for run in range(len(between)))
        for way in product(range(CHOICES), repeat=len(own))
    }
    limit = min(costs.values()) + NEAR_NATS - 1e-6
    for run in range(len(own)):
        explained = [Counter(one.filters) for one in stretch.explanations(run, 3.0)]
        for way, cost in costs.items():
            if cost > limit:
                continue
            stacks = [Counter(LETTERS.stacks[choice].names) for choice in way]
            worn = Counter() if anchored else stacks[0]
            for stack in stacks:
                worn = worn & stack
            assert any(stacks[run] - worn <= one <= stacks[run] for one in explained)


def test_the_best_explanation_comes_first_and_costs_nothing() -> None:
    bare, other = LETTERS.stack_of(()), LETTERS.stack_of(("nd8",))
    assert bare is not None
    assert other is not None
    own = [[9.0] * CHOICES, [9.0] * CHOICES]
    own[0][bare], own[1][other] = 0.0, 1.0
    flat = [[0.0] * CHOICES for _ in range(CHOICES)]
    first = Stretch(LETTERS, own, [flat], anchored=False).explanations(1, 3.2)[0]
    assert (first.filters, first.stops, first.cost) == (("nd8",), 3.0, 0.0)
