"""Keeping the tallies in step: what is behind is worked out again at the end of the same transaction.

One surprising decision: a row that would hold what cannot be read, as no program of ours wrote it, stays
behind instead of stopping whoever writes. It is worked out when somebody asks, who is told what is wrong.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from logbook.store.portions import marks, portions
from logbook.store.shelf import UNREADABLE, damaged
from logbook.store.tallies import sites
from logbook.store.tallies.gathering import Gathered, Pair, Row
from logbook.store.tallies.objects import COLUMNS, STALE, TALLY
from logbook.store.tallies.rows import TallyRow

AT_ONCE = 200  # rows that are worked out at a time
_ALL_PAIRS = " UNION ".join(
    f"SELECT viewpoint_id, trip_id FROM {table} WHERE viewpoint_id IS NOT NULL"
    for table in ("keeper", "visit", "shot")
)
_KEPT = f"SELECT viewpoint_id, trip_id, {', '.join(COLUMNS)} FROM {TALLY}"


def refresh(cursor: Any) -> None:
    """Bring every row up to date that is behind; part of the running transaction."""
    sites.refresh(cursor)
    behind = cursor.execute(f"SELECT viewpoint_id, trip_id FROM {STALE}").fetchall()
    if not behind:
        return
    cursor.execute(f"DELETE FROM {TALLY} WHERE (viewpoint_id, trip_id) IN {STALE}")
    cursor.execute(f"DELETE FROM {STALE}")
    for some in portions(behind, AT_ONCE):
        unreadable: list[Pair] = []
        rows = list(fresh(cursor, some, unreadable=unreadable))
        cursor.executemany(f"INSERT INTO {TALLY} VALUES ({marks((*COLUMNS, 1, 2))})", rows)
        cursor.executemany(f"INSERT INTO {STALE} VALUES (?, ?)", unreadable)


def note_all(cursor: Any) -> None:
    """Note every row as behind, and none as left over."""
    sites.note_all(cursor)
    cursor.execute(f"DELETE FROM {TALLY}")
    cursor.execute(f"INSERT OR IGNORE INTO {STALE} {_ALL_PAIRS}")


def out_of_step(cursor: Any) -> int:
    """Return how many rows are not what fresh ones would be, or missing, or left over, and not behind."""
    behind = set(cursor.execute(f"SELECT viewpoint_id, trip_id FROM {STALE}").fetchall())
    left = set(cursor.execute(f"SELECT viewpoint_id, trip_id FROM {TALLY}").fetchall()) - behind
    unreadable: list[Pair] = []
    odd = 0
    for some in portions([pair for pair in all_pairs(cursor) if pair not in behind], AT_ONCE):
        asked = ", ".join(["(?, ?)"] * len(some))
        query = f"{_KEPT} WHERE (viewpoint_id, trip_id) IN (VALUES {asked})"
        kept = {tuple(row) for row in cursor.execute(query, [one for pair in some for one in pair])}
        for row in fresh(cursor, some, unreadable):
            odd += row not in kept
            left.discard((row[0], row[1]))
    return odd + len(left) + sites.out_of_step(cursor)


def all_pairs(cursor: Any) -> list[Pair]:
    """Return every viewpoint of every trip at which something was planned, visited or kept."""
    return [(row[0], row[1]) for row in cursor.execute(_ALL_PAIRS)]


def fresh(cursor: Any, pairs: Iterable[Pair], unreadable: list[Pair] | None = None) -> Iterator[Row]:
    """Yield the rows of some viewpoints of trips as the book stands now; none where nothing is left there.

    What holds what cannot be read is added to the `unreadable`; raises BookError where nobody takes them.
    """
    for some in portions(list(pairs), AT_ONCE):
        gathered = Gathered.of(cursor, some)
        for pair in some:
            try:
                if gathered.has(pair):
                    yield (*pair, *TallyRow(gathered, pair).columns())
            except UNREADABLE as error:
                if unreadable is None:
                    raise damaged("a keeper, visit or shot", error) from error
                unreadable.append(pair)
