"""Numbers of documents: they lie in the order of their days, so that the newest are found without sorting.

One surprising decision: a number follows from the document alone (its day, its noun, its record), never from
when it was written, so that a rebuilt index answers in the same order.
"""

from collections.abc import Callable
from datetime import date
from hashlib import blake2b

_HASH_BITS = (
    24  # of the record's id; two records of one day and noun that agree in them are told apart by counting
)
_NOUN_BITS = 4
# Of one day, what was thought and planned comes before what was seen, and pictures come last.
_ORDER = (
    "keeper",
    "loose_line",
    "condition",
    "kit",
    "viewpoint",
    "site",
    "day",
    "trip",
    "visit",
    "shot",
    "lesson",
)
_LAST = 2**62


def row_of(noun: str, record_id: str, on_date: str | None, taken: Callable[[int], bool]) -> int:
    """The number of a document; without a day it lies before all days. `taken` says whether one is in use."""
    within = int.from_bytes(blake2b(record_id.encode(), digest_size=_HASH_BITS // 8).digest(), "big")
    row = (_day(on_date) << _NOUN_BITS | _ORDER.index(noun)) << _HASH_BITS | within
    while taken(row):
        row += 1
    return row


def rows_between(since: str | None, until: str | None) -> tuple[int, int]:
    """The first and last number of documents from one day to another, both included; without any, all."""
    shift = _NOUN_BITS + _HASH_BITS
    first = _day(since) << shift if since else 0
    last = ((_day(until) + 1) << shift) - 1 if until else _LAST
    return (max(first, 1 << shift) if until else first), last


def _day(on_date: str | None) -> int:
    return date.fromisoformat(on_date).toordinal() if on_date else 0
