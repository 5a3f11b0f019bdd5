"""What is damaged and follows from the records is made anew; records that nobody wrote so are named."""

import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

import pytest

from logbook.domain.errors import BookError
from logbook.services import kinds, records
from logbook.services.books import backups, checks
from logbook.services.books.checks import CheckArea
from logbook.services.find.limits import Limits
from logbook.services.find.searching import find
from logbook.services.find.synonyms import synonyms_with
from logbook.store import engine, remake
from logbook.store.book import Book
from logbook.store.text_index.objects import SHADOWS

PAGE = 4096  # bytes
TITLE = "Slate coast"


def anew(book: Book, *, even_damaged: bool = False) -> Book:
    return Book(book.path, book.now, create=False, even_damaged=even_damaged)


@pytest.fixture
def written(book: Book) -> Book:
    """A book with a site to find, all of it in its one file."""
    records.add(book, kinds.SITE, {"title": TITLE})
    return book


def pages_of(path: Path, name: str) -> list[int]:
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("SELECT pageno FROM dbstat WHERE name = ? ORDER BY pageno", (name,))
        return [row[0] for row in found]


def overwrite(path: Path, page: int, content: bytes, at: int = 0) -> None:
    with path.open("r+b") as file:
        file.seek((page - 1) * PAGE + at)
        file.write(content)


def of_words(path: Path) -> None:
    for name in SHADOWS:
        for page in pages_of(path, name):
            overwrite(path, page, b"\xa5" * PAGE)


def by_sql(*statements: str) -> Callable[[Path], None]:
    def damage(path: Path) -> None:
        with closing(sqlite3.connect(path)) as connection:
            for statement in statements:
                connection.execute(statement)
            connection.commit()

    return damage


OF_INDEX: dict[str, Callable[[Path], None]] = {
    "its pages overwritten": of_words,
    "rows missing": by_sql("DELETE FROM search_text_content", "DELETE FROM search_text_docsize"),
    "rows garbled": by_sql("UPDATE search_text_data SET block = randomblob(40)"),
    "its structure garbled": by_sql("UPDATE search_text_data SET block = x'ff' WHERE id = 10"),
    "dropped partly": by_sql(
        "PRAGMA writable_schema = ON", "DELETE FROM sqlite_master WHERE name = 'search_text_idx'"
    ),
    "its words dropped": by_sql("DROP TABLE search_text"),
    "its notes dropped": by_sql("DROP TABLE search_stale"),
    "a trigger dropped": by_sql("DROP TRIGGER search_site_insert"),
    "another word": by_sql("UPDATE search_text_content SET c0 = 'Slope coast' WHERE c0 = 'Slate coast'"),
}


def titles(book: Book) -> list[str]:
    with anew(book).reading() as desk:
        return [one.title for one in desk.sites.all()]


def find_slate(book: Book) -> list[str]:
    return [one.title for one in find(book, "slate", Limits(), synonyms_with(()), limit=9).results]


@pytest.mark.slow
@pytest.mark.parametrize("what", OF_INDEX)
def test_a_book_goes_on_without_its_index_and_gets_it_back(written: Book, what: str) -> None:
    before = titles(written)
    OF_INDEX[what](written.path)
    assert titles(written) == before
    opened = anew(written)
    with suppress(BookError):
        assert any(TITLE in title.replace("\x02", "").replace("\x03", "") for title in find_slate(opened))
    opened = anew(written)
    records.add(opened, kinds.SITE, {"title": "Written after"})
    assert titles(written) == [*before, "Written after"]
    opened = anew(written, even_damaged=True)
    repaired = checks.repair_book(opened, checks.check_book(opened))
    assert not repaired.after.wrong
    assert titles(written) == [*before, "Written after"]
    assert find_slate(anew(written))
    with closing(sqlite3.connect(written.path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


@pytest.mark.parametrize("what", ["its pages overwritten", "its structure garbled", "its notes dropped"])
def test_making_the_index_anew_is_enough(written: Book, what: str) -> None:
    OF_INDEX[what](written.path)
    assert checks.rebuild_index(anew(written, even_damaged=True)).in_step
    assert find_slate(anew(written))


@pytest.mark.slow
def test_a_repair_that_is_stopped_leaves_the_book_as_it_was(
    written: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_words(written.path)
    before = titles(written)

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    opened = anew(written, even_damaged=True)
    looked = checks.check_book(opened)
    with monkeypatch.context() as patched:
        patched.setattr(remake, "write_into", stop)
        with pytest.raises(KeyboardInterrupt):
            checks.repair_book(opened, looked)
    assert titles(written) == before
    assert not checks.repair_book(opened, looked).after.wrong


def test_a_repair_writes_over_nothing_that_another_window_wrote(
    written: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = engine.write_into

    def meanwhile(*given: object, **named: object) -> None:
        records.add(anew(written), kinds.SITE, {"title": "Meanwhile"})
        real(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(remake, "write_into", meanwhile)
    with pytest.raises(BookError, match="another window"):
        anew(written).make_anew()
    assert "Meanwhile" in titles(written)


def test_a_letter_that_nobody_wrote_is_seen_and_not_read(written: Book) -> None:
    backup = backups.back_up(written)
    content = written.path.read_bytes()
    (page,) = pages_of(written.path, "site")
    at = content.index(TITLE.encode(), (page - 1) * PAGE) - (page - 1) * PAGE
    overwrite(written.path, page, b"P", at + 1)
    with pytest.raises(BookError, match=r"the site with id [0-9a-f]{32}: changed from outside"):
        anew(written)
    opened = anew(written, even_damaged=True)
    looked = checks.check_book(opened)
    assert [(one.kind, one.where) for one in looked.wrong] == [(CheckArea.ROW, "site")]
    assert checks.repair_book(opened, looked).done == ()
    backups.restore(written.path, str(backup), written.now)
    assert TITLE in titles(written)


def test_a_changed_record_is_taken_as_it_is_only_when_somebody_says_so(written: Book) -> None:
    content = written.path.read_bytes()
    (page,) = pages_of(written.path, "site")
    at = content.index(TITLE.encode(), (page - 1) * PAGE) - (page - 1) * PAGE
    overwrite(written.path, page, b"P", at)
    opened = anew(written, even_damaged=True)
    repaired = checks.repair_book(opened, checks.check_book(opened), accept=True)
    assert not repaired.after.wrong
    assert repaired.backup is not None
    assert "Plate coast" in titles(written)


def test_what_another_program_wrote_is_no_damage(written: Book) -> None:
    by_sql("UPDATE site SET title = 'By hand'", "DELETE FROM packed")(written.path)
    assert "By hand" in titles(written)
    records.add(anew(written), kinds.SITE, {"title": "After it"})
    assert not checks.check_book(anew(written)).wrong


@pytest.mark.slow
def test_a_damaged_index_of_a_table_takes_no_reference_away(written: Book) -> None:
    """By a damaged index what is referred to looks gone; the repair must not believe it."""
    with anew(written).reading() as desk:
        before = desk.viewpoints.all(), desk.sites.all()
    (page,) = pages_of(written.path, "sqlite_autoindex_site_1")
    overwrite(written.path, page, b"\0" * PAGE)
    with pytest.raises(BookError, match="check --repair"):
        anew(written)
    opened = anew(written, even_damaged=True)
    assert not checks.repair_book(opened, checks.check_book(opened)).after.wrong
    with anew(written).reading() as desk:
        assert (desk.viewpoints.all(), desk.sites.all()) == before


@pytest.mark.slow
def test_a_trigger_of_the_records_that_is_gone_is_made_anew(written: Book) -> None:
    by_sql("DROP TRIGGER change_of_site_added")(written.path)
    with pytest.raises(BookError, match="check --repair"):
        records.add(anew(written), kinds.SITE, {"title": "Unnoticed"})
    opened = anew(written, even_damaged=True)
    assert not checks.repair_book(opened, checks.check_book(opened)).after.wrong
    records.add(anew(written), kinds.SITE, {"title": "Noticed"})
