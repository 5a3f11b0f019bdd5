"""Keeping the index in step: what changed is worked out again at the end of the same transaction.

One surprising decision: a rebuild marks every record as changed and goes the same way, so that there is only
one way in which a document can come about.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection

from logbook.domain.condition_kinds import KINDS
from logbook.store.portions import portions
from logbook.store.tallies import keeping as tallies
from logbook.store.tallies import zones
from logbook.store.text_index import about
from logbook.store.text_index.documents import NOUN_DOCUMENTS, Document, columns_of, documents
from logbook.store.text_index.facts import NOUNS
from logbook.store.text_index.moments import Observed
from logbook.store.text_index.numbering import row_of

CHUNK = 1000  # records read at a time, so that memory does not grow with the book
_NUMERIC = tuple(kind.value for kind in about.NUMBERS)

# Of what was observed, what other records take over.
_TAKEN = ", ".join(f"'{kind}'" for kind, of in KINDS.items() if kind in about.LEVELS_MET or of.is_barrier)
_OBSERVED = (
    "SELECT c.viewpoint_id, c.site_id, c.on_date, c.kind, c.level, c.at, v.id, v.arrived_at, v.departed_at"
    " FROM condition c LEFT JOIN visit v ON v.id = c.visit_id"
    f" WHERE c.kind IN ({_TAKEN})"
    " AND {where}"
)


@dataclass(frozen=True, slots=True)
class Differences:
    """How an index differs from a fresh one, in documents; `sound`: its words agree with its documents.

    `tallies` are rows of the tallies that are not what fresh ones would be.
    """

    documents: int
    missing: int
    changed: int
    left_over: int
    sound: bool
    tallies: int = 0

    @property
    def in_step(self) -> bool:
        """Whether the index is as good as a fresh one."""
        return self.sound and not (self.missing or self.changed or self.left_over or self.tallies)


def refresh(connection: Connection) -> None:
    """Bring the documents of everything that changed up to date; part of the running transaction."""
    cursor = _cursor(connection)
    behind = [row[0] for row in cursor.execute("SELECT DISTINCT kind FROM search_stale").fetchall()]
    if {"site", "viewpoint"}.intersection(behind):  # places, by whose zones hours are read
        zones.refresh(cursor)
    for noun in behind:
        stale = "(SELECT record_id FROM search_stale WHERE kind = ?)"
        old = f"SELECT rowid FROM search_document WHERE kind = ? AND record_id IN {stale}"
        cursor.execute(f"DELETE FROM search_text WHERE rowid IN ({old})", (noun, noun))
        cursor.execute(f"DELETE FROM search_document WHERE kind = ? AND record_id IN {stale}", (noun, noun))
        ids = cursor.execute(
            f"SELECT id FROM {noun} WHERE id IN {stale} ORDER BY rowid",
            (noun,),
        ).fetchall()
        for chunk in portions([row[0] for row in ids], CHUNK):
            _insert(cursor, list(_fresh(cursor, noun, chunk)))
    cursor.execute("DELETE FROM search_stale")
    tallies.refresh(cursor)


def is_behind(connection: Connection) -> bool:
    """Whether somebody wrote to the book without bringing the index up to date."""
    return bool(_cursor(connection).execute("SELECT EXISTS (SELECT 1 FROM search_stale)").fetchone()[0])


def rebuild(connection: Connection) -> None:
    """Rebuild the index from the book alone; part of the running transaction."""
    cursor = _cursor(connection)
    for table in ("search_text", "search_document", "search_value", "search_stale"):
        cursor.execute(f"DELETE FROM {table}")
    for noun in NOUNS:
        cursor.execute(f"INSERT INTO search_stale SELECT '{noun}', id FROM {noun}")
    tallies.note_all(cursor)
    refresh(connection)
    cursor.execute("INSERT INTO search_text (search_text) VALUES ('optimize')")


def differences(connection: Connection) -> Differences:
    """Compare the index with what a fresh one would hold, without changing it."""
    import sqlite3

    cursor = _cursor(connection)
    total = missing = changed = left_over = 0
    for noun in NOUNS:
        ids = [row[0] for row in cursor.execute(f"SELECT id FROM {noun} ORDER BY rowid").fetchall()]
        total += len(ids)
        left_over += cursor.execute(
            "SELECT count(*) FROM search_document"
            f" WHERE kind = ? AND record_id NOT IN (SELECT id FROM {noun})",
            (noun,),
        ).fetchone()[0]
        for chunk in portions(ids, CHUNK):
            held = _held(cursor, noun, chunk)
            for fresh in _fresh(cursor, noun, chunk):
                missing += fresh.record_id not in held
                changed += held.get(fresh.record_id, fresh) != fresh
    odd = tallies.out_of_step(cursor)
    try:
        cursor.execute("INSERT INTO search_text (search_text) VALUES ('integrity-check')")
    except sqlite3.DatabaseError:
        return Differences(total, missing, changed, left_over, sound=False, tallies=odd)
    return Differences(total, missing, changed, left_over, sound=True, tallies=odd)


def _cursor(connection: Connection) -> Any:
    return connection.connection.cursor()


def _held(cursor: Any, noun: str, ids: Sequence[str]) -> dict[str, Document]:
    rows = cursor.execute(
        "SELECT d.kind, d.record_id, t.title, t.body, t.context, t.facts, d.trip_id, d.site_id,"
        " d.viewpoint_id, d.on_date FROM search_document d JOIN search_text t ON t.rowid = d.rowid"
        f" WHERE d.kind = ? AND d.record_id IN ({_marks(ids)})",
        (noun, *ids),
    )
    return {row[1]: Document(*row) for row in rows}


def _fresh(cursor: Any, noun: str, ids: Sequence[str]) -> Iterator[Document]:
    """The documents of some records as the book stands now."""
    how = NOUN_DOCUMENTS[noun]
    found = cursor.execute(
        f"SELECT r.id, {columns_of(noun)} FROM {noun} r {how.joins}"
        f" WHERE r.id IN ({_marks(ids)}) ORDER BY r.rowid",
        tuple(ids),
    )
    names = [column[0] for column in found.description]
    rows = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
    if "day_zone" in names:
        zones.learn(cursor, [(row["place_latitude"], row["place_longitude"]) for row in rows])
    observed = _observed(cursor, rows) if how.happened else Observed()
    return documents(noun, rows, observed, _sets(cursor, rows) if noun == "keeper" else {})


def _observed(cursor: Any, rows: Sequence[Mapping[str, Any]]) -> Observed:
    viewpoints = sorted({row["viewpoint_id"] for row in rows if row["viewpoint_id"]})
    sites = sorted({row["site_id"] for row in rows if row["site_id"]})
    at_viewpoints = _OBSERVED.format(where=f"c.viewpoint_id IN ({_marks(viewpoints)})")
    at_sites = _OBSERVED.format(where=f"c.viewpoint_id IS NULL AND c.site_id IN ({_marks(sites)})")
    return Observed.of(
        [*cursor.execute(at_viewpoints, viewpoints).fetchall(), *cursor.execute(at_sites, sites).fetchall()]
    )


def _sets(cursor: Any, rows: Sequence[Mapping[str, Any]]) -> dict[str, list[str]]:
    """The kinds of set of its own trip that each keeper belongs to."""
    trip_of = {row["id"]: row["trip_id"] for row in rows}
    trips = sorted(set(trip_of.values()))
    found: dict[str, list[str]] = {}
    for keeper_id, kind, trip_id in cursor.execute(
        "SELECT m.value, k.kind, k.trip_id FROM keeper_set k, json_each(k.keeper_ids) m"
        f" WHERE k.trip_id IN ({_marks(trips)}) AND k.kind <> 'apart' GROUP BY m.value, k.kind, k.trip_id",
        trips,
    ):
        if trip_of.get(keeper_id) == trip_id:
            found.setdefault(keeper_id, []).append(kind)
    return found


def _insert(cursor: Any, made: Sequence[Document]) -> None:
    used: set[int] = set()

    def taken(row: int) -> bool:
        held = cursor.execute("SELECT 1 FROM search_document WHERE rowid = ?", (row,)).fetchone()
        return row in used or held is not None

    numbered = []
    for one in made:
        row = row_of(one.kind, one.record_id, one.on_date, taken)
        used.add(row)
        numbered.append((row, one))
    numbered.sort(
        key=itemgetter(0)
    )  # the index wants rising numbers; otherwise it writes out what it has at each step down
    cursor.executemany(
        "INSERT INTO search_document (rowid, kind, record_id, trip_id, site_id, viewpoint_id, on_date)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)",
        [
            (row, one.kind, one.record_id, one.trip_id, one.site_id, one.viewpoint_id, one.on_date)
            for row, one in numbered
        ],
    )
    cursor.executemany(
        "INSERT INTO search_text (rowid, title, body, context, facts) VALUES (?, ?, ?, ?, ?)",
        [(row, one.title, one.body, one.context, one.facts) for row, one in numbered],
    )
    numbers = {(token,) for one in made for token in one.facts.split() if token.startswith(_NUMERIC)}
    cursor.executemany("INSERT OR IGNORE INTO search_value VALUES (?)", sorted(numbers))


def _marks(values: Sequence[Any]) -> str:
    return ", ".join("?" * len(values))
