"""Finds the instants at which curves pass through zero, all of them in a handful of evaluations.

One surprising decision: brackets are not bisected one by one but cut into ten at once, because asking the
ephemeris about two hundred instants costs hardly more than asking about one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Curves = Callable[[Floats], Floats]

_CUTS = 10  # parts a bracket is cut into per round


@dataclass(frozen=True, slots=True)
class Crossing:
    """Curve `row` passes zero at POSIX second `at_s`, upwards when `rising`."""

    row: int
    at_s: float
    rising: bool


def find_crossings(
    curves: Curves, start_s: float, end_s: float, step_s: float, within_s: float = 0.1
) -> tuple[Crossing, ...]:
    """Zero crossings in [start, end), in time order.

    `curves` maps seconds (n,) to values (rows, n). The grid reaches one step beyond both ends, and the top or
    bottom of each curve is added to it, so that a body which only just dips through a level between two grid
    points is seen.
    """
    import numpy as np

    count = max(2, int(np.ceil((end_s - start_s) / step_s)))
    spacing = (end_s - start_s) / count
    times: Floats = np.arange(-1.0, count + 2.0) * spacing + start_s
    values = curves(times)
    tops = _turning_points(times, values)
    if tops.size:
        times = np.concatenate([times, tops])
        values = np.concatenate([values, curves(tops)], axis=1)
        order = np.argsort(times, kind="stable")
        times, values = times[order], values[:, order]

    above = values >= 0.0
    rows, columns = np.nonzero(above[:, :-1] != above[:, 1:])
    if not rows.size:
        return ()
    low, high = times[columns], times[columns + 1]
    rising = above[rows, columns + 1]
    brackets = np.arange(rows.size)
    while float((high - low).max()) > within_s:
        cuts = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, _CUTS + 1)
        inner = cuts[:, 1:-1]
        found = curves(inner.ravel())[np.repeat(rows, _CUTS - 1), np.arange(inner.size)]
        passed = np.empty(cuts.shape, dtype=bool)
        passed[:, 0], passed[:, -1] = False, True
        passed[:, 1:-1] = (found.reshape(inner.shape) >= 0.0) == rising[:, None]
        first = passed.argmax(axis=1)
        low, high = cuts[brackets, first - 1], cuts[brackets, first]

    middle = (low + high) / 2.0
    return tuple(
        Crossing(int(rows[i]), float(middle[i]), bool(rising[i]))
        for i in np.argsort(middle, kind="stable")
        if start_s <= middle[i] < end_s
    )


def _turning_points(times: Floats, values: Floats) -> Floats:
    """Seconds at which some curve turns, from a parabola through three neighbouring grid points."""
    import numpy as np

    before, here, after = values[:, :-2], values[:, 1:-1], values[:, 2:]
    turning = (here - before) * (after - here) < 0.0
    bend = before - 2.0 * here + after
    shift = np.zeros_like(here)
    np.divide(0.5 * (before - after), bend, out=shift, where=turning)
    _, columns = np.nonzero(turning)
    found = times[1:-1][columns] + shift[turning] * (times[1] - times[0])
    # Not by numpy's sets: they load masked arrays, which takes longer than all of a day's crossings.
    return np.array(sorted({*found.tolist()}.difference(times.tolist())), dtype=np.float64)
