"""Whatever a command did to the book, undo takes it back and says what."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import NotFoundError
from logbook.domain.nouns import NOUNS
from logbook.domain.words import OutcomeWord, Support
from logbook.services import kinds, records
from logbook.services.books import checks, undo
from logbook.services.dayfiles.days import read_day
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.plans import outcomes
from logbook.store.backups import Why, listed
from logbook.store.book import Book
from logbook.store.changes.journal import Run

Rows = dict[str, list[dict[str, Any]]]


def rows(book: Book) -> Rows:
    """Every row of every noun, whenever it was last written."""
    result = {}
    with closing(sqlite3.connect(book.path)) as connection:
        connection.row_factory = sqlite3.Row
        for name in NOUNS:
            found = connection.execute(f"SELECT rowid AS place, * FROM {name} ORDER BY rowid").fetchall()
            result[name] = [{**dict(row), "updated": None} for row in found]
    return result


@dataclass
class Typist:
    """Somebody who runs one command after another on one book."""

    book: Book
    runs: int = 0

    def __call__(self, command: str, act: Callable[[Book], object]) -> None:
        self.runs += 1
        act(Book(self.book.path, self.book.now, create=False, run=Run(str(self.runs), command)))


@pytest.fixture
def typed(book: Book) -> Typist:
    return Typist(book)


DAY = """---
trip: valley
date: 2031-10-14
---
Ice on the tent at six.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20
- wind: 4 from west
- shot bridge-flow: partly, light
- keepers 0412-0414: pol, braced
- lesson change: come before the coaches
- crowd: gone by ten, finally
"""


@pytest.mark.slow
def test_every_kind_of_command_is_taken_back_to_the_row(
    book: Book, typed: Typist, keepers: Path, tmp_path: Path
) -> None:
    day = tmp_path / "2031-10-14.md"
    day.write_text(DAY, encoding="utf-8")
    edited = tmp_path / "again" / "2031-10-14.md"
    edited.parent.mkdir()
    edited.write_text(DAY.replace("dozens", "none").replace("- wind: 4 from west\n", ""), encoding="utf-8")
    said = outcomes.OutcomeSaid(OutcomeWord.PARTLY, (), "a note", None)
    commands: dict[str, Callable[[Book], object]] = {
        "keeper note 0412-0415 --support tripod": lambda one: note_keepers(
            one, None, "0412-0415", {"support": Support.TRIPOD}
        ),
        "day read 2031-10-14.md": lambda one: read_day(one, day, trip=None),
        "day read again/2031-10-14.md": lambda one: read_day(one, edited, trip=None),
        "shot edit bridge-rough": lambda one: outcomes.edit_shot(one, "bridge-rough", {"iso": 200}, said),
        "keeper remove trn-0412": lambda one: records.remove(
            one, kinds.KEEPER, "trn-0412", with_dependents=True
        ),
        "viewpoint remove quarry-ledge --with-dependents": lambda one: records.remove(
            one, kinds.VIEWPOINT, "quarry-ledge", with_dependents=True
        ),
        "trip remove valley --with-dependents": lambda one: records.remove(
            one, kinds.TRIP, "valley", with_dependents=True
        ),
        "trip add again": lambda one: records.add(one, kinds.TRIP, {"title": "High valley"}, "valley"),
    }
    states = []
    for command, act in commands.items():
        states.append((command, rows(book)))
        typed(command, act)
        assert rows(book) != states[-1][1], command
    for command, before in reversed(states):
        done = undo.undo(book)
        assert done.change.command == command
        assert rows(book) == before, command
        assert checks.check_index(book).in_step, "what find asks goes back too"
    assert not checks.check_book(book).wrong


@pytest.mark.slow
def test_an_import_in_batches_is_taken_back_as_one(
    book: Book, typed: Typist, tmp_path: Path, picture: Callable[..., Path]
) -> None:
    before = rows(book)
    for number in range(70):
        picture(tmp_path / "pictures" / f"TRN_{number:04}.JPG", look=number)
    typed("keeper import pictures", lambda one: take_in(one, tmp_path / "pictures", trip=None))
    done = undo.undo(book)
    assert [effect.verb for effect in done.change.effects] == ["added"] * 70
    assert rows(book) == before
    typed("keeper import pictures", lambda one: take_in(one, tmp_path / "pictures", trip=None))
    with book.reading() as desk:
        assert len(desk.keepers.all()) == 70, "an import that was taken back can be done again"


def test_a_dry_run_tells_and_changes_nothing(book: Book, typed: Typist) -> None:
    typed("site add Coast", lambda one: records.add(one, kinds.SITE, {"title": "Coast"}))
    before = book.path.read_bytes(), rows(book)
    told = undo.undo(book, dry_run=True)
    assert told.change.command == "site add Coast"
    assert [(one.table, one.name, one.verb) for one in told.change.effects] == [("site", "coast", "added")]
    assert told.backup is None
    assert rows(book) == before[1]
    assert listed(book.path) == ()


def test_the_book_as_it_was_before_an_undo_lies_among_the_backups(book: Book, typed: Typist) -> None:
    typed("site add Coast", lambda one: records.add(one, kinds.SITE, {"title": "Coast"}))
    before = rows(book)
    done = undo.undo(book)
    assert [one.why for one in listed(book.path)] == [Why.UNDO]
    assert done.backup is not None
    assert rows(Book(done.backup, book.now, create=False)) == before


def test_when_everything_is_taken_back_one_sentence_says_so(book: Book) -> None:
    while undo.changes(book):
        undo.undo(book)
    assert not any(rows(book).values())
    with pytest.raises(NotFoundError, match="There is nothing to undo"):
        undo.undo(book)


def test_what_another_command_built_on_is_taken_back_in_order_only(book: Book, typed: Typist) -> None:
    typed("site add Coast", lambda one: records.add(one, kinds.SITE, {"title": "Coast"}))
    typed(
        "viewpoint add Ledge",
        lambda one: records.add(one, kinds.VIEWPOINT, {"title": "Ledge", "site": "coast"}),
    )
    first, second = undo.undo(book), undo.undo(book)
    assert (first.change.command, second.change.command) == ("viewpoint add Ledge", "site add Coast")
    assert first.next is not None
    assert first.next.command == second.change.command
