"""A day file that was read wrongly is taken back, or moves when its date is put right."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.words import OutcomeWord, Support
from logbook.services.books.undo import undo
from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.unread import unread_day
from logbook.services.keepers.keeping import note_keepers
from logbook.services.plans import outcomes
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from logbook.store.changes.journal import Run

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
RIGHT, WRONG = date(2031, 10, 14), date(2031, 10, 13)
DAY = """---
trip: valley
date: {day}
---
Ice on the tent at six.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20, none at 18:30
- closure: north rim road
- tries: 14
- shot bridge-flow: partly, light
- keepers 0412-0414: nd8, braced
- lesson change: come before the coaches
- kit pol: used
- shot bridge-nowhere: made

The coaches leave at six.
"""


def written(path: Path, day: date = RIGHT) -> Path:
    path.write_text(DAY.format(day=day), encoding="utf-8")
    return path


def of_dates(book: Book) -> dict[str, set[date | None]]:
    with book.reading() as desk:
        shelves = (desk.visits, desk.conditions, desk.lessons, desk.days, desk.day_lines, desk.loose_lines)
        return {shelf.table.name: {one.on_date for one in shelf.all()} for shelf in shelves}


def test_what_a_file_brought_is_taken_back_whole(
    book: Book, keepers: Path, tmp_path: Path, dump: Dump
) -> None:
    before = dump()
    read_day(book, written(tmp_path / "day.md"))
    done = unread_day(book, None, file="day.md", on_date=None)
    assert (done.files, done.on_date, done.removed, done.loose, done.kept) == (("day.md",), RIGHT, 11, 1, ())
    for table in ("visit", "condition", "lesson", "outcome", "day_line", "loose_line"):
        assert dump()[table] == before[table] == []
    with book.reading() as desk:
        assert all((one.filters, one.support, one.viewpoint_id) == (None,) * 3 for one in desk.keepers.all())
        assert [(one.journal, one.zone) for one in desk.days.all()] == [(None, None)]
        assert [one.used for one in desk.packed.all()] == [None]


def test_read_again_it_is_there_again(book: Book, keepers: Path, tmp_path: Path) -> None:
    file = written(tmp_path / "day.md")
    read_day(book, file)
    unread_day(book, None, file="day.md", on_date=None)
    again = read_day(book, file)
    assert (again.removed, again.elsewhere) == (0, ())
    with book.reading() as desk:
        assert [len(shelf.all()) for shelf in (desk.visits, desk.conditions, desk.outcomes)] == [1, 3, 1]


def test_only_telling_changes_nothing(book: Book, keepers: Path, tmp_path: Path, dump: Dump) -> None:
    read_day(book, written(tmp_path / "day.md"))
    before = dump()
    assert unread_day(book, None, file=None, on_date=RIGHT, dry_run=True).removed == 11
    assert dump() == before


@pytest.mark.slow
def test_what_was_changed_elsewhere_since_stays_and_is_told(
    book: Book, keepers: Path, tmp_path: Path
) -> None:
    read_day(book, written(tmp_path / "day.md"))
    note_keepers(book, None, "0413", {"support": Support.TRIPOD})
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    done = unread_day(book, None, file="day.md", on_date=None)
    assert len(done.kept) == 2
    assert any("keepers 0412-0414" in told and "support was changed elsewhere" in told for told in done.kept)
    assert any("outcome was changed elsewhere" in told for told in done.kept)
    with book.reading() as desk:
        assert [one.word for one in desk.outcomes.all()] == [OutcomeWord.MADE]
        assert {one.file: one.support for one in desk.keepers.all() if one.support} == {
            "TRN_0413.JPG": Support.TRIPOD
        }


@pytest.mark.slow
def test_what_was_said_before_in_the_same_words_stays(book: Book, keepers: Path, tmp_path: Path) -> None:
    note_keepers(book, None, "0412", {"support": Support.BRACED})
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.PARTLY))
    file = written(tmp_path / "day.md")
    for _ in range(2):
        read_day(book, file)
    unread_day(book, None, file="day.md", on_date=None)
    with book.reading() as desk:
        (outcome,) = desk.outcomes.all()
        noted = {one.file: (one.filters, one.support) for one in desk.keepers.all() if one.support}
    assert (outcome.word, outcome.reasons) == (OutcomeWord.PARTLY, ())
    assert noted == {"TRN_0412.JPG": (None, Support.BRACED)}


def test_what_another_file_says_too_stays(book: Book, keepers: Path, tmp_path: Path) -> None:
    read_day(book, written(tmp_path / "day.md"))
    other = tmp_path / "other.md"
    other.write_text(f"---\ntrip: valley\ndate: {RIGHT}\n---\n- keeper 0412: braced\n", encoding="utf-8")
    read_day(book, other)
    done = unread_day(book, None, file="day.md", on_date=None)
    assert any("other.md says it too" in told for told in done.kept)
    with book.reading() as desk:
        found = {one.file: (one.filters, one.support) for one in desk.keepers.all() if one.support}
    assert found == {"TRN_0412.JPG": (None, Support.BRACED)}


def test_again_there_is_nothing_left_to_take_back(book: Book, keepers: Path, tmp_path: Path) -> None:
    read_day(book, written(tmp_path / "day.md"))
    unread_day(book, None, file="day.md", on_date=None)
    with pytest.raises(NotFoundError, match=r"nothing from day\.md"):
        unread_day(book, None, file="day.md", on_date=None)


def test_a_name_of_several_days_wants_one_of_them(book: Book, tmp_path: Path) -> None:
    file = tmp_path / "today.md"
    for day in (WRONG, RIGHT):
        file.write_text(f"---\ndate: {day}\n---\n## Quarry ledge\n- tries: {day.day}\n", encoding="utf-8")
        read_day(book, file)
    with pytest.raises(WrongUseError, match="2031-10-13, 2031-10-14; add --on"):
        unread_day(book, None, file="today.md", on_date=None)
    assert unread_day(book, None, file="today.md", on_date=WRONG).removed == 1
    with book.reading() as desk:
        assert [one.tries for one in desk.visits.all()] == [14]


@pytest.mark.parametrize("name", ["day.md", "2031-10-14.md"])
def test_a_file_read_again_under_its_right_date_moves(
    book: Book, keepers: Path, tmp_path: Path, dump: Dump, name: str
) -> None:
    wrong = read_day(book, written(tmp_path / "day.md", WRONG))
    assert any("only from 2031-10-14" in one.why for one in wrong.loose)
    with book.reading() as desk:
        visits = {one.id for one in desk.visits.all()}
        seen = {one.id: one.visit_id for one in desk.conditions.all()}
    done = read_day(book, written(tmp_path / name))
    assert done.moved_from == WRONG
    assert {one.text for one in done.loose} == {"- shot bridge-nowhere: made"}
    dates = of_dates(book)
    assert dates.pop("day") == {WRONG, RIGHT}  # the day stands, without its text
    assert dates == {table: {RIGHT} for table in dates}
    with book.reading() as desk:
        assert {one.id for one in desk.visits.all()} == visits
        assert {one.id: one.visit_id for one in desk.conditions.all()} == seen
        assert {one.on_date: one.journal for one in desk.days.all()} == {
            WRONG: None,
            RIGHT: "Ice on the tent at six.",
        }
        assert [one.slug for one in desk.visits.all()] == ["quarry-ledge-2031-10-14"]
        assert len([one for one in desk.keepers.all() if one.support is Support.BRACED]) == 3
        assert len(desk.outcomes.all()) == 1
    before = dump()
    again = read_day(book, tmp_path / name)
    assert (again.moved_from, again.added, again.changed, again.removed) == (None, 0, 0, 0)
    assert dump() == before


def test_a_name_used_every_evening_moves_nothing(book: Book, tmp_path: Path) -> None:
    file = tmp_path / "today.md"
    body = "## Quarry ledge\n- support: tripod\n"
    for day, tries in ((WRONG, 3), (RIGHT, 5)):
        text = f"---\ndate: {day}\n---\nDay {tries}.\n\n{body}- tries: {tries}\n"
        file.write_text(text, encoding="utf-8")
        assert read_day(book, file).moved_from is None
    with book.reading() as desk:
        assert {one.on_date: one.tries for one in desk.visits.all()} == {WRONG: 3, RIGHT: 5}


def test_a_moved_file_is_taken_back_by_undo(book: Book, keepers: Path, tmp_path: Path, dump: Dump) -> None:
    read_day(book, written(tmp_path / "day.md", WRONG))
    before = of_dates(book)
    later = Book(book.path, book.now, create=False, run=Run("2", "day read"))
    read_day(later, written(tmp_path / "day.md"))
    assert of_dates(book) != before
    undo(book)
    assert of_dates(book) == before
