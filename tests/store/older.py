"""Books as earlier programs made them."""

import sqlite3
from contextlib import closing
from pathlib import Path

from logbook.store import migrations, schema
from logbook.store.engine import APPLICATION_ID, engine_for


def older_book(path: Path, version: int) -> Path:
    """Make an empty book of an earlier version, with the table in which such a book said it a second time."""
    with engine_for(path).connect() as made, made.begin():
        migrations.apply(made, 0, version)
    with closing(sqlite3.connect(path)) as connection, connection:
        if version in schema.SAID_TWICE:
            connection.execute(
                "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL,"
                " CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
            )
            connection.execute("INSERT INTO alembic_version VALUES (?)", (f"{version:04}",))
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {version}")
    return path
