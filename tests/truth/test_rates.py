"""Rates against published intervals and another library.

R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven methods,
Statistics in Medicine 17 (1998) 857-872, Table I, row 3 (score method without continuity correction), 95 %.
The four pairs of bounds are recalled from memory; they are given there to four decimals: tolerance 0.00005.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from logbook.craft.statistics import Z_95, tries_needed, wilson

NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("k", "n", "low", "high"), NEWCOMBE)
def test_intervals_agree_with_the_published_ones(k: int, n: int, low: float, high: float) -> None:
    rate = wilson(k, n)
    assert rate.low == pytest.approx(low, abs=0.00005)
    assert rate.high == pytest.approx(high, abs=0.00005)


@given(st.integers(1, 100_000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_intervals_agree_with_another_library(counts: tuple[int, int]) -> None:
    """statsmodels, proportion_confint(method="wilson"); 1e-12, its ends miss 0 and 1 by rounding."""
    low, high = proportion_confint(*counts, alpha=0.05, method="wilson")
    rate = wilson(*counts)
    assert rate.low == pytest.approx(low, abs=1e-12)
    assert rate.high == pytest.approx(high, abs=1e-12)


def test_the_quantile_is_the_normal_distributions() -> None:
    """The definition, by the error function: Φ(z) = 0.975; 1e-15."""
    assert (1 + math.erf(Z_95 / math.sqrt(2))) / 2 == pytest.approx(0.975, abs=1e-15)


@pytest.mark.parametrize(("k", "n"), [(1, 34), (3, 10), (7, 9), (1, 2), (9, 10)])
def test_the_tries_needed_agree_with_the_geometric_distribution(k: int, n: int) -> None:
    """scipy.stats.geom.ppf is the smallest m with P(first success within m) >= 0.9; exact."""
    from scipy.stats import geom

    rate = wilson(k, n)
    needed = tries_needed(rate)
    assert needed.at_low == geom.ppf(0.9, rate.low)
    assert needed.at_estimate == geom.ppf(0.9, k / n)
