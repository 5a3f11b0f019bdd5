"""The verbs that nouns share; another short name is unique, and nothing that went by the old one is lost."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import (
    AmbiguousNameError,
    ConflictError,
    InUseError,
    InvalidValueError,
    NotFoundError,
    WrongUseError,
)
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord, Provenance
from logbook.services import kinds, records
from logbook.services.books import undo
from logbook.services.dayfiles.days import DayRead, read_day
from logbook.services.keepers.importing import take_in
from logbook.services.plans import outcomes, packing
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.examples import first
from tests.services.adding import add_to_trip
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


def visit(book: Book, **more: Any) -> str:
    said = {"viewpoint": "quarry-ledge", "on_date": date(2031, 10, 14)} | more
    return str(add_to_trip(book, kinds.VISIT, None, said, None).records[0].slug)


def test_a_record_gets_a_slug_from_its_title_and_a_number_where_it_is_taken(book: Book) -> None:
    made = [records.add(book, kinds.SITE, {"title": "Río Søre"}).records[0].slug for _ in range(3)]
    assert made == ["rio-sore", "rio-sore-2", "rio-sore-3"]


def test_a_slug_that_is_taken_is_refused(book: Book) -> None:
    with pytest.raises(ConflictError, match='There is already a site called "quarry"'):
        records.add(book, kinds.SITE, {"title": "Another"}, "quarry")


def test_visits_conditions_and_lessons_are_named_after_what_they_are_about(book: Book) -> None:
    assert [visit(book), visit(book)] == ["quarry-ledge-2031-10-14", "quarry-ledge-2031-10-14-2"]
    seen = {"kind": ConditionKind.CROWD, "level": "none", "on_date": date(2031, 10, 14)}
    named = add_to_trip(book, kinds.CONDITION, None, seen | {"viewpoint": "quarry-ledge"}, None)
    assert named.records[0].slug == "crowd-quarry-ledge-2031-10-14"
    assert add_to_trip(book, kinds.CONDITION, None, seen, None).records[0].slug == "crowd-2031-10-14"
    lesson = records.add(
        book, kinds.LESSON, {"verb": LessonVerb.KEEP, "text": "Stay until the lamps come on."}
    )
    assert lesson.records[0].slug == "stay-until-the-lamps-come-on"


def test_a_reference_is_given_by_slug_or_the_beginning_of_one(book: Book) -> None:
    found = records.add(book, kinds.VIEWPOINT, {"title": "Rail", "site": "qua"})
    assert found.names[found.records[0].site_id] == "quarry"


def test_an_unknown_name_is_answered_with_the_nearest(book: Book) -> None:
    with pytest.raises(NotFoundError, match="nearest name is quarry-ledge"):
        records.show(book, kinds.VIEWPOINT, "quary-lege")
    with pytest.raises(AmbiguousNameError, match="bridge-flow and bridge-rough"):
        outcomes.show_shot(book, "bridge")


def test_a_title_is_understood_where_the_slug_is_unlike_it(book: Book) -> None:
    records.add(book, kinds.VIEWPOINT, {"title": "Rim road barrier", "site": "quarry"}, "north-barrier")
    assert records.show(book, kinds.VIEWPOINT, "rim road Barrier").records[0].slug == "north-barrier"
    records.add(book, kinds.VIEWPOINT, {"title": "Rim road barrier", "site": "quarry"}, "south-barrier")
    with pytest.raises(NotFoundError, match="No viewpoint is called"):
        records.show(book, kinds.VIEWPOINT, "Rim road barrier")


def test_a_trip_must_be_named_only_where_there_are_several(book: Book) -> None:
    assert visit(book)
    records.add(book, kinds.TRIP, {"title": "Salt coast"})
    with pytest.raises(WrongUseError, match=r"--trip: salt-coast, valley"):
        visit(book)


def test_an_edit_that_says_nothing_is_refused(book: Book) -> None:
    with pytest.raises(WrongUseError, match="Say what to change"):
        records.edit(book, kinds.TRIP, "valley", {})
    with pytest.raises(WrongUseError, match="Say what to change"):
        outcomes.edit_shot(book, "bridge-flow", {}, None)
    with pytest.raises(WrongUseError, match="Say what to change"):
        packing.edit_kit(book, "pol", {}, None, {})


def test_an_edit_changes_what_was_said_and_when_and_nothing_else(book: Book) -> None:
    before = records.show(book, kinds.TRIP, "valley").records[0]
    after = records.edit(book, kinds.TRIP, "valley", {"client": "A school"}).records[0]
    changed = {
        name for name in type(before).__dataclass_fields__ if getattr(before, name) != getattr(after, name)
    }
    assert changed == {"client", "updated"}
    assert records.show(book, kinds.TRIP, "valley").records[0] == after


def test_saying_again_what_is_so_already_does_not_touch_the_record(book: Book) -> None:
    before = records.show(book, kinds.TRIP, "valley").records[0]
    assert records.edit(book, kinds.TRIP, "valley", {"title": "High valley"}).records[0] == before


def test_an_invalid_edit_changes_nothing(book: Book) -> None:
    before = records.show(book, kinds.SITE, "quarry").records[0]
    with pytest.raises(InvalidValueError, match="latitude"):
        records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 95.0, "longitude_deg": 0.0})
    assert records.show(book, kinds.SITE, "quarry").records[0] == before


@pytest.mark.parametrize("value", ["Asia/Dushanbe", "UTC"])
def test_what_a_person_says_is_stated_even_where_it_confirms_what_was_assumed(book: Book, value: str) -> None:
    with book.writing() as desk:
        trip = desk.trips.all()[0]
        desk.trips.put(replace(trip, provenance={"zone": Provenance.ASSUMED, "brief": Provenance.INFERRED}))
    after = records.edit(book, kinds.TRIP, "valley", {"zone": value}).records[0]
    assert after.provenance_of("zone") is Provenance.STATED
    assert after.provenance == {"brief": Provenance.INFERRED}


def test_a_record_that_others_refer_to_is_not_removed(book: Book) -> None:
    visit(book)
    with pytest.raises(InUseError) as refusal:
        records.remove(book, kinds.VIEWPOINT, "quarry-ledge", with_dependents=False)
    assert "shot bridge-flow, visit quarry-ledge-2031-10-14; nothing was removed" in str(refusal.value)
    assert records.show(book, kinds.VIEWPOINT, "quarry-ledge")


def test_a_refusal_counts_many_records_and_stays_short(book: Book) -> None:
    seen = {"kind": ConditionKind.CROWD, "level": "few", "viewpoint": "quarry-ledge"}
    for day in range(1, 15):
        add_to_trip(book, kinds.CONDITION, None, seen | {"on_date": date(2031, 10, day)}, None)
    with pytest.raises(InUseError, match="by 14 conditions, 1 shot; nothing was removed") as refusal:
        records.remove(book, kinds.VIEWPOINT, "quarry-ledge", with_dependents=False)
    assert len(str(refusal.value)) < 240


def test_a_refusal_counts_what_has_no_name(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    with pytest.raises(InUseError, match="still needed by 1 outcome; nothing"):
        records.remove(book, kinds.SHOT, "bridge-flow", with_dependents=False)


def test_with_dependents_removes_what_cannot_stand_alone_and_lets_the_rest_go(book: Book) -> None:
    slug = visit(book)
    seen = {"kind": ConditionKind.CROWD, "level": "few", "on_date": date(2031, 10, 14)}
    add_to_trip(book, kinds.CONDITION, None, seen | {"viewpoint": "quarry-ledge"}, "crowd")
    gone = records.remove(book, kinds.VIEWPOINT, "quarry-ledge", with_dependents=True)
    assert records.in_words(gone.removed) == [f"visit {slug}"]
    assert set(records.in_words(gone.let_go)) == {"condition crowd", "shot bridge-flow"}
    assert records.show(book, kinds.CONDITION, "crowd").records[0].viewpoint_id is None
    assert outcomes.show_shot(book, "bridge-flow").records[0].shot.viewpoint_id is None
    with pytest.raises(NotFoundError):
        records.show(book, kinds.VISIT, slug)


def test_a_trip_goes_with_all_that_is_its_own(book: Book) -> None:
    visit(book)
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.REPLACED, replaced_by="bridge-rough"))
    outcomes.edit_shot(book, "bridge-rough", {"fallback_for": "bridge-flow"}, None)
    records.remove(book, kinds.TRIP, "valley", with_dependents=True)
    with book.reading() as desk:
        assert not any(shelf.all() for shelf in (desk.trips, desk.shots, desk.outcomes, desk.visits))
        assert [one.slug for one in desk.viewpoints.all()] == ["quarry-ledge", "dune-crest"]


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
