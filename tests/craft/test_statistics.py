"""Rates with an interval that claims no more than is known, and the middle and range of settings in stops."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import exposure_text
from logbook.craft.statistics import (
    aperture_spread,
    exposure_spread,
    focal_spread,
    iso_spread,
    tries_needed,
    wilson,
)

COUNTS = st.integers(0, 5000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_nothing_tried_says_nothing() -> None:
    rate = wilson(0, 0)
    assert (rate.low, rate.high, rate.estimate) == (0.0, 1.0, None)
    assert rate.says_little


def test_one_of_one_is_far_from_certain() -> None:
    rate = wilson(1, 1)
    assert rate.high == 1.0
    assert rate.low == pytest.approx(0.2065, abs=0.0001)  # 1 / (1 + z²), by hand
    assert rate.says_little


def test_none_of_many_keeps_a_chance() -> None:
    rate = wilson(0, 20)
    assert rate.low == 0.0
    assert 0.15 < rate.high < 0.17


@pytest.mark.parametrize(("k", "n"), [(2, 1), (-1, 3), (1, 0)])
def test_an_impossible_count_is_refused(k: int, n: int) -> None:
    with pytest.raises(CraftValueError, match="successes run from 0"):
        wilson(k, n)


@given(COUNTS)
def test_the_interval_holds_the_share_and_stays_within_bounds(counts: tuple[int, int]) -> None:
    rate = wilson(*counts)
    assert 0.0 <= rate.low <= (rate.estimate if rate.estimate is not None else 0.5) <= rate.high <= 1.0


@given(COUNTS)
def test_failures_mirror_successes(counts: tuple[int, int]) -> None:
    k, n = counts
    rate, mirror = wilson(k, n), wilson(n - k, n)
    assert rate.low == pytest.approx(1 - mirror.high, abs=1e-12)


@given(COUNTS.filter(lambda counts: counts[1] > 0))
def test_more_of_the_same_narrows_the_interval(counts: tuple[int, int]) -> None:
    k, n = counts
    once, twice = wilson(k, n), wilson(2 * k, 2 * n)
    assert twice.high - twice.low < once.high - once.low


def test_tries_needed_follow_from_the_lower_bound_and_from_the_share() -> None:
    needed = tries_needed(wilson(1, 34))
    assert needed.at_estimate == 78  # log 0.1 / log(33/34) = 77.1, by hand
    assert needed.at_low is not None
    assert needed.at_low > needed.at_estimate
    assert needed.at_high is not None
    assert needed.at_high < needed.at_estimate


def test_without_a_success_only_the_best_case_says_a_number() -> None:
    needed = tries_needed(wilson(0, 10))
    assert (needed.at_low, needed.at_estimate) == (None, None)
    assert needed.at_high == 8  # upper bound 0.2775: log 0.1 / log 0.7225 = 7.08, by hand


@given(COUNTS.filter(lambda counts: counts[0] > 0))
def test_the_tries_needed_are_enough_and_one_fewer_is_not(counts: tuple[int, int]) -> None:
    rate = wilson(*counts)
    needed = tries_needed(rate)
    p, m = rate.estimate, needed.at_estimate
    assert p is not None
    assert m is not None
    assert 1 - (1 - p) ** m >= 0.9 - 1e-9
    assert m == 1 or 1 - (1 - p) ** (m - 1) < 0.9 + 1e-9


def test_the_middle_of_two_times_lies_half_way_in_stops() -> None:
    found = exposure_spread({Fraction(1, 250): 1, Fraction(1, 4): 1})
    assert found is not None
    assert exposure_text(found.middle) == "1/30 s"
    assert (found.least, found.most, found.stops) == (0.004, 0.25, 6.0)


def test_settings_that_occur_often_pull_the_middle() -> None:
    found = aperture_spread({8.0: 3, 16.0: 1, 5.6: 1})
    assert found is not None
    assert (found.middle, found.count) == (8.0, 5)
    assert found.stops == pytest.approx(3.0)


def test_a_middle_that_is_a_mark_keeps_the_marks_own_number() -> None:
    found = iso_spread({100: 1, 125: 1, 160: 1})
    assert found is not None
    assert found.middle == 125


def test_focal_lengths_have_no_stops() -> None:
    found = focal_spread({24.0: 1, 70.0: 1})
    assert found is not None
    assert (found.middle, found.least, found.most, found.stops) == (47.0, 24.0, 70.0, None)


def test_nothing_known_has_no_middle() -> None:
    assert aperture_spread({}) is None
    assert focal_spread({}) is None
