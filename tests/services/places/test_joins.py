"""Two records of one place become one: nothing refers to the one that went, and nothing else is lost."""

import json
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from logbook.domain.day import DayLine
from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.names import name_key
from logbook.domain.night import NightAnswer
from logbook.domain.record import new_record
from logbook.domain.words import ConditionKind, Disclosure, LessonVerb, Provenance, SubjectKind, TripodRule
from logbook.services import kinds, records
from logbook.services.books import checks, merges, undo
from logbook.services.books.merges import undecided
from logbook.services.dayfiles.days import read_day
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.places.joins import Differing, PlacesJoined, join_places
from logbook.services.plans import outcomes
from logbook.store.book import Book
from tests.examples import examples, first
from tests.services.adding import add_to_trip
from tests.services.books.test_undo import rows
from tests.services.exports.random_books import books
from tests.services.exports.test_book_json import put

ON = date(2031, 10, 14)
NOW = datetime(2031, 10, 20, tzinfo=UTC)
DAY = """---
trip: valley
date: 2031-10-14
---
## Old ledge 17:20-18:45 shooting
- tries: 14
- crowd: dozens at 17:20
- keepers 0412: nd8, tripod
- lesson keep: Stay longer
"""


def again(book: Book) -> Book:
    """The same book, in another run of the program."""
    return Book(book.path, book.now, create=False)


@pytest.fixture
def full(book: Book, keepers: Path, tmp_path: Path) -> Book:
    """A book whose quarry ledge is there twice, each with something of its own."""
    take_in(book, keepers, trip=None)
    old = {"title": "Old ledge", "site": "quarry", "facing_deg": 315.0, "tripod_rule": TripodRule.AWKWARD}
    records.add(book, kinds.VIEWPOINT, old | {"hazards": "Loose rock", "also_called": ("The Pulpit",)})
    records.edit(
        book, kinds.VIEWPOINT, "quarry-ledge", {"hazards": "Ice", "latitude_deg": 38.2, "longitude_deg": 73.4}
    )
    outcomes.plan_shot(book, None, {"title": "Ledge at dawn", "viewpoint": "old-ledge"}, None)
    note_keepers(book, None, "0413", {"viewpoint": "old-ledge"})
    seen = {"kind": ConditionKind.RULE, "note": "No tripods", "on_date": ON, "viewpoint": "old-ledge"}
    add_to_trip(book, kinds.CONDITION, None, seen, None)
    path = tmp_path / "day.md"
    path.write_text(DAY, encoding="utf-8")
    read_day(book, path)
    return book


def mentions(book: Book, text: str) -> list[str]:
    """Where a text stands in any row of any noun."""
    return [name for name, found in rows(book).items() if text in repr(found)]


@pytest.mark.slow
def test_whatever_referred_to_the_one_refers_to_the_other(full: Book) -> None:
    with full.reading() as desk:
        old, kept = (desk.viewpoints.first(slug=slug) for slug in ("old-ledge", "quarry-ledge"))
        assert old is not None
        assert kept is not None
        before = {table: len(found) for table, found in rows(full).items()}
    done = join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge")
    assert {one.table for one in done.moved} == {"shot", "visit", "condition", "lesson", "keeper"}
    assert mentions(full, old.id) == []
    assert {table: len(found) for table, found in rows(full).items()} == before | {
        "viewpoint": before["viewpoint"] - 1
    }
    with full.reading() as desk:
        joined = desk.viewpoints.get(kept.id)
        assert joined is not None
        assert (joined.facing_deg, joined.tripod_rule, joined.hazards) == (315.0, TripodRule.AWKWARD, "Ice")
        assert joined.also_called == ("Old ledge", "The Pulpit")
        assert {one.viewpoint_id for one in desk.visits.all()} == {kept.id}
        assert {one.section for one in desk.day_lines.all()} <= {"quarry-ledge", ""}
    assert done.taken == ("facing_deg", "tripod_rule")
    assert done.differing == (Differing("hazards", "Ice", "Loose rock"),)
    assert not checks.check_book(full).wrong


def test_a_dry_run_says_the_same_and_changes_nothing(full: Book) -> None:
    before = rows(full)
    told = join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge", dry_run=True)
    assert rows(full) == before
    done = join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge")
    assert (told.moved, told.taken, told.differing) == (done.moved, done.taken, done.differing)


def test_undo_parts_them_again(full: Book) -> None:
    before = rows(full)
    join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge")
    undo.undo(again(full))
    assert rows(full) == before


def test_the_names_of_the_one_find_the_other_and_its_day_file_reads_as_before(
    full: Book, tmp_path: Path
) -> None:
    join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge")
    for name in ("old-ledge", "the pulpit", "Old Ledge"):
        assert records.show(full, kinds.VIEWPOINT, name).records[0].slug == "quarry-ledge"
    done = read_day(full, tmp_path / "day.md")
    assert (done.added, done.changed, done.removed, done.loose, done.elsewhere) == (0, 0, 0, (), ())


def test_what_was_taken_keeps_where_it_came_from(full: Book) -> None:
    with full.writing() as desk:
        old = records.find(desk, kinds.VIEWPOINT, "old-ledge")
        desk.viewpoints.put(replace(old, provenance={"facing_deg": Provenance.INFERRED}))
    join_places(again(full), "viewpoint", "old-ledge", "quarry-ledge")
    kept = records.show(full, kinds.VIEWPOINT, "quarry-ledge").records[0]
    assert kept.provenance_of("facing_deg") is Provenance.INFERRED


def test_sites_bring_their_viewpoints_along_and_twins_are_told(full: Book) -> None:
    other = {"title": "Quarry gorge", "kinds": (SubjectKind.GORGE,), "walk_min": 20}
    records.add(full, kinds.SITE, other)
    records.add(full, kinds.VIEWPOINT, {"title": "Dune crest", "site": "quarry-gorge"})
    done = join_places(again(full), "site", "quarry-gorge", "quarry")
    assert done.twins == (("dune-crest-2", "dune-crest"),)
    with full.reading() as desk:
        (site,) = desk.sites.all()
        assert (site.slug, site.kinds, site.walk_min) == ("quarry", (SubjectKind.GORGE,), 20)
        assert len(desk.viewpoints.all(site_id=site.id)) == 4


def test_one_place_is_not_joined_into_itself(full: Book) -> None:
    with pytest.raises(WrongUseError, match="is already old-ledge; name another viewpoint"):
        join_places(full, "viewpoint", "the pulpit", "old-ledge")
    with pytest.raises(NotFoundError):
        join_places(full, "viewpoint", "nowhere", "old-ledge")


E, A, W = Disclosure.EXACT, Disclosure.AREA, Disclosure.WITHHELD


STRICTER = [
    (E, W, A, W), (W, E, A, W), (A, W, A, W), (E, A, A, A), (A, E, A, A), (E, E, W, E),
    (None, W, E, W), (W, None, E, W), (E, None, A, A), (E, None, W, W), (E, None, E, E),
    (None, E, A, None), (A, None, W, W), (A, None, E, A), (None, A, E, A), (None, A, W, None),
    (None, A, A, A), (None, None, W, None),
]  # fmt: skip


@pytest.mark.parametrize(
    ("noun", "kept", "gone", "trip", "then"),
    first([(noun, *one) for one in STRICTER for noun in ("viewpoint", "site")], 6),
)
def test_of_what_others_are_shown_the_stricter_holds(
    full: Book, noun: str, kept: Any, gone: Any, trip: Disclosure, then: Any
) -> None:
    records.edit(full, kinds.TRIP, "valley", {"location_shown": trip})
    records.add(full, kinds.SITE, {"title": "Weir"})
    names = ("weir", "quarry") if noun == "site" else ("old-ledge", "quarry-ledge")
    for name, shown in zip(names, (gone, kept), strict=True):
        records.edit(full, kinds.BY_WORD[noun], name, {"location_shown": shown})
    done = join_places(again(full), noun, *names)
    after = records.show(full, kinds.BY_WORD[noun], names[1]).records[0].location_shown
    assert after is then
    assert done.shown is (then if then is not kept else None)


@pytest.mark.slow
def test_a_spot_of_a_withheld_site_stays_withheld_elsewhere(full: Book) -> None:
    records.add(full, kinds.SITE, {"title": "Hide", "location_shown": W})
    records.add(full, kinds.VIEWPOINT, {"title": "Nest", "site": "hide", "location_shown": E})
    seen = {
        "kind": ConditionKind.RULE,
        "note": "Keep away",
        "on_date": ON,
        "viewpoint": "nest",
        "site": "hide",
    }
    add_to_trip(full, kinds.CONDITION, None, seen, None)
    lesson = {"verb": LessonVerb.KEEP, "text": "Whisper", "viewpoint": "nest", "site": "hide"}
    records.add(full, kinds.LESSON, lesson)
    assert join_places(again(full), "viewpoint", "nest", "quarry-ledge").shown is W
    with full.reading() as desk:
        (site,) = desk.sites.all(slug="quarry")
        assert {one.site_id for one in desk.conditions.all(note="Keep away")} == {site.id}
        assert {one.site_id for one in desk.lessons.all(text="Whisper")} == {site.id}


@pytest.fixture
def forked(full: Book, tmp_path: Path) -> tuple[Book, Book]:
    """The book, and its copy on another computer."""
    other = tmp_path / "studio" / "book.sqlite"
    other.parent.mkdir()
    shutil.copyfile(full.path, other)
    return again(full), Book(other, full.now, create=False)


def nouns(book: Book) -> Any:
    return {name: {row["id"]: {**row, "place": 0} for row in found} for name, found in rows(book).items()}


def merge(book: Book, other: Book) -> Any:
    return merges.merge(again(book), other.path, undecided)


@pytest.mark.slow
@pytest.mark.parametrize("first", [0, 1])
def test_a_merge_brings_nothing_back_and_what_the_copy_added_goes_to_the_kept_one(
    forked: tuple[Book, Book], first: int
) -> None:
    ours, theirs = forked
    with ours.reading() as desk:
        old = records.find(desk, kinds.VIEWPOINT, "old-ledge").id
    join_places(ours, "viewpoint", "old-ledge", "quarry-ledge")
    visit = {"viewpoint": "old-ledge", "on_date": date(2031, 10, 15), "arrived_at": time(6)}
    add_to_trip(theirs, kinds.VISIT, None, visit, None)
    here, there = forked if first == 0 else (theirs, ours)
    assert merge(here, there).is_done
    assert merge(there, here).is_done
    assert nouns(ours) == nouns(theirs)
    assert mentions(ours, old) == []
    with ours.reading() as desk:
        assert desk.viewpoints.first(slug="old-ledge") is None
        assert len(desk.visits.all()) == 2


@pytest.mark.slow
def test_a_join_that_was_taken_back_parts_them_in_the_merged_book_too(forked: tuple[Book, Book]) -> None:
    ours, theirs = forked
    before = nouns(ours)
    join_places(ours, "viewpoint", "old-ledge", "quarry-ledge")
    merge(theirs, ours)
    undo.undo(again(ours))
    assert merge(theirs, ours).is_done
    assert merge(ours, theirs).is_done
    assert nouns(ours) == nouns(theirs) == before


@pytest.mark.slow
@settings(max_examples=examples(0.06))
@given(books(), st.data())
def test_of_any_book_no_record_is_lost_and_no_reference_stays(told: Any, data: st.DataObject) -> None:
    noun, shelf = data.draw(st.sampled_from([("site", "sites"), ("viewpoint", "viewpoints")]))
    assume(len(told[shelf]) > 1)
    gone, kept = told[shelf][:2]
    with tempfile.TemporaryDirectory() as folder:
        book = Book(Path(folder) / "book.sqlite", lambda: NOW, create=True)
        put(book, told)
        with book.writing() as desk:
            for trip in told["trips"][:1]:
                base: dict[str, Any] = {"trip_id": trip.id, "on_date": ON}
                desk.night_answers.add(
                    NightAnswer(**new_record(NOW), **base, key="plan", answer=json.dumps({"at": gone.id}))
                )
                line = {"file": "a.md", "section": gone.slug, "line": 1, "text": "x", "noun": "visit"}
                seen = json.dumps({"viewpoint_id": gone.id})
                desk.day_lines.add(DayLine(**new_record(NOW), **base, **line, record_id="r", seen=seen))
        before = plainly(book)
        done = join_places(book, noun, gone.slug, kept.slug)
        after = plainly(book)
        assert gone.id not in repr(after)
        expected = {(table, key): row for (table, key), row in before.items() if key != gone.id}
        assert after.keys() == expected.keys()
        for at, row in expected.items():
            if at[1] != kept.id:
                assert without_site(after[at]) == without_site(swapped(row, gone, kept)), at
        assert_joined(before, after, noun, gone.id, kept.id, done)
        with book.reading() as desk:
            assert not list(desk.checks.broken_references())
        index = checks.check_index(book)
        assert (index.missing, index.changed, index.left_over) == (0, 0, 0)


def plainly(book: Book) -> dict[tuple[str, str], dict[str, Any]]:
    with closing(sqlite3.connect(book.path)) as connection:
        connection.row_factory = sqlite3.Row
        return {
            (name, row["id"]): {**dict(row), "updated": None}
            for name in rows(book)
            for row in connection.execute(f"SELECT * FROM {name}")
        }


def swapped(row: dict[str, Any], gone: Any, kept: Any) -> dict[str, Any]:
    anew = {k: v.replace(gone.id, kept.id) if isinstance(v, str) else v for k, v in row.items()}
    if "section" in anew and hasattr(gone, "site_id") and anew["section"] == gone.slug:
        anew["section"] = kept.slug
    return anew


def without_site(row: dict[str, Any]) -> dict[str, Any]:
    """What names a viewpoint and its site follows it to another site, which has a test of its own."""
    return {name: value for name, value in row.items() if name != "site_id" or not row.get("viewpoint_id")}


def assert_joined(
    before: dict[tuple[str, str], dict[str, Any]],
    after: dict[tuple[str, str], dict[str, Any]],
    noun: str,
    gone_id: str,
    kept_id: str,
    done: PlacesJoined,
) -> None:
    old, kept, joined = before[noun, gone_id], before[noun, kept_id], after[noun, kept_id]
    is_unknown: Callable[[Any], bool] = lambda value: value in (None, "[]", "unknown")  # noqa: E731
    differing = {one.field for one in done.differing}
    for name, value in joined.items():
        if name in ("also_called", "location_shown", "provenance", "site_id", "updated"):
            continue
        assert value == (old[name] if is_unknown(kept[name]) else kept[name]), name
        lost = (
            not is_unknown(old[name])
            and value != old[name]
            and name not in ("id", "slug", "title", "created")
        )
        assert not lost or name in differing or (name.endswith("tude_deg") and "position" in differing), name
    said = {name_key(name) for row in (old, kept) for name in json.loads(row["also_called"])}
    there = {name_key(name) for name in (joined["title"], *json.loads(joined["also_called"]))}
    assert said | {name_key(old["title"])} <= there
