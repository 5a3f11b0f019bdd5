"""How often something worked, and what the settings of its pictures have in common.

A rate is k of n with the interval that says how little is known; settings have a middle and a range, counted
in stops.

Surprising decisions: a rate of nothing tried is the whole range from 0 to 1, not an error, because "not tried
yet" is an answer a photographer needs to see beside the others. Settings are given with how often each
occurs, because a hundred thousand pictures hold only a few dozen different apertures and times.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, log1p, log2, sqrt
from typing import TypeVar

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import exact_aperture, exact_exposure_s, exact_iso

Z_95 = (
    1.959963984540054  # standard normal quantile at 0.975; NIST/SEMATECH e-Handbook 1.3.6.7.1 rounds to 1.96
)
WISHED_CHANCE = 0.9  # nine chances in ten (own convention)
SMALL_NUMBER = 5  # tries; below it a rate says little, whatever it is (own convention)
TRIES_MAX = 1_000_000  # beyond it "more tries" is no advice (own convention)
Value = TypeVar("Value", float, Fraction, int)
SAME_STOPS = 1e-9  # stops; the same mark, up to rounding


@dataclass(frozen=True, slots=True)
class Rate:
    """`successes` of `tries`, with the bounds of the interval as fractions 0 to 1."""

    successes: int
    tries: int
    low: float
    high: float

    @property
    def estimate(self) -> float | None:
        """The plain share, or None where nothing was tried."""
        return self.successes / self.tries if self.tries else None

    @property
    def says_little(self) -> bool:
        """Whether so little was tried that the plain share would mislead."""
        return self.tries < SMALL_NUMBER


@dataclass(frozen=True, slots=True)
class TriesNeeded:
    """Further tries for a chance of at least one success; None where no number can be given.

    `at_low` follows from the lower bound (plan on it), `at_estimate` from the plain share, `at_high` from the
    upper bound: even if things are as good as they may be, it takes that many.
    """

    chance: float
    at_low: int | None
    at_estimate: int | None
    at_high: int | None


def wilson(successes: int, tries: int, z: float = Z_95) -> Rate:
    """Return k of n with its score interval, which stays within 0 to 1 and is honest for small n.

    Bounds: (2k + z² ∓ z·√(z² + 4k(n-k)/n)) / (2(n + z²)); E. B. Wilson, Probable inference, the law of
    succession, and statistical inference, J. Amer. Statist. Assoc. 22 (1927) 209-212; method 3 of
    R. G. Newcombe, Statist. Med. 17 (1998) 857-872. z is the normal quantile, 1.96 for 95 %.
    The tries are taken to be alike and independent, which frames of one evening are only roughly.
    Raises CraftValueError unless 0 <= successes <= tries.
    """
    if not 0 <= successes <= tries:
        raise CraftValueError(
            f"{successes} of {tries} is not possible; successes run from 0 to the number of tries."
        )
    if not tries:
        return Rate(0, 0, 0.0, 1.0)
    middle = 2 * successes + z * z
    spread = z * sqrt(z * z + 4 * successes * (tries - successes) / tries)
    whole = 2 * (tries + z * z)
    # The formula gives exactly 0 and 1 at the ends; floating point would miss them by a hair.
    low = 0.0 if successes == 0 else (middle - spread) / whole
    high = 1.0 if successes == tries else (middle + spread) / whole
    return Rate(successes, tries, low, high)


def tries_needed(rate: Rate, chance: float = WISHED_CHANCE) -> TriesNeeded:
    """Return how many further tries give a chance of at least one success.

    The smallest m with 1 - (1 - p)^m >= chance (geometric distribution, any textbook). Without a success the
    lower bound is 0 and the share is 0: both give None, and only `at_high` still says something.
    """
    return TriesNeeded(
        chance,
        _tries(rate.low, chance),
        None if rate.estimate is None else _tries(rate.estimate, chance),
        _tries(rate.high, chance) if rate.tries else None,
    )


def _tries(p: float, chance: float) -> int | None:
    if not 0 < chance < 1:
        raise CraftValueError(f"A chance of {chance:g} is not possible; write one between 0 and 1.")
    if p <= 0:
        return None
    if p >= chance:
        return 1
    exact = log1p(-chance) / log1p(-p)
    needed = max(1, ceil(exact - 1e-9))  # a whole number must not become the next one by rounding
    return needed if needed <= TRIES_MAX else None


@dataclass(frozen=True, slots=True)
class SpreadInStops:
    """`count` values: the middle one, the ends of their range, and how wide that is in stops.

    All in the setting's own unit (f-number, s, ISO, mm). `middle` may lie between two marks when the count is
    even. `stops` is None for what is not measured in stops.
    """

    count: int
    middle: float
    least: float
    most: float
    stops: float | None


def aperture_spread(counts: Mapping[float, int]) -> SpreadInStops | None:
    """The spread of f-numbers, each with its count; None where there is none."""
    return _spread(counts, lambda n: 2.0 * log2(exact_aperture(n)), lambda stops: 2.0 ** (stops / 2.0))


def exposure_spread(counts: Mapping[Fraction, int]) -> SpreadInStops | None:
    """The spread of exposure times in s, each with its count; None where there is none."""
    return _spread(counts, lambda time: log2(exact_exposure_s(time)), lambda stops: 2.0**stops)


def iso_spread(counts: Mapping[int, int]) -> SpreadInStops | None:
    """The spread of ISO speeds, each with its count; None where there is none."""
    return _spread(counts, lambda iso: log2(exact_iso(iso)), lambda stops: 2.0**stops)


def focal_spread(counts: Mapping[float, int]) -> SpreadInStops | None:
    """The spread of focal lengths in mm, each with its count: no stops, the plain median."""
    if not counts:
        return None
    values = sorted((float(focal), count) for focal, count in counts.items())
    return SpreadInStops(sum(counts.values()), median(values), values[0][0], values[-1][0], None)


def median(values: list[tuple[float, int]]) -> float:
    """The median of sorted values with their counts: the middle one, or the mean of the middle two."""
    total = sum(count for _, count in values)
    lower, upper = _at(values, (total - 1) // 2), _at(values, total // 2)
    return (lower + upper) / 2.0


def _at(values: list[tuple[float, int]], index: int) -> float:
    passed = 0
    for value, count in values:
        passed += count
        if index < passed:
            return value
    raise IndexError(index)


def _spread(
    counts: Mapping[Value, int], to_stops: Callable[[Value], float], back: Callable[[float], float]
) -> SpreadInStops | None:
    """Median and range on the scale of stops (base-2 logarithms of the exact marks), back in the own unit."""
    if not counts:
        return None
    values = sorted((to_stops(value), value, count) for value, count in counts.items())
    middle = median([(stops, count) for stops, _, count in values])
    marked = next((value for stops, value, _ in values if abs(stops - middle) < SAME_STOPS), None)
    return SpreadInStops(
        sum(counts.values()),
        float(marked) if marked is not None else back(middle),
        float(values[0][1]),
        float(values[-1][1]),
        values[-1][0] - values[0][0],
    )
