"""What settings have in common: their middle and their range, counted in stops.

One surprising decision: settings are given with how often each occurs, because a hundred thousand pictures
hold only a few dozen different apertures and times.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import log2
from typing import TypeVar

from logbook.craft.marks import exact_aperture, exact_exposure_s, exact_iso

Value = TypeVar("Value", float, Fraction, int)

SAME_STOPS = 1e-9  # stops; the same mark, up to rounding


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
