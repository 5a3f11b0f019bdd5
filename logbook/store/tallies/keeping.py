"""Keeping the tallies in step, at the end of the transaction that changed something, and reading them.

One surprising decision: a row that would hold what cannot be read, as no program of ours wrote it, stays
behind instead of stopping whoever writes. Rows that are behind, or cannot be trusted, are worked out while
they are read: an answer never waits for somebody to write, and who asks learns what is wrong.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection

from logbook.domain.position import Position
from logbook.store.portions import marks, portions
from logbook.store.shelf import UNREADABLE, damaged
from logbook.store.tallies import sites, zones
from logbook.store.tallies.gathering import Gathered, Pair, Row
from logbook.store.tallies.objects import COLUMNS, STALE, TALLY
from logbook.store.tallies.rows import TallyRow

MANY = 5_000  # ids; more are not worth a list in the question
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
    zones.forget_all(cursor)
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
    return odd + len(left) + sites.out_of_step(cursor) + zones.out_of_step(cursor)


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


class Tallies:
    """The tallies within one transaction; not `whole`: the tables are set aside, and all is worked out."""

    def __init__(self, connection: Connection, *, whole: bool) -> None:
        self._connection = connection
        self._whole = whole

    def are_in_step(self) -> bool:
        """Whether every row that is not behind is what the records say."""
        return not out_of_step(self._connection.connection.cursor())

    def rows(
        self, names: Sequence[str], viewpoint_ids: Collection[str] | None = None
    ) -> list[tuple[Any, ...]]:
        """Return viewpoint id, trip id and some columns of the rows of all viewpoints, or at least of some.

        A column is text with a line a record, None of no records.
        """
        cursor: Any = self._connection.connection.cursor()
        behind: list[Pair]
        found: list[tuple[Any, ...]] = []
        if self._whole:
            behind = cursor.execute(f"SELECT viewpoint_id, trip_id FROM {STALE}").fetchall()
            few = sorted(viewpoint_ids) if viewpoint_ids is not None and len(viewpoint_ids) <= MANY else None
            among = "" if few is None else f" WHERE viewpoint_id IN ({marks(few)})"
            query = f"SELECT viewpoint_id, trip_id, {', '.join(names)} FROM {TALLY}{among}"
            found = cursor.execute(query, few or ()).fetchall()
            if behind:
                passed = set(behind)
                found = [row for row in found if row[:2] not in passed]
        else:
            behind = all_pairs(cursor)
        if behind:
            wanted = None if viewpoint_ids is None else set(viewpoint_ids)
            asked = [pair for pair in behind if wanted is None or pair[0] in wanted]
            at = [0, 1, *(2 + COLUMNS.index(name) for name in names)]
            found += [tuple(row[one] for one in at) for row in fresh(cursor, asked)]
        found.sort(key=itemgetter(0, 1))
        return found

    def learn_zones(self, places: Iterable[Position | None]) -> None:
        """Remember which zones lie at some places, so that nobody needs the boundaries for them."""
        if self._whole:
            cursor: Any = self._connection.connection.cursor()
            zones.learn(cursor, [(one.latitude_deg, one.longitude_deg) for one in places if one])

    def traits(self, site_ids: Sequence[str], last: date) -> dict[str, dict[str, Any]]:
        """Return the known traits of some sites by id; visits after the `last` day tell no light."""
        cursor: Any = self._connection.connection.cursor()
        found = sites.kept(cursor, site_ids, last) if self._whole else {}
        missing = [site_id for site_id in site_ids if site_id not in found]
        return found | dict(sites.fresh(cursor, missing, last))
