"""Whether small drawings in characters are wanted, and one of them: a rate with its interval.

One surprising decision: a drawing only repeats figures that stand beside it, so that `--plain` and screen
readers leave it out and nothing is lost.
"""

from contextvars import ContextVar
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logbook.craft.statistics import Rate

RATE_WIDTH = 20  # characters; one is five in a hundred
OUTSIDE, WITHIN, MIDDLE = "·", "-", "o"
undrawn: ContextVar[bool] = ContextVar("undrawn", default=False)


def leave_out(wanted: bool) -> None:
    """Leave drawings out of this run's answer, where that is wanted."""
    if wanted:
        undrawn.set(True)


def rate_bar(rate: "Rate", width: int = RATE_WIDTH) -> str:
    """Return 0 to 100 in 100 as a bar: the interval as a line, the share itself as `o`."""
    if rate.estimate is None:
        return OUTSIDE * width
    low, middle, high = (min(int(share * width), width - 1) for share in (rate.low, rate.estimate, rate.high))
    return "".join(
        MIDDLE if at == middle else WITHIN if low <= at <= high else OUTSIDE for at in range(width)
    )
