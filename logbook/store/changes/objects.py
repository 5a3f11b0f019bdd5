"""The tables and triggers behind `undo` and `merge`.

`change_row` and `change_value` hold what every row was before it changed; `earlier` and `removal` hold which
versions of a row are superseded. A version is told by the row's `updated` instant.

One surprising decision: old values lie one a row in a column without a type, so that each comes back bit for
bit; text made of them would round numbers. Triggers are rebuilt at the end of every update of a book, so
that a later column is remembered too.
"""

from sqlalchemy import Connection, Table

from logbook.store.tables import all_tables

TABLES = ("change", "change_row", "change_value", "earlier", "removal")
GONE = "gone "  # begins the version of a row that was removed; the instant of the removal follows

TABLES_SQL = (
    # One row a command that changed the book; it covers the rows of change_row from the one before to `upto`.
    # `taken_in` is for what came from another book: the marks of `earlier` and `removal` around it, as JSON.
    """CREATE TABLE change (
        id INTEGER PRIMARY KEY, run TEXT NOT NULL, command TEXT NOT NULL, at TEXT NOT NULL,
        upto INTEGER NOT NULL, taken_in TEXT
    )""",
    """CREATE TABLE change_row (
        seq INTEGER PRIMARY KEY, verb TEXT NOT NULL, table_name TEXT NOT NULL, row_id TEXT NOT NULL
    )""",
    """CREATE TABLE change_value (
        seq INTEGER NOT NULL, name TEXT NOT NULL, value, PRIMARY KEY (seq, name)
    ) WITHOUT ROWID""",
    """CREATE TABLE earlier (
        seq INTEGER PRIMARY KEY, id TEXT NOT NULL, version TEXT NOT NULL, UNIQUE (id, version)
    )""",
    """CREATE TABLE removal (
        seq INTEGER PRIMARY KEY, id TEXT NOT NULL, table_name TEXT NOT NULL, at TEXT NOT NULL, became TEXT
    )""",  # `became`: the record that took its place when two books had written the same thing down twice
    "CREATE INDEX removal_id ON removal (id)",
)
_EVENTS = ("added", "changed", "removed")


def create_tables(connection: Connection) -> None:
    """Make the empty tables; part of the running transaction."""
    for statement in TABLES_SQL:
        connection.exec_driver_sql(statement)


def create_triggers(connection: Connection) -> None:
    """Make the triggers of every noun's table as its columns are now; part of the running transaction."""
    for statement in triggers_sql():
        connection.exec_driver_sql(statement)


def triggers_sql() -> tuple[str, ...]:
    """Return the statements of all triggers."""
    return tuple(one for table in all_tables() for one in _triggers(table))


def drop_triggers(connection: Connection) -> None:
    """Take the triggers out, because a migration may change the columns they name; harmless without any."""
    for table in all_tables():
        for event in _EVENTS:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {_name(table, event)}")


def forget(connection: Connection) -> None:
    """Forget what could be taken back: an update of the book changed the columns it speaks of."""
    for table in ("change", "change_row", "change_value"):
        connection.exec_driver_sql(f"DELETE FROM {table}")


def _name(table: Table, event: str) -> str:
    return f"change_of_{table.name}_{event}"


def _triggers(table: Table) -> tuple[str, ...]:
    columns = [column.name for column in table.columns]
    olds, news = (", ".join(f"{row}.{name}" for name in columns) for row in ("old", "new"))
    # Written as short as can be: whoever opens a book waits until SQLite has read all of these.
    first, *rest = columns
    pairs = (
        f"SELECT '{first}' AS name, old.{first} AS was, new.{first} AS becomes UNION ALL VALUES "
        + ", ".join(f"('{name}', old.{name}, new.{name})" for name in rest)
    )
    whole = "SELECT 'rowid' AS name, old.rowid AS was UNION ALL VALUES " + ", ".join(
        f"('{name}', old.{name})" for name in columns
    )
    superseded = "INSERT OR IGNORE INTO earlier (id, version)"
    return (
        f"CREATE TRIGGER {_name(table, 'added')} AFTER INSERT ON {table.name} BEGIN"
        f" {_noted('added', table, 'new')}"
        f" {superseded} SELECT id, '{GONE}' || at FROM removal WHERE id = new.id; END",
        f"CREATE TRIGGER {_name(table, 'changed')} AFTER UPDATE ON {table.name}"
        f" WHEN ({olds}) IS NOT ({news}) BEGIN"
        f" {_noted('changed', table, 'old')}"
        " INSERT INTO change_value SELECT last_insert_rowid(), name, was"
        f" FROM ({pairs}) WHERE was IS NOT becomes;"
        f" {superseded} SELECT old.id, old.updated WHERE old.updated IS NOT new.updated; END",
        f"CREATE TRIGGER {_name(table, 'removed')} AFTER DELETE ON {table.name} BEGIN"
        f" {_noted('removed', table, 'old')}"
        f" INSERT INTO change_value SELECT last_insert_rowid(), name, was FROM ({whole});"
        f" {superseded} VALUES (old.id, old.updated);"
        " INSERT INTO removal (id, table_name, at)"
        f" VALUES (old.id, '{table.name}', strftime('%Y-%m-%dT%H:%M:%fZ', 'now')); END",
    )


def _noted(verb: str, table: Table, row: str) -> str:
    return f"INSERT INTO change_row (verb, table_name, row_id) VALUES ('{verb}', '{table.name}', {row}.id);"
