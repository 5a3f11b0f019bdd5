"""What was observed on a visit stays with it, and survives it."""

from collections.abc import Callable
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.condition import Condition
from logbook.domain.errors import WrongUseError
from logbook.domain.words import ConditionKind
from logbook.services import conditions, kinds, records
from logbook.services.books.undo import undo
from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.draft import draft_day
from logbook.store.book import Book
from logbook.store.changes.journal import Run
from tests.services.adding import add_to_trip

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
ON = date(2031, 10, 14)
TWICE = """---
trip: valley
date: 2031-10-14
---
## Quarry ledge 07:00-08:00
- crowd: none
- tries: 3

## Quarry ledge 17:20-18:45
- crowd: dozens
- closure: north rim road
"""


def written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def placed(book: Book) -> dict[str, time | None]:
    """By what was seen, the arrival of the visit that it names."""
    with book.reading() as desk:
        arrivals = {one.id: one.arrived_at for one in desk.visits.all()}
        return {
            str(one.level or one.note): arrivals[one.visit_id] if one.visit_id else None
            for one in desk.conditions.all()
        }


def test_a_line_under_one_of_two_headings_belongs_to_that_visit(book: Book, tmp_path: Path) -> None:
    read_day(book, written(tmp_path / "day.md", TWICE))
    assert placed(book) == {"none": time(7), "dozens": time(17, 20), "north rim road": time(17, 20)}


def test_a_line_moved_under_the_other_heading_belongs_there(book: Book, tmp_path: Path, dump: Dump) -> None:
    file = written(tmp_path / "day.md", TWICE)
    read_day(book, file)
    line = "- closure: north rim road\n"
    written(file, TWICE.replace(line, "").replace("- tries: 3\n", f"- tries: 3\n{line}"))
    done = read_day(book, file)
    assert (done.added, done.changed, done.removed) == (0, 1, 0)
    assert placed(book)["north rim road"] == time(7)
    before = dump()
    read_day(book, file)
    assert dump() == before


def test_the_draft_of_such_a_day_reads_back_into_the_same_records(
    book: Book, tmp_path: Path, dump: Dump
) -> None:
    read_day(book, written(tmp_path / "day.md", TWICE))
    before = dump()["condition"]
    read_day(book, written(tmp_path / "again.md", draft_day(book, "valley", ON).text))
    assert dump()["condition"] == before


@pytest.mark.slow
def test_the_same_said_in_another_file_and_other_words_is_the_same_observation(
    book: Book, tmp_path: Path, dump: Dump
) -> None:
    read_day(
        book, written(tmp_path / "day.md", TWICE.replace("crowd: dozens", "crowd: dozens, none at 18:30"))
    )
    before = dump()["condition"]
    parted = TWICE.replace("- crowd: dozens\n", "- crowd: dozens\n- crowd: none at 18:30\n")
    done = read_day(book, written(tmp_path / "again.md", parted))
    assert (done.added, done.changed) == (0, 0)
    assert dump()["condition"] == before


def test_a_heading_that_leaves_the_file_takes_its_visit_and_lines_along(book: Book, tmp_path: Path) -> None:
    file = written(tmp_path / "day.md", TWICE)
    read_day(book, file)
    done = read_day(book, written(file, TWICE[: TWICE.index("## Quarry ledge 17")]))
    assert (done.removed, done.elsewhere) == (3, ())
    assert placed(book) == {"none": time(7)}


def evening(book: Book) -> str:
    fields = {"viewpoint": "quarry-ledge", "on_date": ON, "arrived_at": time(17, 20)}
    made = add_to_trip(book, kinds.VISIT, None, fields, None)
    return str(made.records[0].slug)


def noted(book: Book, **fields: Any) -> Condition:
    made = conditions.note(book, None, {"kind": ConditionKind.CROWD, "level": "few", **fields}, None)
    found: Condition = made.records[0]
    return found


def test_naming_a_visit_says_the_place_and_the_date(book: Book) -> None:
    one = noted(book, visit=evening(book))
    with book.reading() as desk:
        visit = desk.visits.all()[0]
    assert (one.visit_id, one.viewpoint_id, one.on_date) == (visit.id, visit.viewpoint_id, ON)


@pytest.mark.parametrize(
    "other", [{"viewpoint": "dune-crest"}, {"on_date": date(2031, 10, 15)}, {"site": "quarry"}]
)
def test_a_place_or_date_that_is_not_the_visits_is_a_slip(book: Book, other: dict[str, Any]) -> None:
    with pytest.raises(WrongUseError):
        noted(book, visit=evening(book), **other)


def test_without_visit_or_date_it_asks_for_one(book: Book) -> None:
    with pytest.raises(WrongUseError, match="--on"):
        noted(book)


def test_moved_to_another_place_it_leaves_its_visit(book: Book) -> None:
    one = noted(book, visit=evening(book))
    changed = conditions.edit(book, one.slug, {"viewpoint": "dune-crest"}).records[0]
    assert changed.visit_id is None


def test_a_removed_visit_leaves_what_was_seen_at_its_place(book: Book) -> None:
    slug = evening(book)
    one = noted(book, visit=slug)
    again = Book(book.path, book.now, create=False, run=Run("2", "visit remove"))
    records.remove(again, kinds.VISIT, slug, with_dependents=False)
    with book.reading() as desk:
        left = desk.conditions.get(one.id)
    assert left is not None
    assert (left.visit_id, left.viewpoint_id, left.on_date) == (None, one.viewpoint_id, ON)
    undo(book)
    with book.reading() as desk:
        back = desk.conditions.get(one.id)
    assert back is not None
    assert back.visit_id == one.visit_id
