"""The fewest pieces that meet all needs are those that brute force finds."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.smallest_set import Way, smallest_set

PIECES = "abcdefg"
WAYS = st.frozensets(st.sampled_from(PIECES), max_size=3)
NEEDS = st.lists(st.lists(WAYS, max_size=4), max_size=6)


def by_brute_force(needs: list[list[Way]]) -> Way:
    """The first of the smallest subsets, all of them tried in order."""
    for size in range(len(PIECES) + 1):
        for chosen in combinations(PIECES, size):
            if all(any(way <= set(chosen) for way in ways) for ways in needs if ways):
                return frozenset(chosen)
    raise AssertionError("all pieces together meet every need")


@given(NEEDS)
def test_it_is_the_set_that_brute_force_finds(needs: list[list[Way]]) -> None:
    assert smallest_set(needs) == by_brute_force(needs)


def test_a_piece_that_serves_two_needs_goes_before_two_pieces() -> None:
    nd8, nd64, tripod = frozenset({"nd8"}), frozenset({"nd64"}), frozenset({"tripod"})
    assert smallest_set([[nd8, nd64], [nd64], [tripod | nd64]]) == nd64 | tripod


def test_needs_without_a_way_and_needs_of_nothing_ask_for_nothing() -> None:
    assert smallest_set([[], [frozenset()]]) == frozenset()


@pytest.mark.slow
def test_many_needs_with_many_ways_end_in_time() -> None:
    needs = [[frozenset({f"p{at}", f"p{at * 7 % 40}"}), frozenset({f"p{at * 3 % 40}"})] for at in range(60)]
    assert smallest_set(needs)
