"""Another short name: unique, said where it is taken, and nothing that went by the old one is lost."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import ConflictError, InvalidValueError, NotFoundError
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord
from logbook.services import kinds, records
from logbook.services.books import undo
from logbook.services.dayfiles.days import DayRead, read_day
from logbook.services.keepers.importing import take_in
from logbook.services.plans import outcomes, packing
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.examples import first
from tests.services.books.test_undo import rows

ON = date(2031, 10, 14)
DAY = """---
trip: valley
date: 2031-10-14
---
## quarry-ledge 17:20-18:45 shooting
- tries: 14
- crowd: dozens at 17:20
- shot bridge-flow: partly, light
- kit pol: used
- keepers 0412: nd8, tripod
"""


@pytest.fixture
def full(book: Book, keepers: Path, tmp_path: Path) -> Book:
    """A book with one of each noun that has a slug, keepers and a day file."""
    take_in(book, keepers, trip=None)
    lesson = {"verb": LessonVerb.KEEP, "text": "Wait longer", "site": "quarry"}
    records.add(book, kinds.LESSON, lesson)
    read(book, tmp_path)
    return book


def read(book: Book, folder: Path, text: str = DAY) -> DayRead:
    path = folder / "day.md"
    path.write_text(text, encoding="utf-8")
    return read_day(book, path)


def rename(book: Book, noun: str, old: str, new: str) -> Any:
    if noun == "shot":
        return outcomes.edit_shot(book, old, {"slug": new}, None).records[0].shot
    if noun == "kit":
        return packing.edit_kit(book, old, {"slug": new}, None, {}).records[0].item
    return records.edit(book, kinds.BY_WORD[noun], old, {"slug": new}).records[0]


NAMED = [
    ("trip", "valley"),
    ("site", "quarry"),
    ("viewpoint", "quarry-ledge"),
    ("shot", "bridge-flow"),
    ("kit", "pol"),
    ("visit", "quarry-ledge-2031-10-14"),
    ("condition", "crowd-quarry-ledge-2031-10-14"),
    ("lesson", "wait-longer"),
]


@pytest.mark.parametrize(("noun", "old"), first(NAMED, 2))
def test_whatever_has_a_short_name_takes_another(full: Book, noun: str, old: str) -> None:
    before = rows(full)
    renamed = rename(Book(full.path, full.now, create=False), noun, old, "new-name")
    assert renamed.slug == "new-name"
    with full.reading() as desk:
        assert records.find(desk, kinds.BY_WORD[noun], "new-na").id == renamed.id
    undo.undo(full)
    assert rows(full) == before


@pytest.mark.parametrize(("noun", "old"), NAMED)
def test_a_short_name_that_is_none_or_is_taken_is_refused(full: Book, noun: str, old: str) -> None:
    with pytest.raises(InvalidValueError, match="cannot be a short name"):
        rename(full, noun, old, "No Name")
    other = {"viewpoint": "dune-crest", "shot": "bridge-rough"}.get(noun)
    if other is not None:
        with pytest.raises(ConflictError, match=f'There is already a {noun} called "{other}"'):
            rename(full, noun, old, other)
    assert rename(full, noun, old, old).slug == old


@pytest.mark.slow
def test_a_known_outcome_does_not_hold_the_name_of_its_plan(full: Book) -> None:
    assert rename(full, "shot", "bridge-flow", "silk").slug == "silk"
    with pytest.raises(ConflictError, match="was not changed"):
        outcomes.edit_shot(full, "silk", {"slug": "silk-2", "iso": 100}, None)


def test_the_old_name_of_a_shot_is_answered_with_the_nearest(full: Book) -> None:
    outcomes.edit_shot(full, "bridge-rough", {"title": "Stones at noon", "slug": "bridge-stones"}, None)
    with pytest.raises(NotFoundError, match="bridge-stones"):
        outcomes.show_shot(full, "bridge-rough")


def test_a_place_is_still_found_by_a_name_that_is_not_its_title(full: Book) -> None:
    place = records.edit(full, kinds.VIEWPOINT, "quarry-ledge", {"title": "The Pulpit", "slug": "pulpit"})
    assert place.records[0].also_called == ("quarry-ledge",)
    assert records.show(full, kinds.VIEWPOINT, "quarry-ledge").records == place.records
    assert rename(full, "viewpoint", "dune-crest", "crest").also_called == ()  # its title says it


def test_a_day_file_with_the_old_name_of_a_place_is_read_as_before(full: Book, tmp_path: Path) -> None:
    rename(full, "viewpoint", "quarry-ledge", "pulpit")
    rename(full, "trip", "valley", "high-valley")
    again = read(full, tmp_path, DAY.replace("trip: valley", "trip: high-valley"))
    assert (again.added, again.changed, again.removed, again.loose) == (0, 0, 0, ())


@pytest.mark.parametrize(("noun", "old"), [("shot", "bridge-flow"), ("kit", "pol")])
def test_a_line_with_an_old_name_takes_nothing_back_and_is_told(
    full: Book, tmp_path: Path, noun: str, old: str
) -> None:
    if noun == "shot":
        outcomes.edit_shot(full, old, {}, OutcomeSaid(OutcomeWord.OPEN))
        outcomes.edit_shot(full, old, {"title": "Water drawn smooth"}, OutcomeSaid(OutcomeWord.PARTLY))
        rename(full, noun, old, "new-name")
    else:
        packing.edit_kit(full, old, {"slug": "new-name", "title": "New name"}, None, {})
    before = {name: found for name, found in rows(full).items() if name != "loose_line"}
    again = read(full, tmp_path)
    assert [f"{noun} {old}" in one.text for one in again.loose] == [True]
    assert again.removed == 0
    assert {name: found for name, found in rows(full).items() if name != "loose_line"} == before
    with full.reading() as desk:
        assert [one.word for one in desk.outcomes.all()] == [OutcomeWord.PARTLY]


def test_a_line_that_left_the_file_is_still_taken_back(full: Book, tmp_path: Path) -> None:
    outcomes.edit_shot(full, "bridge-rough", {"slug": "stones"}, None)
    assert read(full, tmp_path, DAY.replace("- shot bridge-flow: partly, light\n", "")).removed == 1
    with full.reading() as desk:
        assert desk.outcomes.all() == []
        assert [one.kind for one in desk.conditions.all()] == [ConditionKind.CROWD]
