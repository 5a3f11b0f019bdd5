"""Reading the tallies: columns of what is counted at some viewpoints, over all trips, and traits of sites.

One surprising decision: rows that are behind, or cannot be trusted, are worked out while they are read. An
answer never waits for somebody to write, and is the same as if somebody had.
"""

from collections.abc import Collection, Sequence
from datetime import date
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection

from logbook.domain.site_traits import ZoneThere
from logbook.store.portions import marks
from logbook.store.tallies import keeping, sites
from logbook.store.tallies.gathering import Pair
from logbook.store.tallies.objects import COLUMNS, STALE, TALLY

MANY = 5_000  # ids; more are not worth a list in the question


class Tallies:
    """The tallies within one transaction; not `whole`: the tables are set aside, and all is worked out."""

    def __init__(self, connection: Connection, *, whole: bool) -> None:
        self._connection = connection
        self._whole = whole

    def are_in_step(self) -> bool:
        """Whether every row that is not behind is what the records say."""
        return not keeping.out_of_step(self._connection.connection.cursor())

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
            behind = keeping.all_pairs(cursor)
        if behind:
            wanted = None if viewpoint_ids is None else set(viewpoint_ids)
            asked = [pair for pair in behind if wanted is None or pair[0] in wanted]
            at = [0, 1, *(2 + COLUMNS.index(name) for name in names)]
            found += [tuple(row[one] for one in at) for row in keeping.fresh(cursor, asked)]
        found.sort(key=itemgetter(0, 1))
        return found

    def traits(self, site_ids: Sequence[str], last: date, zone_there: ZoneThere) -> dict[str, dict[str, Any]]:
        """Return the known traits of some sites by id; visits after the `last` day tell no light."""
        cursor: Any = self._connection.connection.cursor()
        found = sites.kept(cursor, site_ids, last) if self._whole else {}
        missing = [site_id for site_id in site_ids if site_id not in found]
        return found | dict(sites.fresh(cursor, missing, last, zone_there))
