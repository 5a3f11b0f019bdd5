"""A fresh book and a migrated one are the same book."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store import backups, expected, schema
from logbook.store.book import Book
from logbook.store.engine import APPLICATION_ID, copy_book, engine_for
from logbook.store.migrations import CURRENT, STEPS
from tests.store.older import older_book

Clock = Callable[[], datetime]


def shape(path: Path) -> dict[str, object]:
    """Return every table's columns, keys and indexes, however its SQL was written down."""
    with closing(sqlite3.connect(path)) as connection:
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        return {
            name: {
                "columns": sorted(row[1:] for row in connection.execute(f"PRAGMA table_info('{name}')")),
                "keys": sorted(row[2:] for row in connection.execute(f"PRAGMA foreign_key_list('{name}')")),
                "indexes": sorted(
                    (
                        index[2],
                        tuple(row[2] for row in connection.execute(f"PRAGMA index_info('{index[1]}')")),
                    )
                    for index in connection.execute(f"PRAGMA index_list('{name}')")
                ),
            }
            for (name,) in names.fetchall()
        } | {
            "user_version": connection.execute("PRAGMA user_version").fetchone(),
            "application_id": connection.execute("PRAGMA application_id").fetchone(),
            "journal_mode": connection.execute("PRAGMA journal_mode").fetchone(),
        }


def test_a_migrated_book_has_the_shape_of_a_fresh_one(book: Book, book_behind: Path, now: Clock) -> None:
    Book(book_behind, now, create=False)
    assert shape(book_behind) == shape(book.path)
    assert len(shape(book.path)) > 15


@pytest.mark.parametrize("which", ["fresh", "migrated"])
def test_a_book_holds_every_table_that_the_rows_ask_for_and_nothing_else(
    book: Book, book_behind: Path, now: Clock, which: str
) -> None:
    path = book.path
    if which == "migrated":
        path = Book(book_behind, now, create=False).path
    with engine_for(path).connect() as connection:
        found = expected.compare(connection, is_current=True)
    assert found == expected.SchemaFound((), (), (), index_is_whole=True)


def test_a_new_book_is_known_by_its_digest(book: Book) -> None:
    """Whoever changes what a book holds writes the digest that this test names into store/expected.py."""
    with closing(sqlite3.connect(book.path)) as connection:
        entries = connection.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    assert expected.digest_of(entries) == expected.AS_MADE
    assert expected.digest_of(reversed(entries)) == expected.AS_MADE


@pytest.mark.parametrize(
    "change",
    [
        "CREATE TRIGGER sly AFTER INSERT ON trip BEGIN DELETE FROM trip; END",
        "CREATE VIEW sly AS SELECT * FROM trip",
        "CREATE TABLE autoindex_sly (id)",
        "DROP INDEX ix_keeper_hash",
        "ALTER TABLE trip ADD COLUMN sly TEXT",
    ],
)
def test_whatever_is_changed_in_a_schema_changes_its_digest(book: Book, change: str) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute(change)
        entries = connection.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    assert expected.digest_of(entries) != expected.AS_MADE


def test_no_character_inside_an_entry_makes_two_of_it() -> None:
    one, two = ("table", "a", "CREATE TABLE a (x)"), ("table", "b", "CREATE TABLE b (y)")
    joined = ("table", "a", "\0".join((one[2], *two)))
    assert expected.digest_of([one, two]) != expected.digest_of([joined])


def test_a_migrated_book_has_the_index_and_triggers_of_a_fresh_one(
    book: Book, book_behind: Path, now: Clock
) -> None:
    def objects(path: Path) -> list[tuple[str, str]]:
        with closing(sqlite3.connect(path)) as connection:
            found = connection.execute(
                "SELECT name, sql FROM sqlite_master WHERE name LIKE 'search%' ORDER BY name"
            )
            return found.fetchall()

    Book(book_behind, now, create=False)
    assert objects(book_behind) == objects(book.path)
    assert len(objects(book.path)) > 50


def test_the_steps_are_numbered_without_a_gap() -> None:
    assert [int(step.name[:4]) for step in STEPS] == list(range(1, CURRENT + 1))


def test_a_book_that_said_its_version_twice_says_it_once(tmp_path: Path, now: Clock) -> None:
    path = older_book(tmp_path / "old.sqlite", max(schema.SAID_TWICE))
    with Book(path, now, create=False).writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley"))
    assert "alembic_version" not in shape(path)
    assert shape(path)["user_version"] == (CURRENT,)


def test_a_book_that_is_behind_is_copied_before_it_is_changed(book_behind: Path, now: Clock) -> None:
    before = dump(book_behind)
    opened = Book(book_behind, now, create=False)
    assert opened.copy_made is not None
    assert opened.copy_made == backups.folder_of(book_behind) / "old-2031-10-14-184507-update.sqlite"
    assert dump(opened.copy_made) == before
    with opened.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley"))
    assert Book(book_behind, now, create=False).copy_made is None


def test_a_book_that_cannot_be_copied_is_not_migrated(book_behind: Path, now: Clock) -> None:
    backups.folder_of(book_behind).write_text("in the way", encoding="utf-8")
    before = dump(book_behind)
    with pytest.raises(BookError, match="could not be copied"):
        Book(book_behind, now, create=False)
    assert dump(book_behind) == before


def test_a_migration_that_fails_changes_nothing(
    book_behind: Path, now: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError

    before = dump(book_behind)
    monkeypatch.setattr(schema, "mark_version", fail)
    with pytest.raises(ZeroDivisionError):
        Book(book_behind, now, create=False)
    assert dump(book_behind) == before


def test_a_copy_holds_what_the_book_holds_while_another_window_writes(
    book: Book, tmp_path: Path, now: Clock
) -> None:
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="valley", title="Valley"))
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="half-done", title="Half done"))
        copy = copy_book(book.path, tmp_path / "copy.sqlite")
    with Book(copy, now, create=False).reading() as desk:
        assert [one.slug for one in desk.trips.all()] == ["valley"]


def test_a_copy_appears_whole_or_not_at_all(book: Book, tmp_path: Path) -> None:
    nowhere = tmp_path / "nowhere" / "copy.sqlite"
    with pytest.raises(BookError, match="could not be copied"):
        copy_book(book.path, nowhere)
    with pytest.raises(BookError, match="could not be copied"):
        copy_book(tmp_path / "missing.sqlite", tmp_path / "copy.sqlite")
    text = tmp_path / "diary.txt"
    text.write_text("Dear diary, " * 999, encoding="utf-8")
    kept = tmp_path / "kept.sqlite"
    kept.write_bytes(b"an older copy")
    with pytest.raises(BookError, match="could not be copied"):
        copy_book(text, kept)
    assert kept.read_bytes() == b"an older copy"
    assert {path.name for path in tmp_path.iterdir()} == {"book.sqlite", "diary.txt", "kept.sqlite"}


def dump(path: Path) -> list[str]:
    """Return the content of a SQLite file as SQL, with its marks."""
    with closing(sqlite3.connect(path)) as connection:
        marks = [
            str(connection.execute(f"PRAGMA {name}").fetchone())
            for name in ("application_id", "user_version")
        ]
        return [*marks, *connection.iterdump()]


@pytest.mark.parametrize(
    "statement",
    [
        "PRAGMA user_version = -1",
        "PRAGMA user_version = 3",
        "PRAGMA user_version = 0",
        "PRAGMA user_version = 2147483647",
        "DROP TABLE lesson",
    ],
)
def test_a_book_that_cannot_be_of_its_version_is_refused_and_stays(
    book: Book, now: Clock, statement: str
) -> None:
    assert_refused_after(statement, book.path, now)


@pytest.mark.parametrize(
    "statement",
    [
        "PRAGMA user_version = 3",
        "PRAGMA user_version = 0",
        "UPDATE alembic_version SET version_num = '0003'",
        "UPDATE alembic_version SET version_num = 'x'",
        "INSERT INTO alembic_version VALUES ('0003')",
        "DELETE FROM alembic_version",
        "DROP TABLE alembic_version",
    ],
)
def test_an_older_book_that_contradicts_itself_about_its_version_is_refused_and_stays(
    tmp_path: Path, now: Clock, statement: str
) -> None:
    assert_refused_after(statement, older_book(tmp_path / "old.sqlite", 12), now)


def assert_refused_after(statement: str, path: Path, now: Clock) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute(statement)
        other.commit()
    before = dump(path)
    refusals = r"conflicting version numbers|newer version|did not make|is damaged \(it has no table"
    with pytest.raises(BookError, match=refusals):
        Book(path, now, create=False)
    assert dump(path) == before


def test_a_file_marked_as_ours_without_a_table_is_nothing_to_restore(tmp_path: Path) -> None:
    path = tmp_path / "empty.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    with pytest.raises(BookError, match="holds no table"):
        schema.version_in(path)
