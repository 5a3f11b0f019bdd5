"""The objects of the text index in the database: its tables, and the triggers that note what changed.

One surprising decision: no migration spells them out. They are rebuilt at the end of every update of a
book, so that a later column, or a better document, needs no more than a new revision.
"""

from sqlalchemy import Connection

from logbook.store.tallies import objects as tallies
from logbook.store.text_index.facts import NOUNS
from logbook.store.triggers import EVENTS

PREFIX = "search_"  # every table, view and trigger of the index begins so
COLUMNS = ("title", "body", "context", "facts")

TOKENISER = "porter unicode61 remove_diacritics 2"  # stems English, folds accents

_TABLES = (
    # One row a document; its rowid is that of its words.
    """CREATE TABLE search_document (
        rowid INTEGER PRIMARY KEY, kind TEXT NOT NULL, record_id TEXT NOT NULL, trip_id TEXT, site_id TEXT,
        viewpoint_id TEXT, on_date TEXT, UNIQUE (kind, record_id)
    )""",
    "CREATE INDEX search_document_trip ON search_document (trip_id)",
    "CREATE INDEX search_document_site ON search_document (site_id, on_date, kind)",
    "CREATE INDEX search_document_viewpoint ON search_document (viewpoint_id, on_date, kind)",
    f"CREATE VIRTUAL TABLE search_text USING fts5(title, body, context, facts, tokenize = '{TOKENISER}')",
    # Which numbers occur (apertures, times, ...), so that "about f/16" can be asked as words; never shrinks.
    "CREATE TABLE search_value (token TEXT PRIMARY KEY) WITHOUT ROWID",
    """CREATE TABLE search_stale (
        kind TEXT NOT NULL, record_id TEXT NOT NULL, PRIMARY KEY (kind, record_id)
    ) WITHOUT ROWID""",
)

# The tables that SQLite keeps the words in (FTS5, "The FTS5 extension", section 9, "Data layouts").
SHADOWS = {
    "search_text_data": "CREATE TABLE 'search_text_data'(id INTEGER PRIMARY KEY, block BLOB)",
    "search_text_idx": (
        "CREATE TABLE 'search_text_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID"
    ),
    "search_text_content": "CREATE TABLE 'search_text_content'(id INTEGER PRIMARY KEY, c0, c1, c2, c3)",
    "search_text_docsize": "CREATE TABLE 'search_text_docsize'(id INTEGER PRIMARY KEY, sz BLOB)",
    "search_text_config": "CREATE TABLE 'search_text_config'(k PRIMARY KEY, v) WITHOUT ROWID",
}

# Where a record's documents take words or light from others: which of its columns matter to them.
_CARRIED = (
    ("trip", ("title", "zone", "day_ends_at"), "trip_id"),
    ("site", ("title", "also_called", "kinds", "region", "zone", "latitude_deg", "longitude_deg"), "site_id"),
    (
        "viewpoint",
        ("title", "also_called", "site_id", "latitude_deg", "longitude_deg", "tripod_rule"),
        "viewpoint_id",
    ),
)
_NOTE = "INSERT OR IGNORE INTO search_stale (kind, record_id)"


def create(connection: Connection) -> None:
    """Make the empty index and its triggers; part of the running transaction."""
    for statement in statements():
        connection.exec_driver_sql(statement)


def statements() -> tuple[str, ...]:
    """Return the statements that make the index, the tallies that go with it, and their triggers."""
    return (*_TABLES, *_triggers(), *tallies.statements())


def drop(connection: Connection) -> None:
    """Take the index and its triggers out; harmless where there is none."""
    found = connection.exec_driver_sql(
        f"SELECT type, name FROM sqlite_master WHERE substr(name, 1, {len(PREFIX)}) = '{PREFIX}'"
        " AND type IN ('table', 'trigger') ORDER BY type DESC"  # a table goes when no trigger names it
    ).fetchall()
    for kind, name in found:
        if name not in SHADOWS:  # those go with the words
            connection.exec_driver_sql(f"DROP {kind} {name}")


def _triggers() -> list[str]:
    found = []
    for noun in NOUNS:
        for event, rows in EVENTS.items():
            body = f"{_NOTE} VALUES ('{noun}', {rows[-1]}.id);"
            found.append(_trigger(f"{noun}_{event}", f"AFTER {event.upper()} ON {noun}", body))
    for table, columns, column in _CARRIED:
        changed = " OR ".join(f"old.{name} IS NOT new.{name}" for name in columns)
        body = f"{_NOTE} SELECT kind, record_id FROM search_document WHERE {column} = new.id;"
        when = f"AFTER UPDATE ON {table} WHEN {changed}"
        found.append(_trigger(f"{table}_carried", when, body))
    named = " OR ".join(f"old.{name} IS NOT new.{name}" for name in ("title", "technique", "viewpoint_id"))
    body = (
        f"{_NOTE} SELECT 'keeper', id FROM keeper WHERE shot_id = new.id;"
        f" {_NOTE} SELECT 'lesson', id FROM lesson WHERE shot_id = new.id;"
    )
    found.append(_trigger("shot_carried", f"AFTER UPDATE ON shot WHEN {named}", body))
    moved = " OR ".join(f"old.{name} IS NOT new.{name}" for name in ("arrived_at", "departed_at"))
    body = (
        f"{_NOTE} SELECT d.kind, d.record_id FROM condition c JOIN search_document d"
        " ON d.viewpoint_id = c.viewpoint_id AND d.on_date = c.on_date AND d.kind = 'keeper'"
        " WHERE c.visit_id = new.id;"
    )
    found.append(_trigger("visit_carried", f"AFTER UPDATE ON visit WHEN {moved}", body))
    for event, rows in EVENTS.items():
        for table, what in (
            (
                "outcome",
                f"VALUES ('shot', {{row}}.shot_id); {_NOTE} SELECT 'keeper', id FROM keeper"
                " WHERE shot_id = {row}.shot_id",
            ),
            ("packed", "VALUES ('kit', {row}.item_id)"),
            ("keeper_set", "SELECT 'keeper', value FROM json_each({row}.keeper_ids)"),
            # By the clock of a day its hours are read.
            (
                "day",
                "SELECT kind, record_id FROM search_document WHERE {row}.zone IS NOT NULL"
                " AND trip_id = {row}.trip_id AND on_date = {row}.on_date"
                " AND kind IN ('shot', 'visit', 'condition')",
            ),
            # What was observed belongs to whatever was planned, visited or taken there on that day.
            (
                "condition",
                "SELECT kind, record_id FROM search_document WHERE viewpoint_id = {row}.viewpoint_id "
                "AND on_date = {row}.on_date AND kind IN ('keeper', 'shot', 'visit'); "
                f"{_NOTE} SELECT kind, record_id FROM search_document WHERE site_id = {{row}}.site_id "
                "AND {row}.viewpoint_id IS NULL AND on_date = {row}.on_date "
                "AND kind IN ('keeper', 'shot', 'visit')",
            ),
        ):
            body = " ".join(f"{_NOTE} {what.format(row=row)};" for row in rows)
            found.append(_trigger(f"{table}_{event}_seen", f"AFTER {event.upper()} ON {table}", body))
    return found


def _trigger(name: str, when: str, body: str) -> str:
    return f"CREATE TRIGGER {PREFIX}{name} {when} BEGIN {body} END"
