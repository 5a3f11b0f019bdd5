"""Long lists in portions, so that neither a query's parameters nor memory grow with the book.

One surprising decision: a portion is a tuple of at most 500, because SQLite takes 999 parameters a query in
its oldest builds, and a query may have a few more than the portion.
"""

from collections.abc import Iterator, Sequence
from typing import TypeVar

AT_ONCE = 500  # parameters a query (SQLite's limits, SQLITE_MAX_VARIABLE_NUMBER: 999 before 3.32)
Value = TypeVar("Value")


def portions(values: Sequence[Value], most: int = AT_ONCE) -> Iterator[tuple[Value, ...]]:
    """Yield values in their order, `most` at a time."""
    for begin in range(0, len(values), most):
        yield tuple(values[begin : begin + most])


def marks(values: Sequence[object]) -> str:
    """Return a question mark for each value, for a query's IN."""
    return ", ".join("?" * len(values))
