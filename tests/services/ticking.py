"""A clock for tests, of which no two looks tell the same."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta


def tick(start: datetime) -> Callable[[], datetime]:
    """A clock that ticks a second at every look."""
    ticks: Iterator[datetime] = (start + timedelta(seconds=second) for second in range(10**9))
    return lambda: next(ticks)
