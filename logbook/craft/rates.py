"""How often something worked, said with how little is known: k of n and the interval that goes with it.

One surprising decision: a rate of nothing tried is the whole range from 0 to 1, not an error, because "not
tried yet" is an answer a photographer needs to see beside the others.
"""

from dataclasses import dataclass
from math import ceil, log1p, sqrt

from logbook.craft.errors import CraftValueError

Z_95 = (
    1.959963984540054  # standard normal quantile at 0.975; NIST/SEMATECH e-Handbook 1.3.6.7.1 rounds to 1.96
)
WISHED_CHANCE = 0.9  # nine chances in ten (own convention)
SMALL_NUMBER = 5  # tries; below it a rate says little, whatever it is (own convention)
TRIES_MAX = 1_000_000  # beyond it "more tries" is no advice (own convention)


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
