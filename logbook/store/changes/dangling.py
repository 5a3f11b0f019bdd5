"""References that lead nowhere, among those that changed records hold or that lead to them.

One surprising decision: only these are counted, before a change and after it. Whatever else leads nowhere
does so before and after, and looking at all of a large book takes longer than most changes.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from sqlalchemy import Connection

from logbook.store.portions import marks, portions
from logbook.store.tables import all_tables


@cache
def references() -> tuple[tuple[str, str, str], ...]:
    """Return the columns that refer to records: table, column, and the table of what they refer to."""
    return tuple(
        (table.name, column.name, key.column.table.name)
        for table in all_tables()
        for column in table.columns
        for key in column.foreign_keys
    )


def dangling(connection: Connection, changed: Mapping[str, Sequence[str]]) -> frozenset[tuple[str, str, str]]:
    """Return references that lead nowhere: table and id of the record that holds one, and the column.

    `changed` are the ids of the changed records of each table.
    """
    return frozenset(_dangling(connection, changed))


def _dangling(connection: Connection, changed: Mapping[str, Sequence[str]]) -> Iterator[tuple[str, str, str]]:
    for table, column, referred in references():
        for looked_up, ids in (("id", changed.get(table, ())), (column, changed.get(referred, ()))):
            for some in portions(ids):
                found = connection.exec_driver_sql(
                    f"SELECT id FROM {table} AS one WHERE {looked_up} IN ({marks(some)})"
                    f" AND {column} IS NOT NULL"
                    f" AND NOT EXISTS (SELECT 1 FROM {referred} AS other WHERE other.id = one.{column})",
                    some,
                )
                for (record_id,) in found:
                    yield table, str(record_id), column
