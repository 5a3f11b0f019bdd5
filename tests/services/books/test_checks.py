"""A check finds what was broken on purpose, names it, and repairs no more than it says."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.keeper import KeeperSet
from logbook.domain.record import new_record
from logbook.domain.words import SetKind
from logbook.services.books import checks
from logbook.services.books.checks import CheckArea
from logbook.store.book import Book

Found = list[tuple[str, str, str]]


def spoil(book: Book, statement: str, *values: Any) -> None:
    """Write what no program of ours would: without foreign keys."""
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute(statement, values)
        connection.commit()


def found(book: Book, **how: Any) -> Found:
    return [(one.kind, one.where, one.what) for one in checks.check_book(book, **how).findings]


def test_a_sound_book_has_no_finding(book: Book, keepers: Path) -> None:
    checked = checks.check_book(book, by_hash=True)
    assert (checked.findings, checked.originals) == ((), 8)
    assert checked.records > 14


SPOILT: dict[str, tuple[str, CheckArea, str, str]] = {
    "a window that ends before it begins": (
        "UPDATE shot SET window_from = '18:00:00.000000', window_to = '17:00:00.000000'"
        " WHERE slug = 'bridge-flow'",
        CheckArea.VALUE,
        "shot bridge-flow",
        "ends (17:00) before it begins (18:00)",
    ),
    "an exposure of nothing": (
        "UPDATE keeper SET exposure_s = '0/1' WHERE slug = 'trn-0412'",
        CheckArea.VALUE,
        "keeper trn-0412",
        "shutter speed",
    ),
    "an aperture of nothing": (
        "UPDATE keeper SET f_number = 0 WHERE slug = 'trn-0412'",
        CheckArea.VALUE,
        "keeper trn-0412",
        "an aperture of f/0 is not possible",
    ),
    "a picture from the future": (
        "UPDATE keeper SET taken_utc = '2099-01-01T00:00:00.000000Z' WHERE slug = 'trn-0413'",
        CheckArea.VALUE,
        "keeper trn-0413",
        "taken in the future (2099-01-01)",
    ),
    "an instant to come": (
        "UPDATE trip SET updated = '2099-01-01T00:00:00.000000Z'",
        CheckArea.VALUE,
        "trip valley",
        "future (2099-01-01)",
    ),
    "a latitude of 95": (
        "UPDATE site SET latitude_deg = 95, longitude_deg = 1",
        CheckArea.ROW,
        "site",
        "latitude 95",
    ),
    "a word that is none": ("UPDATE kit SET kind = 'sofa'", CheckArea.ROW, "kit", "sofa"),
    "a list that is none": ("UPDATE site SET kinds = 'x['", CheckArea.ROW, "site", "Expecting value"),
    "a trip that ends before it starts": (
        "UPDATE trip SET starts_on = '2031-10-14', ends_on = '2031-10-01'",
        CheckArea.ROW,
        "trip",
        "before it starts",
    ),
    "bytes where text should be": ("UPDATE trip SET updated = x'ff00'", CheckArea.ROW, "trip", ""),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_value_that_cannot_be_is_named_and_no_repair_is_promised(
    book: Book, keepers: Path, what: str
) -> None:
    statement, kind, where, said = SPOILT[what]
    spoil(book, statement)
    (one,) = [one for one in checks.check_book(book).findings if one.kind is not CheckArea.INDEX]
    assert (one.kind, one.where) == (kind, where)
    assert said in one.what
    assert one.repair is None
    assert one.id is not None


@pytest.mark.parametrize(("begins", "ends"), [("23:00", "01:30"), ("02:00", "05:00"), ("20:00", "06:00")])
def test_a_window_over_midnight_or_the_days_end_is_none_that_runs_backwards(
    book: Book, begins: str, ends: str
) -> None:
    spoil(book, f"UPDATE shot SET window_from = '{begins}:00.000000', window_to = '{ends}:00.000000'")
    assert [one for one in found(book) if one[0] == CheckArea.VALUE] == []


def test_a_reference_to_nothing_becomes_unknown(book: Book, keepers: Path) -> None:
    spoil(book, "UPDATE keeper SET viewpoint_id = 'nowhere' WHERE slug = 'trn-0412'")
    before = checks.check_book(book)
    assert [(one.kind, one.what) for one in before.wrong] == [
        (CheckArea.REFERENCE, "its viewpoint is not in the book")
    ]
    done = checks.repair_book(book, before)
    assert (len(done.done), done.after.wrong) == (1, ())
    assert done.backup is not None
    with book.reading() as desk:
        assert desk.keepers.all(slug="trn-0412")[0].viewpoint_id is None


def test_a_record_that_cannot_stand_without_what_is_gone_is_told_and_stays(book: Book) -> None:
    spoil(book, "UPDATE viewpoint SET site_id = 'nowhere' WHERE slug = 'dune-crest'")
    before = checks.check_book(book)
    (one,) = [one for one in before.wrong if one.kind is CheckArea.REFERENCE]
    assert (one.where, one.repair) == ("viewpoint", None)
    after = checks.repair_book(book, before).after
    assert [one.kind for one in after.wrong] == [CheckArea.REFERENCE]


@pytest.mark.parametrize(("gone", "left"), [(1, 2), (2, 0)])
def test_a_set_goes_on_without_the_keepers_that_are_gone(
    book: Book, keepers: Path, gone: int, left: int
) -> None:
    with book.writing() as desk:
        ids = tuple(one.id for one in desk.keepers.all()[:3])
        trip = desk.trips.all()[0]
        desk.sets.add(
            KeeperSet(**new_record(book.now()), trip_id=trip.id, kind=SetKind.BURST, keeper_ids=ids)
        )
    for keeper_id in ids[:gone]:
        spoil(book, "DELETE FROM keeper WHERE id = ?", keeper_id)
    before = checks.check_book(book)
    assert [one.kind for one in before.wrong] == [CheckArea.SET]
    assert checks.repair_book(book, before).after.wrong == ()
    with book.reading() as desk:
        assert sum(len(one.keeper_ids) for one in desk.sets.all()) == left


def test_an_index_that_was_tampered_with_is_made_anew(book: Book) -> None:
    spoil(book, "DELETE FROM search_document WHERE rowid = (SELECT min(rowid) FROM search_document)")
    before = checks.check_book(book)
    assert [one.kind for one in before.wrong] == [CheckArea.INDEX]
    assert checks.repair_book(book, before).after.wrong == ()


def test_indexes_of_the_file_that_lost_a_row_are_made_anew(book: Book, keepers: Path) -> None:
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'ix_keeper_hash'").fetchone()
        connection.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'ix_keeper_hash'",
                           (sql.replace("(hash)", "(hash) WHERE 0"),))  # fmt: skip
        connection.commit()
    with closing(sqlite3.connect(book.path)) as connection:  # rows now come and go without this index
        connection.execute("UPDATE keeper SET hash = 'x' || substr(hash, 2) WHERE slug = 'trn-0412'")
        connection.commit()
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'ix_keeper_hash'", (sql,))
        connection.commit()
    before = checks.check_book(book)
    assert CheckArea.FILE in [one.kind for one in before.wrong]
    assert CheckArea.FILE not in [one.kind for one in checks.repair_book(book, before).after.wrong]


def test_missing_and_changed_originals_are_found_whatever_their_size(book: Book, keepers: Path) -> None:
    (keepers / "TRN_0412.JPG").unlink()
    with (keepers / "TRN_0413.JPG").open("ab") as file:
        file.write(b"more")
    content = bytearray((keepers / "TRN_0414.JPG").read_bytes())
    content[-1] ^= 1
    (keepers / "TRN_0414.JPG").write_bytes(content)
    told = [(where, what.split(" ")[1:3]) for kind, where, what in found(book) if kind == CheckArea.ORIGINAL]
    assert told == [
        ("keeper trn-0412", ["is", "missing:"]),
        ("keeper trn-0413", ["has", "changed:"]),
        ("keeper trn-0414", ["has", "changed:"]),
    ]
    by_hash = [where for kind, where, _ in found(book, by_hash=True) if kind == CheckArea.ORIGINAL]
    assert by_hash == ["keeper trn-0412", "keeper trn-0413", "keeper trn-0414"]


def test_what_was_never_read_on_this_machine_is_not_called_compared(book: Book, keepers: Path) -> None:
    spoil(book, "DELETE FROM known_file")  # as in a book that came from another computer
    spoil(book, "UPDATE keeper SET hash = ? WHERE slug = 'trn-0415'", "0" * 64)
    checked = checks.check_book(book)
    assert (checked.wrong, checked.unread) == ((), 8)
    checked = checks.check_book(book, by_hash=True)
    assert ([one.where for one in checked.wrong], checked.unread) == (["keeper trn-0415"], 0)


def test_originals_are_counted_off(book: Book, keepers: Path) -> None:
    seen: list[tuple[int, int]] = []
    checks.check_book(book, by_hash=True, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(number, 8) for number in range(1, 9)]


def test_lines_to_sort_out_are_told_and_no_fault(book: Book, tmp_path: Path) -> None:
    from logbook.services.dayfiles.days import read_day

    day = tmp_path / "2031-10-14.md"
    day.write_text(
        "---\ntrip: valley\ndate: 2031-10-14\n---\n## Quarry ledge\n- crowd: gone\n", encoding="utf-8"
    )
    read_day(book, day, trip=None)
    checked = checks.check_book(book)
    assert [one.kind for one in checked.findings] == [CheckArea.TO_SORT_OUT]
    assert checked.wrong == ()


def test_nothing_is_written_by_a_check(book: Book, keepers: Path, dump: Callable[[], object]) -> None:
    spoil(book, "UPDATE keeper SET viewpoint_id = 'nowhere'")
    checks.check_book(book)
    before = dump()
    checks.check_book(book, by_hash=True)
    assert dump() == before


def test_a_file_name_that_is_not_utf_8_is_found_again(book: Book, tmp_path: Path, picture: Any) -> None:
    import os

    from logbook.services.keepers.importing import take_in

    made = picture(tmp_path / "odd" / "x.JPG")
    made.rename(os.fsdecode(os.fsencode(made.parent) + b"/caf\xe9.JPG"))
    take_in(book, made.parent, trip=None)
    assert [one for one in found(book, by_hash=True) if one[0] == CheckArea.ORIGINAL] == []
