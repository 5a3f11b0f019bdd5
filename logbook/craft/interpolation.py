"""Values between the rows of a published table, on straight lines.

One surprising decision: beyond the ends the nearest end's value holds, because a table that stops says
nothing of what would follow.
"""

from collections.abc import Sequence
from itertools import pairwise


def along(points: Sequence[tuple[float, float]], x: float) -> float:
    """Return the value at x on straight lines through points whose places rise."""
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]
