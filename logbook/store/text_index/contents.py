"""What the index holds as a whole, for a page that searches without the database.

One surprising decision: the words are read out of the index as it folded and stemmed them, not split again,
so that page and program agree on what a word is.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection

# What a word counts in a title, a body and a context; facts are words that nobody types.
_WEIGHTS = {"title": 6, "body": 2, "context": 1}


@dataclass(frozen=True, slots=True)
class IndexedDocument:
    """One document: its row in the index, whose it is, when, and what it is called."""

    row: int
    kind: str
    record_id: str
    trip_id: str | None
    on_date: str | None
    title: str
    body: str


def indexed_documents(connection: Connection) -> tuple[IndexedDocument, ...]:
    """Return all documents in the order of their rows."""
    found = connection.exec_driver_sql(
        "SELECT d.rowid, d.kind, d.record_id, d.trip_id, d.on_date, t.title, t.body"
        " FROM search_document d JOIN search_text t ON t.rowid = d.rowid ORDER BY d.rowid"
    )
    return tuple(IndexedDocument(*row) for row in found)


def indexed_words(connection: Connection) -> Mapping[str, Mapping[int, int]]:
    """Return every stem with the rows it stands in, and what it counts in each."""
    connection.exec_driver_sql(
        "CREATE VIRTUAL TABLE IF NOT EXISTS temp.search_words USING fts5vocab(main, search_text, instance)"
    )
    words: dict[str, dict[int, int]] = defaultdict(dict)
    found = connection.exec_driver_sql(
        "SELECT DISTINCT term, doc, col FROM temp.search_words WHERE col <> 'facts'"
    )
    for stem, row, column in found:
        at = words[stem]
        at[row] = max(at.get(row, 0), _WEIGHTS[column])
    return words
