"""Every row comes back bit for bit, whatever was done to it, and only what changed is remembered."""

import math
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.domain.errors import ConflictError
from logbook.domain.keeper import Keeper
from logbook.domain.nouns import NOUNS
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.store.book import Book
from logbook.store.changes.journal import KEPT, Change, Run
from logbook.store.changes.objects import TABLES
from logbook.store.desk import Desk
from tests.examples import examples

Clock = Callable[[], datetime]
NOW = datetime(2031, 10, 14, 18, 45, 7, 123456, tzinfo=UTC)


def trip(slug: str = "valley", **fields: Any) -> Trip:
    return Trip(**new_record(NOW), slug=slug, title=slug, **fields)


def keeper(of: Trip, number: int, **fields: Any) -> Keeper:
    known = {"slug": f"k-{number}", "file": f"K_{number}.JPG", "path": f"/p/K_{number}.JPG", "size_bytes": 1}
    return Keeper(
        **new_record(NOW), trip_id=of.id, hash=f"{number:064}", format="JPEG", **{**known, **fields}
    )


def rows(path: Path, *, exactly: bool = False) -> dict[str, list[dict[str, Any]]]:
    """Every row of every noun as SQLite holds it; when it was last written is left out unless `exactly`."""
    result = {}
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        for name in NOUNS:
            found = connection.execute(f"SELECT rowid AS place, * FROM {name} ORDER BY rowid")
            result[name] = [
                {key: value for key, value in dict(row).items() if exactly or key != "updated"}
                for row in found
            ]
    return result


def raw(path: Path, statement: str, *values: Any) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute(statement, values).fetchall()
        connection.commit()
        return found


def opened(book: Book, run: str, now: Clock) -> Book:
    return Book(book.path, now, create=False, run=Run(run, f"command {run}"))


def undo(book: Book) -> None:
    with book.writing() as desk:
        desk.journal.take_back()


def changes(book: Book) -> tuple[Change, ...]:
    with book.writing() as desk:
        return desk.journal.all()


def test_a_new_book_remembers_no_change(book: Book) -> None:
    assert changes(book) == ()


def test_a_transaction_that_changes_nothing_leaves_no_change_behind(book: Book) -> None:
    with book.writing() as desk:
        desk.trips.add(trip())
    before = changes(book)
    with book.writing() as desk:
        held = desk.trips.all()[0]
        desk.trips.put(held)
    assert changes(book) == before


def test_transactions_of_one_run_are_one_change_and_another_run_between_parts_them(
    book: Book, now: Clock
) -> None:
    first, second = opened(book, "a", now), opened(book, "b", now)
    for by, slug in ((first, "one"), (first, "two"), (second, "three"), (first, "four")):
        with by.writing() as desk:
            desk.trips.add(trip(slug))
    told = [(one.command, [effect.name for effect in one.effects]) for one in changes(book)]
    assert told == [("command a", ["four"]), ("command b", ["three"]), ("command a", ["one", "two"])]


def test_what_another_program_wrote_is_a_change_of_its_own(book: Book, now: Clock) -> None:
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(trip())
    raw(book.path, "UPDATE trip SET title = 'From outside'")
    with opened(book, "b", now).writing() as desk:
        desk.trips.add(trip("other"))
    assert [one.command for one in changes(book)] == ["command b", "", "command a"]
    undo(book)
    undo(book)
    with book.reading() as desk:
        assert [one.title for one in desk.trips.all()] == ["valley"]


def last_command(book: Book) -> str | None:
    with book.reading() as desk:
        return desk.journal.last_command()


def test_the_last_command_is_told_without_settling_anything(book: Book, now: Clock) -> None:
    assert last_command(book) is None
    by = opened(book, "a", now)
    with by.writing() as desk:
        desk.trips.add(trip())
    assert last_command(book) == "command a"
    with opened(book, "b", now).writing() as desk:  # without effect
        desk.trips.add(trip("other"))
        (other,) = (one for one in desk.trips.all() if one.slug == "other")
        desk.trips.remove([other.id])
    assert last_command(book) == "command a"
    raw(book.path, "UPDATE trip SET title = 'From outside'")
    assert last_command(book) == ""
    assert last_command(book) == "", "it is still nobody's"
    assert [one.command for one in changes(book)] == ["", "command a"]
    for told in ("command a", None):
        undo(book)
        assert last_command(book) == told


@pytest.mark.slow
def test_only_the_last_changes_are_kept(book: Book, now: Clock) -> None:
    for number in range(KEPT + 7):
        with opened(book, str(number), now).writing() as desk:
            desk.trips.add(trip(f"trip-{number}"))
    assert [one.command for one in changes(book)] == [f"command {n}" for n in reversed(range(7, KEPT + 7))]
    for _ in range(KEPT):
        undo(book)
    assert changes(book) == ()
    assert raw(book.path, "SELECT count(*) FROM change_row") == [(0,)]
    with book.reading() as desk:
        assert [one.slug for one in desk.trips.all()] == [f"trip-{number}" for number in range(7)]


def test_a_record_that_comes_back_is_a_new_version_and_the_old_ones_are_superseded(
    book: Book, tmp_path: Path
) -> None:
    ticks = iter(NOW + timedelta(seconds=second) for second in range(100))
    later = Book(book.path, lambda: next(ticks), create=False, run=Run("a", ""))
    made = trip()
    with later.writing() as desk:
        desk.trips.add(made)
    again = Book(book.path, lambda: next(ticks), create=False, run=Run("b", ""))
    with again.writing() as desk:
        edited = replace(made, title="Other", updated=again.now())
        desk.trips.put(edited)
    undo(again)
    with book.reading() as desk:
        held = desk.trips.all()[0]
    assert replace(held, updated=made.updated) == made
    assert held.updated not in (made.updated, edited.updated)
    versions = {version for (version,) in raw(book.path, "SELECT version FROM earlier WHERE id = ?", made.id)}
    assert versions == {f"{one.updated:%Y-%m-%dT%H:%M:%S.%fZ}" for one in (made, edited)}


def test_a_removed_record_that_comes_back_supersedes_its_removal(book: Book, now: Clock) -> None:
    made = trip()
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(made)
    with opened(book, "b", now).writing() as desk:
        desk.trips.remove([made.id])
    (removed_at,) = raw(book.path, "SELECT at FROM removal WHERE id = ?", made.id)[0]
    undo(book)
    superseded = raw(book.path, "SELECT version FROM earlier WHERE id = ? ORDER BY seq", made.id)
    assert (f"gone {removed_at}",) in superseded


def test_what_came_from_another_book_goes_back_without_a_trace(book: Book, now: Clock) -> None:
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(trip())
    before = rows(book.path, exactly=True), raw(book.path, "SELECT * FROM earlier"), changes(book)
    with opened(book, "b", now).writing(taken_in=True) as desk:
        desk.trips.add(trip("other"))
        desk.trips.put(replace(desk.trips.all()[0], title="Theirs", updated=NOW + timedelta(days=1)))
    assert raw(book.path, "SELECT count(*) FROM earlier") == [(1,)]
    undo(book)
    assert (rows(book.path, exactly=True), raw(book.path, "SELECT * FROM earlier"), changes(book)) == before
    assert raw(book.path, "SELECT * FROM removal") == []


def test_a_book_that_no_longer_fits_is_left_as_it_is(book: Book, now: Clock) -> None:
    made = trip()
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(made)
    with opened(book, "b", now).writing() as desk:
        desk.trips.put(replace(made, title="Other", updated=NOW + timedelta(days=1)))
    raw(book.path, "DELETE FROM trip")
    raw(book.path, "DELETE FROM change_row WHERE verb = 'removed'")  # as if its trigger had never run
    before = rows(book.path), changes(book)
    with pytest.raises(ConflictError, match="no longer matches it; nothing was changed"):
        undo(book)
    assert (rows(book.path), changes(book)) == before


def test_a_record_does_not_come_back_where_its_trip_is_gone(book: Book, now: Clock) -> None:
    made = trip()
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(made)
        desk.keepers.add(keeper(made, 1))
    with opened(book, "b", now).writing() as desk:
        desk.keepers.remove([one.id for one in desk.keepers.all()])
    raw(book.path, "DELETE FROM trip")
    raw(book.path, "DELETE FROM change_row WHERE table_name = 'trip' AND verb = 'removed'")
    before = rows(book.path), changes(book)
    with pytest.raises(ConflictError, match="no longer matches it; nothing was changed"):
        undo(book)
    assert (rows(book.path), changes(book)) == before


NUMBERS = (0.1 + 0.2, math.pi * 1e-9, 5e-324, 1.7976931348623157e308, 89.99999999999999, 1 / 3)


@pytest.mark.parametrize("number", NUMBERS)
def test_numbers_come_back_bit_for_bit(book: Book, now: Clock, number: float) -> None:
    made = trip()
    with opened(book, "a", now).writing() as desk:
        desk.trips.add(made)
        desk.keepers.add(keeper(made, 1, altitude_m=number, exposure_s=Fraction(1, 3)))
    before = rows(book.path, exactly=True)["keeper"]
    for by, act in (("b", "UPDATE keeper SET altitude_m = 7.5"), ("c", "DELETE FROM keeper")):
        with opened(book, by, now).writing():
            pass
        raw(book.path, act)
        undo(book)
        after = rows(book.path, exactly=True)["keeper"]
        assert [row["altitude_m"].hex() for row in after] == [number.hex()]
        assert [row | {"updated": 0} for row in after] == [row | {"updated": 0} for row in before]


Act = tuple[str, int, str]
ACTS = st.lists(
    st.lists(
        st.tuples(
            st.sampled_from(("add", "edit", "remove", "trip")),
            st.integers(0, 5),
            st.sampled_from(("", "note", "a 'quoted' note; --", "Ünïcode ☃ \x85", "long " * 50)),
        ),
        max_size=6,
    ),
    max_size=8,
)


def act(desk: Desk, one: Act, when: datetime) -> None:
    what, number, text = one
    of = desk.trips.first(slug="valley")
    if of is None:
        if what == "trip":
            desk.trips.add(trip(private_names=(text[:100].strip() or "x",)))
        return
    held = desk.keepers.first(slug=f"k-{number}")
    if what == "add" and held is None:
        values = {"note": text, "f_number": number / 3, "filters": (text,) if number % 2 else None}
        provenance = {"filters": Provenance.ASSUMED} if number % 2 else {}
        desk.keepers.add(replace(keeper(of, number, **values), provenance=provenance))
    elif what == "edit" and held is not None:
        desk.keepers.put(replace(held, note=text, altitude_m=number * 0.1, updated=when))
    elif what == "remove" and held is not None:
        desk.keepers.remove([held.id])
    elif what == "trip":
        desk.keepers.remove([one.id for one in desk.keepers.all()])
        desk.trips.put(replace(of, summary=text, day_ends_at=time(number), updated=when))


@pytest.mark.slow
@settings(max_examples=examples(0.12))
@given(history=ACTS)
def test_taking_changes_back_one_by_one_goes_through_every_state_the_book_had(
    tmp_path_factory: pytest.TempPathFactory, history: list[list[Act]]
) -> None:
    path = tmp_path_factory.mktemp("undo") / "book.sqlite"
    ticks = iter(NOW + timedelta(microseconds=step) for step in range(1, 10**9))
    states = []
    for number, acts in enumerate(history):
        book = Book(path, lambda: next(ticks), create=True, run=Run(str(number), str(number)))
        before = rows(path, exactly=True)
        with book.writing() as desk:
            for one in acts:
                act(desk, one, book.now())
        if rows(path, exactly=True) != before:
            states.append(before)
    book = Book(path, lambda: next(ticks), create=True)
    for before in reversed(states):
        was = {
            name: [{key: value for key, value in row.items() if key != "updated"} for row in table]
            for name, table in before.items()
        }
        undo(book)
        assert rows(path) == was
    assert changes(book) == ()


def test_the_journal_names_no_table_of_a_noun(book: Book) -> None:
    assert not set(TABLES) & set(NOUNS)
