"""Seals: a digest of each record as it was written, so that what a disk made of it since is seen.

One surprising decision: triggers only note which records changed, whoever wrote them; the digests are
worked out at the end of the same transaction. So changes by another program is sealed with the next
transaction, and only what nobody wrote breaks a seal. A seal carries a digest of itself: a damaged one
accuses no record.
"""

import sqlite3
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import blake2b
from typing import Any

from sqlalchemy import Connection, Table

from logbook.domain.nouns import NOUNS
from logbook.store.portions import AT_ONCE, marks, portions
from logbook.store.tables import all_tables, table_named
from logbook.store.triggers import EVENTS

DIGEST_BYTES, OWN_BYTES = 16, 4  # of the record, and of the seal itself
TABLES = ("seal", "unsealed")
TABLES_SQL = (
    """CREATE TABLE seal (
        table_name TEXT NOT NULL, id TEXT NOT NULL, digest BLOB NOT NULL, PRIMARY KEY (table_name, id)
    ) WITHOUT ROWID""",
    """CREATE TABLE unsealed (
        table_name TEXT NOT NULL, id TEXT NOT NULL, PRIMARY KEY (table_name, id)
    ) WITHOUT ROWID""",
)


@dataclass(frozen=True, slots=True)
class Compared:
    """What became of the records since they were written: table and id of each that is another one, or gone.

    `are_whole`: the seals themselves are as they were written, so that all records could be compared.
    """

    changed: tuple[tuple[str, str], ...]
    are_whole: bool


def create_tables(connection: Connection) -> None:
    """Make the empty tables; part of the running transaction."""
    for statement in TABLES_SQL:
        connection.exec_driver_sql(statement)


def triggers_sql() -> tuple[str, ...]:
    """Return the statements of all triggers."""
    return tuple(
        f"CREATE TRIGGER {_name(table, event)} AFTER {event.upper()} ON {table.name} BEGIN"
        + "".join(f" INSERT OR IGNORE INTO unsealed VALUES ('{table.name}', {row}.id);" for row in rows)
        + " END"
        for table in all_tables()
        for event, rows in EVENTS.items()
    )


def create_triggers(connection: Connection) -> None:
    """Make the triggers; part of the running transaction."""
    for statement in triggers_sql():
        connection.exec_driver_sql(statement)


def drop_triggers(connection: Connection) -> None:
    """Take the triggers out; harmless without any."""
    for table in all_tables():
        for event in EVENTS:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {_name(table, event)}")


def _name(table: Table, event: str) -> str:
    return f"seal_of_{table.name}_{event}"


def seal_changes(connection: Connection) -> None:
    """Seal the records that changed; part of the running transaction."""
    changed: dict[str, list[str]] = {}
    for name, record_id in connection.exec_driver_sql("SELECT table_name, id FROM unsealed"):
        if name in NOUNS:
            changed.setdefault(name, []).append(record_id)
    for name, ids in changed.items():
        table = table_named(name)
        for some in portions(ids):
            among = f"IN ({marks(some)})"
            connection.exec_driver_sql(
                f"DELETE FROM seal WHERE table_name = ? AND id {among}", (table.name, *some)
            )
            _seal(connection, table, f"WHERE id {among}", some)
    connection.exec_driver_sql("DELETE FROM unsealed")


def seal_all(connection: Connection) -> None:
    """Seal every record as it is now; part of the running transaction."""
    for name in TABLES:
        connection.exec_driver_sql(f"DELETE FROM {name}")
    for table in all_tables():
        _seal(connection, table, "NOT INDEXED", ())


def _seal(connection: Connection, table: Table, which: str, values: Sequence[Any]) -> None:
    for rows in _rows(connection, table, which, values):
        connection.exec_driver_sql(
            "INSERT INTO seal VALUES (?, ?, ?)",
            [
                (table.name, record_id.decode(), _seal_of(table.name, record_id, row))
                for record_id, row in rows
            ],
        )


def compare(connection: Connection, only: Collection[str] | None = None) -> Compared:
    """Compare every record, or those of some tables, with its seal; raises what SQLite raises.

    Those that were written since the last transaction of ours are left out.
    """
    changed: list[tuple[str, str]] = []
    are_whole = True
    for table in all_tables():
        if only is not None and table.name not in only:
            continue
        with _bytes(connection) as raw:
            ask = "SELECT id, digest FROM seal WHERE table_name = ?"
            seals = dict(raw.execute(ask, (table.name,)).fetchall())
            ask = "SELECT id FROM unsealed WHERE table_name = ?"
            passed = {row[0] for row in raw.execute(ask, (table.name,)).fetchall()}
        sound = {one: seal for one, seal in seals.items() if _is_whole(table.name, one, seal)}
        are_whole &= len(sound) == len(seals)
        seen = set()
        unsealed = []
        for rows in _rows(connection, table, "NOT INDEXED", ()):
            for record_id, row in rows:
                seen.add(record_id)
                if record_id in passed:
                    continue
                if record_id not in sound:
                    unsealed.append(record_id)
                elif sound[record_id] != _seal_of(table.name, record_id, row):
                    changed.append((table.name, _text(record_id)))
        if are_whole:
            changed += [(table.name, _text(one)) for one in unsealed]
        changed += [(table.name, _text(one)) for one in sound if one not in seen and one not in passed]
    return Compared(tuple(changed), are_whole)


def _rows(
    connection: Connection, table: Table, which: str, values: Sequence[Any]
) -> Iterator[list[tuple[bytes, bytes]]]:
    """Yield ids and what is written of the records, some at a time."""
    columns = ", ".join(f'"{name}"' for name in sorted(column.name for column in table.columns))
    with _bytes(connection) as raw:
        found = raw.execute(f"SELECT id, {columns} FROM {table.name} {which}", tuple(values))
    while True:
        with _bytes(connection):  # the driver asks how when it hands a row over
            rows = found.fetchmany(AT_ONCE)
        if not rows:
            return
        yield [(_as_bytes(row[0]), repr(row).encode()) for row in rows]


@contextmanager
def _bytes(connection: Connection) -> Iterator[sqlite3.Connection]:
    """The driver's connection, which meanwhile hands texts over as they lie there."""
    raw = connection.connection.dbapi_connection
    assert isinstance(raw, sqlite3.Connection)
    was = raw.text_factory
    raw.text_factory = bytes
    try:
        yield raw
    finally:
        raw.text_factory = was


def _seal_of(table: str, record_id: bytes, row: bytes) -> bytes:
    digest = blake2b(row, digest_size=DIGEST_BYTES).digest()
    return digest + _own(table, record_id, digest)


def _own(table: str, record_id: bytes, digest: bytes) -> bytes:
    return blake2b(b"\0".join((table.encode(), record_id, digest)), digest_size=OWN_BYTES).digest()


def _is_whole(table: str, record_id: Any, seal: Any) -> bool:
    if not isinstance(record_id, bytes) or not isinstance(seal, bytes):
        return False
    return seal[DIGEST_BYTES:] == _own(table, record_id, seal[:DIGEST_BYTES])


def _as_bytes(value: Any) -> bytes:
    return value if isinstance(value, bytes) else repr(value).encode()


def _text(record_id: bytes) -> str:
    return record_id.decode("utf-8", "backslashreplace")
