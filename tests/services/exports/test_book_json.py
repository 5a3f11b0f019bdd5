"""A book as JSON, and back: row for row and id for id, and one clear sentence for anything else."""

import json
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from jsonschema import Draft202012Validator, FormatChecker

from logbook.domain.errors import ConflictError, LogbookError
from logbook.domain.nouns import NOUNS
from logbook.services.books.imports import import_document, read_document
from logbook.services.exports.book_json import (
    Records,
    book_records,
    book_schema,
    from_document,
    shelf_of,
    to_document,
)
from logbook.services.exports.json_text import json_text, parse_json
from logbook.store.book import Book
from logbook.store.desk import SHELVES
from tests.examples import examples, first
from tests.services.exports.random_books import books

NOW = datetime(2031, 10, 20, tzinfo=UTC)
SCHEMA_OF_FORMAT = book_schema()
VALID = Draft202012Validator(SCHEMA_OF_FORMAT, format_checker=FormatChecker())


def new_book(folder: str | Path, name: str) -> Book:
    return Book(Path(folder) / name, lambda: NOW, create=True)


def put(book: Book, records: Records) -> None:
    with book.writing() as desk:
        for name in SHELVES:
            shelf_of(desk, name).add(*records[name])


def rows(book: Book) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every noun's table, as SQLite holds it, in the order in which the book lists it."""
    with closing(sqlite3.connect(book.path)) as connection:
        return {
            name: connection.execute(f'SELECT * FROM "{name}" ORDER BY created, rowid').fetchall()
            for name in sorted(NOUNS)
        }


def text_of(book: Book) -> str:
    with book.reading() as desk:
        return json_text(to_document(book_records(desk), private=True))


@settings(
    max_examples=examples(0.06), suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(books())
def test_a_book_exported_and_imported_is_equal_row_for_row_and_id_for_id(records: Records) -> None:
    with TemporaryDirectory() as folder:
        first, second = new_book(folder, "a.sqlite"), new_book(folder, "b.sqlite")
        put(first, records)
        text = text_of(first)
        VALID.validate(json.loads(text))
        document = from_document(parse_json(text, "a.json"), "a.json")
        done = import_document(second, document, "a.json")
        assert rows(second) == rows(first)
        assert text_of(second) == text, "equal books give equal bytes"
        again = import_document(second, document, "a.json")
        assert not any(again.added.values())
        assert again.same == done.added
        assert rows(second) == rows(first)


@pytest.mark.slow
def test_the_demos_book_comes_back_row_for_row(demo: Path, tmp_path: Path) -> None:
    (tmp_path / "demo.sqlite").write_bytes((demo / "book.sqlite").read_bytes())
    first, second = Book(tmp_path / "demo.sqlite", lambda: NOW, create=False), new_book(tmp_path, "b.sqlite")
    (tmp_path / "book.json").write_text(text_of(first), encoding="utf-8")
    import_document(second, read_document(tmp_path / "book.json"), "book.json")
    assert rows(second) == rows(first)
    assert sum(map(len, rows(first).values())) > 500


def test_the_published_schema_is_sound_and_closed() -> None:
    Draft202012Validator.check_schema(SCHEMA_OF_FORMAT)
    for name in SHELVES:
        assert SCHEMA_OF_FORMAT["properties"][name]["items"]["additionalProperties"] is False


def test_every_table_is_in_an_export(tmp_path: Path) -> None:
    with new_book(tmp_path, "a.sqlite").reading() as desk:
        assert {shelf_of(desk, name).table.name for name in SHELVES} == set(NOUNS)


@pytest.fixture
def document(records: Records) -> dict[str, Any]:
    """The small trip as a document, to be spoilt."""
    data: dict[str, Any] = json.loads(json_text(to_document(records, private=True)))
    return data


WRONG: list[tuple[str, Any, str]] = [
    ("format", "another", 'it lacks "format"'),
    ("version", 2, "newer version"),
    ("version", True, "version: expected a whole number"),
    ("private", "yes", "private: expected true or false"),
    ("trip", 4, "trip: "),
    ("novelties", [], 'does not know the list "novelties"'),
    ("trips", {}, "trips: expected a list in brackets, found an object."),
    ("trips.0", [], "trips[0]: expected an object"),
    ("trips.0.title", "", "trips[0]: A trip needs a title"),
    ("trips.0.title", 7, 'trips[0].title: expected a text, found "7".'),
    ("trips.0.title", "half \ud83d", "trips[0].title: the text contains half a character"),
    ("trips.0.slug", "../up", "trips[0].slug: "),
    ("trips.0.id", "a b", "trips[0].id: "),
    ("trips.0.mood", "good", 'trips[0]: this program does not know the field "mood"; update'),
    ("trips.0.zone", "Nowhere/Here", "trips[0]: "),
    ("trips.0.day_ends_at", "25:00", "trips[0].day_ends_at: expected a time of day"),
    ("trips.0.day_ends_at", "04:00+02:00", "trips[0].day_ends_at: expected a time of day"),
    ("trips.0.starts_on", "2025-02-30", "trips[0].starts_on: expected a date"),
    ("trips.0.created", "2025-10-13T10:00:00", "trips[0].created: expected an instant with its offset"),
    ("trips.0.created", "0001-01-01T00:00:00+14:00", "trips[0].created: expected an instant"),
    ("trips.0.audience", "king", "trips[0].audience: "),
    ("trips.0.provenance", {"title": "rumour"}, "trips[0].provenance.title: "),
    ("keepers.2.exposure_s", 0.004, 'keepers[2].exposure_s: expected a fraction such as "1/125"'),
    ("keepers.2.exposure_s", "1/0", "keepers[2].exposure_s: expected a fraction"),
    ("keepers.2.iso", 1.5, "keepers[2].iso: expected a whole number"),
    ("keepers.2.iso", True, "keepers[2].iso: expected a whole number"),
    ("keepers.2.size_bytes", 2**63, "keepers[2].size_bytes: the number is larger"),
    ("keepers.2.f_number", 10**400, "keepers[2].f_number: the number is larger"),
    ("keepers.2.latitude_deg", 91, "keepers[2]: The latitude 91"),
    ("keepers.2.taken_local", "2025-10-13T10:00:00Z", "keepers[2].taken_local: expected a clock reading"),
    ("keepers.2.flash_fired", 0, "keepers[2].flash_fired: expected true or false"),
    ("keepers.2.filters", [1], "keepers[2].filters[0]: expected a text"),
    ("keepers.2.trip_id", "nowhere", "keepers[2] refers to trips nowhere"),
    ("tracks.0.points", [[["2025-10-13T10:00:00Z", 95, 0, None]]], "tracks[0].points[0][0]: The latitude"),
    ("tracks.0.points", [[[1, 2]]], "tracks[0].points[0][0]: a point is"),
    ("day_lines.0.seen", {"tries": {"a": {}}}, "day_lines[0].seen.tries.a: "),
    ("day_lines.0.seen", [], "day_lines[0].seen: expected an object"),
]


@pytest.mark.parametrize(
    ("path", "value", "says"), first(WRONG, 8), ids=[f"{p} {str(v)[:20]!r}" for p, v, _ in WRONG]
)
def test_what_cannot_be_is_one_sentence_with_its_place_and_nothing_is_stored(
    path: str, value: Any, says: str, document: dict[str, Any], tmp_path: Path
) -> None:
    *steps, last = (int(step) if step.isdigit() else step for step in path.split("."))
    at: Any = document
    for step in steps:
        at = at[step]
    at[last] = value
    book = new_book(tmp_path, "b.sqlite")
    with pytest.raises(LogbookError) as raised:
        import_document(book, from_document(document, "a.json"), "a.json")
    assert str(raised.value).startswith("a.json: ")
    assert says in str(raised.value)
    assert "\n" not in str(raised.value)
    assert not any(rows(book).values())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not valid JSON at line 1, column 1"),
        ("{\n 'a': 1}", "not valid JSON at line 2"),
        ("[" * 100_000, "nests lists deeper"),
        ('{"a":' * 100_000, "nests lists deeper"),
        ('{"a": NaN}', "NaN is not a number"),
        ('{"a": -Infinity}', "-Infinity is not a number"),
        ('{"a": 1e999}', "1e999 is too large"),
        ('{"a": ' + "9" * 5000 + "}", "is too large"),
        ('{"a": 1, "b": 2, "a": 3}', 'the name "a" appears twice in one object (with a, b)'),
        ('{"trips": [{"id": "t1", "x": 1, "x": 2}]}', 'appears twice in the record with id "t1"'),
        ("[]", "expected an object in braces"),
        ("null", "expected an object in braces"),
    ],
)
def test_text_that_is_no_document_is_one_sentence(text: str, says: str) -> None:
    with pytest.raises(LogbookError) as raised:
        from_document(parse_json(text, "a.json"), "a.json")
    assert says in str(raised.value)
    assert "\n" not in str(raised.value)


@pytest.mark.parametrize(
    "content", [b"\xff\xfe{}", b"\x00\x01", b"\x89PNG\r\n\x1a\n", b"SQLite format 3\x00"]
)
def test_a_file_that_is_no_text_is_one_sentence(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(content)
    with pytest.raises(LogbookError, match=r"a\.json"):
        read_document(tmp_path / "a.json")


def test_a_file_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(LogbookError, match="cannot be read"):
        read_document(tmp_path / "missing.json")


def test_a_record_that_says_otherwise_is_a_conflict_and_nothing_is_stored(
    document: dict[str, Any], tmp_path: Path
) -> None:
    book = new_book(tmp_path, "b.sqlite")
    import_document(book, from_document(document, "a.json"), "a.json")
    before = rows(book)
    document["shots"][0]["title"] = "Another"
    document["sites"][1]["region"] = "Elsewhere"
    document["lessons"].append(document["lessons"][0] | {"id": "new"})
    with pytest.raises(ConflictError) as raised:
        import_document(book, from_document(document, "a.json"), "a.json")
    said = str(raised.value)
    assert "(title differs)" in said
    assert "(region differs)" in said
    assert "has the same slug as the lesson with id" in said
    assert rows(book) == before


def test_when_a_record_was_last_written_is_no_conflict(document: dict[str, Any], tmp_path: Path) -> None:
    book = new_book(tmp_path, "b.sqlite")
    import_document(book, from_document(document, "a.json"), "a.json")
    document["shots"][0]["updated"] = "2040-01-01T00:00:00Z"
    assert not any(import_document(book, from_document(document, "a.json"), "a.json").added.values())


def test_two_records_of_one_document_may_not_stand_in_each_others_way(
    document: dict[str, Any], tmp_path: Path
) -> None:
    document["sites"].append(document["sites"][0] | {"id": "other"})
    with pytest.raises(ConflictError, match="same slug"):
        import_document(new_book(tmp_path, "b.sqlite"), from_document(document, "a.json"), "a.json")
    document["sites"][-1]["id"] = document["sites"][0]["id"]
    with pytest.raises(LogbookError, match=r"sites\[0\] has the same id"):
        from_document(document, "a.json")


def test_a_field_that_an_earlier_book_did_not_have_gets_what_it_would_have_there(
    document: dict[str, Any],
) -> None:
    for trip in document["trips"]:
        del trip["private_names"]
    assert from_document(document, "a.json").records["trips"][0].private_names == ()
    del document["trips"][0]["title"]
    with pytest.raises(LogbookError, match=r'trips\[0\]: "title" is missing'):
        from_document(document, "a.json")


def test_a_dry_run_counts_and_stores_nothing(document: dict[str, Any], tmp_path: Path) -> None:
    book = new_book(tmp_path, "b.sqlite")
    done = import_document(book, from_document(document, "a.json"), "a.json", dry_run=True)
    assert done.added["trips"] == len(document["trips"])
    assert not any(rows(book).values())


def test_shots_may_stand_in_for_each_other_in_any_order(document: dict[str, Any], tmp_path: Path) -> None:
    first, second = document["shots"][:2]
    first["fallback_for_id"], second["fallback_for_id"] = second["id"], first["id"]
    first["continues_id"] = second["id"]
    book = new_book(tmp_path, "b.sqlite")
    import_document(book, from_document(document, "a.json"), "a.json")
    with book.reading() as desk:
        shot = desk.shots.get(first["id"])
    assert shot is not None
    assert (shot.fallback_for_id, shot.continues_id) == (second["id"], second["id"])


def test_no_character_of_a_document_can_steer_a_terminal() -> None:
    text = json_text({"a": "\x1b[2J \x9b \u202e \x7f"})
    assert text.isascii()
    assert json.loads(text) == {"a": "\x1b[2J \x9b \u202e \x7f"}
