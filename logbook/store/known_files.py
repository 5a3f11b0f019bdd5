"""What this machine knows of picture files: what each held when last read, and was measured to be.

One surprising decision: this lies in the book and is no part of what the book says. There is no noun for it,
nothing is merged, exported or taken back with it, and it may be lost at any time: files are read and
pictures measured again. A state fits no file of another machine, so that what came in with somebody else's
book is knowledge of nothing.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Connection

from logbook.domain.acutance import METHOD, Acutance
from logbook.domain.keeper import KnownFile
from logbook.domain.words import Sharpness
from logbook.store.portions import marks, portions

KNOWN = "known_file"
MEASURED = "measured_picture"
TABLES_SQL = {
    KNOWN: (
        f"CREATE TABLE {KNOWN} (path TEXT PRIMARY KEY, hash TEXT NOT NULL, state TEXT NOT NULL, "
        "reader TEXT NOT NULL) WITHOUT ROWID"
    ),
    MEASURED: (
        f"CREATE TABLE {MEASURED} (hash TEXT PRIMARY KEY, method INTEGER NOT NULL, edges TEXT, edge_px REAL,"
        " why TEXT, frames INTEGER NOT NULL DEFAULT 1, sharpest TEXT, lost_px REAL, along_deg REAL,"
        " proposed TEXT, shown_stops REAL)"
    ),
}
_JUDGED = "frames, sharpest, lost_px, along_deg, proposed"


def create_tables(connection: Connection) -> None:
    """Make the empty tables; part of the running transaction."""
    for sql in TABLES_SQL.values():
        connection.exec_driver_sql(sql)


class KnownFiles:
    """The known files of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def of(self, paths: Iterable[str]) -> dict[str, KnownFile]:
        """Return what is known of some files, by path."""
        found: dict[str, KnownFile] = {}
        for names in portions(sorted({*paths})):
            query = f"SELECT path, hash, state, reader FROM {KNOWN} WHERE path IN ({marks(names)})"
            found |= {row.path: KnownFile(*row) for row in self._connection.exec_driver_sql(query, names)}
        return found

    def note(self, files: Iterable[KnownFile]) -> None:
        """Write down what files held; what is already known is not written again.

        Who only compared a content keeps which reader's facts of it are in the book.
        """
        rows = [(one.path, one.hash, one.state, one.reader) for one in files]
        if rows:
            self._connection.exec_driver_sql(
                f"INSERT INTO {KNOWN} VALUES (?, ?, ?, ?) ON CONFLICT (path) DO UPDATE"
                " SET hash = excluded.hash, state = excluded.state, reader = CASE"
                " WHEN excluded.reader = '' AND hash = excluded.hash THEN reader ELSE excluded.reader END"
                " WHERE (hash, state) IS NOT (excluded.hash, excluded.state)"
                " OR reader <> excluded.reader AND excluded.reader <> ''",
                rows,
            )


class Measures:
    """What was measured, in one transaction; what an earlier method measured is not there."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def of(self, hashes: Iterable[str]) -> dict[str, Acutance]:
        """Return what was measured of some pictures, by hash."""
        rows = self._rows(f"edge_px, why, {_JUDGED}", hashes)
        return {
            hashed: Acutance(px, why, frames, sharpest, lost_px, along_deg, Sharpness(word) if word else None)
            for hashed, px, why, frames, sharpest, lost_px, along_deg, word in rows
        }

    def edges(self, hashes: Iterable[str]) -> dict[str, str]:
        """Return the edges of pictures that have some, as text, by hash."""
        return {hashed: edges for hashed, edges in self._rows("edges", hashes) if edges is not None}

    def shown_stops(self, hashes: Iterable[str]) -> dict[str, float]:
        """Return how bright pictures came out, in stops from a middle grey, by hash."""
        return {hashed: shown for hashed, shown in self._rows("shown_stops", hashes) if shown is not None}

    def keep(
        self,
        hashed: str,
        edges: str | None,
        edge_px: float | None,
        why: str | None,
        shown_stops: float | None = None,
    ) -> None:
        """Write down what was measured of one picture, in place of what was."""
        self._connection.exec_driver_sql(
            f"INSERT OR REPLACE INTO {MEASURED} (hash, method, edges, edge_px, why, shown_stops)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (hashed, METHOD, edges, edge_px, why, shown_stops),
        )

    def judge(self, judged: Mapping[str, Acutance]) -> None:
        """Write down what comparing frames gave, where it is not written already."""
        rows = []
        for hashed, one in judged.items():
            values = (
                one.frames,
                one.sharpest,
                one.lost_px,
                one.along_deg,
                one.proposed and str(one.proposed),
            )
            rows.append((*values, hashed, *values))
        if rows:
            self._connection.exec_driver_sql(
                f"UPDATE {MEASURED} SET ({_JUDGED}) = (?, ?, ?, ?, ?) WHERE hash = ?"
                f" AND ({_JUDGED}) IS NOT (?, ?, ?, ?, ?)",
                rows,
            )

    def forget_strangers(self) -> None:
        """Forget pictures that no keeper has any more."""
        self._connection.exec_driver_sql(
            f"DELETE FROM {MEASURED} WHERE hash NOT IN (SELECT hash FROM keeper)"
        )

    def _rows(self, columns: str, hashes: Iterable[str]) -> list[tuple[Any, ...]]:
        rows: list[tuple[Any, ...]] = []
        for some in portions(sorted({*hashes})):
            query = f"SELECT hash, {columns} FROM {MEASURED} WHERE method = ? AND hash IN ({marks(some)})"
            found = self._connection.exec_driver_sql(query, (METHOD, *some))
            rows += [tuple(row) for row in found]
        return rows
