"""The steps from each version of a book to the next: one file of SQL each, taken in the order of numbers.

One surprising decision: nothing lists them. A book's version, kept as SQLite's `user_version`, is the number
of the last step that it has, and the version that this program knows is how many files lie here.
"""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection

STEPS = tuple(sorted(Path(__file__).parent.glob("[0-9]*.sql")))
CURRENT = len(STEPS)


def apply(connection: Connection, version: int, upto: int = CURRENT) -> None:
    """Bring the tables from one version to a later one; part of the running transaction."""
    for step in STEPS[version:upto]:
        for statement in _statements(step.read_text(encoding="utf-8")):
            connection.exec_driver_sql(statement)


def _statements(script: str) -> Iterator[str]:
    """Yield the statements of a script; the driver's own way to run one would end the transaction."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    if statement.strip():
        yield statement
