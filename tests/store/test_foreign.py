"""Nothing foreign in a book's file runs: it is refused in one sentence, and its records can be copied out."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store.book import Book
from logbook.store.connecting import Mode, connect
from logbook.store.expected import parts_of_table, words_of
from logbook.store.migrations import CURRENT
from logbook.store.opening import JOURNAL_MAGIC
from logbook.store.schema import version_in
from tests.examples import first
from tests.store.older import older_book

Clock = Callable[[], datetime]

ENDLESS = "WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x AS {0} FROM n"
PLANTED: dict[str, tuple[str, ...]] = {
    "a trigger": ("CREATE TRIGGER tidy AFTER INSERT ON lesson BEGIN DELETE FROM keeper; END",),
    "a trigger with a name of ours": (
        "DROP TRIGGER change_of_lesson_added",
        "CREATE TRIGGER change_of_lesson_added AFTER INSERT ON lesson BEGIN DELETE FROM keeper; END",
    ),
    "a trigger with a name of the index": (
        "CREATE TRIGGER search_more AFTER INSERT ON lesson BEGIN DELETE FROM keeper; END",
    ),
    "a trigger of ours that does more": (
        "DROP TRIGGER search_trip_insert",
        "CREATE TRIGGER search_trip_insert AFTER INSERT ON trip BEGIN INSERT OR IGNORE INTO search_stale"
        " (kind, record_id) VALUES ('trip', new.id); DELETE FROM keeper; END",
    ),
    "a view": (f"CREATE VIEW more AS {ENDLESS.format('id')}",),
    "a view in place of a table": (
        "ALTER TABLE loose_line RENAME TO kept",
        f"CREATE VIEW loose_line AS {ENDLESS.format('id')}",
    ),
    "a view in place of a table of the index": (
        "DROP TABLE search_value",
        f"CREATE VIEW search_value AS {ENDLESS.format('token')}",
    ),
    "a generated column": ("ALTER TABLE trip ADD COLUMN x AS (length(hex(zeroblob(1000000))))",),
    "a column of somebody else": ("ALTER TABLE trip ADD COLUMN x TEXT DEFAULT 'y'",),
    "an index on an expression": ("CREATE INDEX more ON trip (abs(length(title)))",),
    "an index with a name of ours": (
        "DROP INDEX ix_keeper_trip_id",
        "CREATE INDEX ix_keeper_trip_id ON keeper (abs(length(trip_id)))",
    ),
    "a partial index": ("CREATE INDEX more ON trip (title) WHERE length(title) > 3",),
    "a table": ("CREATE TABLE more (x)",),
    "a virtual table": ("CREATE VIRTUAL TABLE more USING fts5(x)",),
    "a virtual table in place of a table": (
        "DROP TABLE loose_line",
        "CREATE VIRTUAL TABLE loose_line USING fts5(id, created)",
    ),
    "another kind of words": (
        "DROP TABLE search_text",
        "CREATE VIRTUAL TABLE search_text USING fts5(title, body, context, facts, content='keeper')",
    ),
}


def rewritten(table: str, old: str, new: str) -> tuple[str, ...]:
    return (
        "PRAGMA writable_schema = ON",
        f"UPDATE sqlite_master SET sql = replace(sql, '{old}', '{new}') WHERE name = '{table}'",
    )


PLANTED |= {
    "a check": rewritten("trip", "title VARCHAR NOT NULL", "title VARCHAR NOT NULL CHECK (random())"),
    "a default that runs": rewritten("trip", "summary VARCHAR", "summary VARCHAR DEFAULT (randomblob(9))"),
    "a collation": rewritten("trip", "title VARCHAR NOT NULL", "title VARCHAR COLLATE planted NOT NULL"),
    "a reference that deletes": rewritten(
        "keeper", "REFERENCES trip (id)", "REFERENCES trip (id) ON DELETE CASCADE"
    ),
    "a conflict that replaces": rewritten("trip", "UNIQUE (slug)", "UNIQUE (slug) ON CONFLICT REPLACE"),
    "the name of another table": (
        "PRAGMA writable_schema = ON",
        "UPDATE sqlite_master SET sql = replace(sql, 'CREATE TABLE trip', 'CREATE TABLE site2')"
        " WHERE name = 'trip'",
    ),
}


def plant(path: Path, statements: tuple[str, ...]) -> None:
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


@pytest.mark.parametrize("what", first(PLANTED, 5))
def test_what_is_foreign_is_refused_before_anything_runs(book: Book, now: Clock, what: str) -> None:
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley"))
    plant(book.path, PLANTED[what])
    before = book.path.read_bytes()
    for opened in (lambda: Book(book.path, now, create=False), lambda: version_in(book.path)):
        with pytest.raises(BookError, match=r"did not make|no table|damaged") as refused:
            opened()
        assert len(str(refused.value).splitlines()) == 1
    assert book.path.read_bytes() == before


def test_what_is_planted_while_a_book_is_open_is_refused_too(book: Book) -> None:
    plant(book.path, PLANTED["a trigger"])
    with pytest.raises(BookError, match="did not make"), book.writing():
        pass
    with pytest.raises(BookError, match="did not make"), book.reading():
        pass


def test_statistics_that_sqlite_keeps_are_not_foreign(book: Book, now: Clock) -> None:
    plant(book.path, ("ANALYZE",))
    with Book(book.path, now, create=False).reading() as desk:
        assert desk.trips.all() == []


@pytest.mark.parametrize("version", first(range(1, CURRENT + 1), 5))
def test_a_book_of_every_version_is_opened_and_what_is_planted_in_it_is_not(
    tmp_path: Path, now: Clock, version: int
) -> None:
    path = older_book(tmp_path / "old.sqlite", version)
    planted = tmp_path / "planted.sqlite"
    planted.write_bytes(path.read_bytes())
    plant(planted, PLANTED["a trigger"])
    with pytest.raises(BookError, match="the trigger tidy"):
        Book(planted, now, create=False)
    with Book(path, now, create=False).reading() as desk:
        assert desk.trips.all() == []


def test_an_older_book_has_the_text_index_of_its_time(tmp_path: Path, now: Clock) -> None:
    """An update makes the index anew, whatever it was, and never asks the old one."""
    path = older_book(tmp_path / "old.sqlite", 11)
    plant(
        path,
        (
            "CREATE TABLE search_document (rowid INTEGER PRIMARY KEY, kind TEXT, site_id TEXT, old TEXT)",
            "CREATE INDEX search_document_site ON search_document (site_id)",
            "CREATE INDEX search_document_old ON search_document (old)",
            "CREATE VIRTUAL TABLE search_text USING fts5(title, body, context, facts, tokenize ="
            " 'porter unicode61 remove_diacritics 2')",
            "CREATE TABLE search_stale (kind TEXT, record_id TEXT)",
            "CREATE TRIGGER search_trip_insert AFTER INSERT ON trip BEGIN"
            " INSERT INTO search_stale VALUES ('trip', new.id); END",
        ),
    )
    with Book(path, now, create=False).writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley"))
    with Book(path, now, create=False).reading() as desk:
        assert desk.index.near_words("valey") is not None


def test_a_connection_trusts_no_schema(book: Book) -> None:
    with closing(connect(book.path, Mode.WRITE)) as connection:
        assert connection.execute("PRAGMA trusted_schema").fetchone() == (0,)
        assert connection.execute("PRAGMA cell_size_check").fetchone() == (1,)


@pytest.mark.parametrize("suffix", ["-wal", "-shm", "-journal"])
def test_what_lies_beside_a_book_and_is_no_file_is_refused(
    book: Book, tmp_path: Path, now: Clock, suffix: str
) -> None:
    beside = Path(f"{book.path}{suffix}")
    beside.unlink(missing_ok=True)
    beside.symlink_to(tmp_path / "elsewhere")
    with pytest.raises(BookError, match="move it elsewhere"):
        Book(book.path, now, create=False)
    assert not (tmp_path / "elsewhere").exists()


def test_a_journal_that_names_another_file_does_not_delete_it(book: Book, tmp_path: Path, now: Clock) -> None:
    precious = tmp_path / "precious.jpg"
    precious.write_bytes(b"a picture")
    name = str(precious).encode()
    journal = Path(f"{book.path}-journal")
    # SQLite file format, section 3: no pages, no nonce, as many pages as the file has, sectors of 512 bytes.
    numbers = (0, 0, book.path.stat().st_size // 4096, 512, 4096)
    head = (JOURNAL_MAGIC + b"".join(one.to_bytes(4, "big") for one in numbers)).ljust(512, b"\0")
    tail = b"\x40\x00\x00\x01" + name + len(name).to_bytes(4, "big") + (sum(name)).to_bytes(4, "big")
    journal.write_bytes(head + tail + JOURNAL_MAGIC)
    with pytest.raises(BookError, match="delete another file"):
        Book(book.path, now, create=False)
    assert precious.read_bytes() == b"a picture"


def test_a_table_written_in_two_ways_is_the_same_table() -> None:
    one = "CREATE TABLE t (a TEXT NOT NULL, b VARCHAR REFERENCES u (id), PRIMARY KEY (a))"
    other = 'create table "t" (\n\tb VARCHAR, -- a comment\n\ta TEXT NOT NULL, PRIMARY KEY (a),'
    other += " FOREIGN KEY(b) REFERENCES u (id))"
    assert parts_of_table(one) == parts_of_table(other)
    assert parts_of_table(one) != parts_of_table(one.replace("NOT NULL", "NOT NULL CHECK (a, b)"))
    assert words_of("DEFAULT 'It''s'") == ("default", "'It''s'")
