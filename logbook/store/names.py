"""The names in a book, for whoever is typing one: a quick look that cannot make, change or wait for a book.

One surprising decision: whatever goes wrong, there are no names. Who presses a key wants no sentence.
"""

import re
import sqlite3
from contextlib import closing
from pathlib import Path

from logbook.store.connecting import connect, mode_to_read

OF_TRIPS = ("shot", "visit", "condition", "lesson", "keeper")  # nouns whose records belong to one trip
NAMES_MAX = 500
STEPS_MAX = 5_000_000  # of SQLite's machine; a book made to keep it busy is given up
_BEGINS = "substr(slug, 1, ?) = ?"
_SAFE = re.compile(r"\w[\w.+-]*")  # what no shell takes for anything else


def names_beginning(path: Path, noun: str, begins: str, trip: str | None = None) -> list[str]:
    """Return the slugs of a noun that begin so, in order; of a trip, if one is named by how it begins.

    `noun` is the name of a table, ours and not anybody's text.
    """
    query, begin = f'SELECT DISTINCT slug FROM "{noun}" WHERE {_BEGINS}', [begins]
    if trip and noun in OF_TRIPS:
        query, begin = f"{query} AND trip_id IN (SELECT id FROM trip WHERE {_BEGINS})", [begins, trip]
    told = [value for text in begin for value in (len(text), text)]
    try:
        with closing(connect(path, mode_to_read(path))) as connection:
            connection.set_progress_handler(lambda: 1, STEPS_MAX)
            rows = connection.execute(f"{query} ORDER BY slug LIMIT {NAMES_MAX}", told).fetchall()
    except (sqlite3.Error, OSError, ValueError):
        return []
    return [name for (name,) in rows if isinstance(name, str) and _SAFE.fullmatch(name)]
