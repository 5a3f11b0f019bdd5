"""What this machine knows of picture files: what each held when all of it was last read.

One surprising decision: it lies in the book and is no part of what the book says. There is no noun for it,
nothing is merged, exported or taken back with it, and it may be lost at any time. A state fits no file of
another machine, so that what came in with somebody else's book is knowledge of nothing.
"""

from collections.abc import Iterable

from sqlalchemy import Connection

from logbook.domain.keeper import KnownFile
from logbook.store.portions import marks, portions

TABLE = "known_file"
TABLE_SQL = (
    f"CREATE TABLE {TABLE} (path TEXT PRIMARY KEY, hash TEXT NOT NULL, state TEXT NOT NULL, "
    "reader TEXT NOT NULL) WITHOUT ROWID"
)


def create_table(connection: Connection) -> None:
    """Make the empty table; part of the running transaction."""
    connection.exec_driver_sql(TABLE_SQL)


class KnownFiles:
    """The known files of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def of(self, paths: Iterable[str]) -> dict[str, KnownFile]:
        """Return what is known of some files, by path."""
        found: dict[str, KnownFile] = {}
        for names in portions(sorted({*paths})):
            query = f"SELECT path, hash, state, reader FROM {TABLE} WHERE path IN ({marks(names)})"
            found |= {row.path: KnownFile(*row) for row in self._connection.exec_driver_sql(query, names)}
        return found

    def note(self, files: Iterable[KnownFile]) -> None:
        """Write down what files held; what is already known is not written again.

        Who only compared a content keeps which reader's facts of it are in the book.
        """
        rows = [(one.path, one.hash, one.state, one.reader) for one in files]
        if rows:
            self._connection.exec_driver_sql(
                f"INSERT INTO {TABLE} VALUES (?, ?, ?, ?) ON CONFLICT (path) DO UPDATE"
                " SET hash = excluded.hash, state = excluded.state, reader = CASE"
                " WHEN excluded.reader = '' AND hash = excluded.hash THEN reader ELSE excluded.reader END"
                " WHERE (hash, state) IS NOT (excluded.hash, excluded.state)"
                " OR reader <> excluded.reader AND excluded.reader <> ''",
                rows,
            )
