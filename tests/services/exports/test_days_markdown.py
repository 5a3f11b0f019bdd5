"""Days as Markdown: read again they change nothing; in an empty book with the same plan they give the day."""

import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.formats import ExportFormat
from logbook.domain.words import Provenance
from logbook.services.books.imports import import_document
from logbook.services.dayfiles.days import DayRead, read_day
from logbook.services.exports.book_json import book_records, from_document, to_document
from logbook.services.exports.trip_export import export_trip
from logbook.store.book import Book
from tests.services.exports.conftest import DAY
from tests.services.exports.moment import NOW

LEFT_BY_READING = ("visits", "conditions", "lessons", "outcomes", "days", "keepers", "packed")
OWN = ("id", "created", "updated", "slug", "file", "line")


def reading_of(book: Book, source: Book, trip: str, folder: Path) -> list[DayRead]:
    done = []
    for file in export_trip(source, trip, ExportFormat.MARKDOWN, private=True).files:
        (folder / file.name).write_text(file.text, encoding="utf-8")
        done.append(read_day(book, folder / file.name))
    return done


def noun_rows(book: Book) -> dict[str, Any]:
    tables = ("trip", "visit", "condition", "lesson", "outcome", "day", "keeper", "packed", "loose_line")
    with closing(sqlite3.connect(book.path)) as connection:
        return {name: connection.execute(f"SELECT * FROM {name} ORDER BY id").fetchall() for name in tables}


def demo_book(demo: Path, folder: Path) -> Book:
    shutil.copyfile(demo / "book.sqlite", folder / "demo.sqlite")
    return Book(folder / "demo.sqlite", lambda: NOW, create=False)


def test_a_written_day_read_again_changes_nothing(book: Book, tmp_path: Path) -> None:
    before = noun_rows(book)
    for day in reading_of(book, book, "high-valley", tmp_path):
        assert (day.added, day.changed, day.removed, day.loose) == (0, 0, 0, ()), day
    assert noun_rows(book) == before


@pytest.mark.slow
def test_the_demos_days_read_again_change_nothing(demo: Path, tmp_path: Path) -> None:
    book = demo_book(demo, tmp_path)
    before = noun_rows(book)
    days = reading_of(book, book, "high-valley-autumn", tmp_path)
    assert len(days) == 6
    for day in days:
        assert (day.added, day.changed, day.removed, day.loose, day.elsewhere) == (0, 0, 0, (), ()), day
    assert noun_rows(book) == before


def test_pictures_stand_under_the_visit_they_were_made_on(demo: Path, tmp_path: Path) -> None:
    """Pan edge was scouted at noon with one picture and shot in the evening with another."""
    files = export_trip(demo_book(demo, tmp_path), "high-valley-autumn", ExportFormat.MARKDOWN, private=True)
    (text,) = (one.text for one in files.files if "2025-10-17" in one.name)
    noon, evening = text.partition("## pan-edge")[2].split("## pan-edge")
    assert ["0468" in noon, "2036" in noon, "0468" in evening] == [False, True, True]


@pytest.mark.slow
def test_in_a_book_with_the_same_plan_the_days_are_the_same(demo: Path, tmp_path: Path) -> None:
    book = demo_book(demo, tmp_path)
    with book.reading() as desk:
        data = json.loads(json.dumps(to_document(book_records(desk), private=True)))
    for name in ("visits", "conditions", "lessons", "outcomes", "days", "day_lines", "loose_lines"):
        data[name] = []
    for keeper in data["keepers"]:
        keeper |= dict.fromkeys(("filters", "support", "shot_id", "viewpoint_id", "caption"))
        keeper["provenance"] = {
            name: word
            for name, word in keeper["provenance"].items()
            if word != "assumed" and name not in keeper
        } | {name: word for name, word in keeper["provenance"].items() if word == "camera"}
    for packed in data["packed"]:
        packed["used"] = None
    plan = Book(tmp_path / "plan.sqlite", lambda: NOW, create=True)
    import_document(plan, from_document(data, "plan.json"), "plan.json")
    for day in reading_of(plan, book, "high-valley-autumn", tmp_path):
        assert not day.loose, day
    assert content(plan) == content(book)


def content(book: Book) -> dict[str, list[str]]:
    """What the days of the trip say, without ids and what a second book cannot share."""
    with book.reading() as desk:
        trip = desk.trips.first(slug="high-valley-autumn")
        assert trip is not None
        visits = {one.id: one for one in desk.visits.all(trip_id=trip.id)}
        conditions = desk.conditions.all(trip_id=trip.id)
        keepers = desk.keepers.all(trip_id=trip.id)
        shots = {one.id for one in desk.shots.all(trip_id=trip.id)}
        found: dict[str, list[object]] = {
            "visits": [
                (
                    v.viewpoint_id,
                    v.on_date,
                    v.arrived_at,
                    v.departed_at,
                    v.purpose,
                    v.tries,
                    v.support,
                    v.journal,
                )
                for v in visits.values()
            ],
            "conditions": [
                (c.kind, c.on_date, c.at, c.viewpoint_id, c.level, c.direction, c.note, c.source)
                for c in conditions
            ],
            "lessons": [
                (one.verb, one.text, one.on_date, one.viewpoint_id, one.shown_to)
                for one in desk.lessons.all(trip_id=trip.id)
            ],
            "outcomes": [
                (o.shot_id, o.word, o.reasons, o.note, o.replaced_by_shot_id, o.replaced_by_keeper_id)
                for o in desk.outcomes.all()
                if o.shot_id in shots
            ],
            "days": [(one.on_date, one.journal, one.zone) for one in desk.days.all(trip_id=trip.id)],
            "keepers": [
                (k.slug, k.filters, k.support, k.shot_id, k.viewpoint_id, k.caption) for k in keepers
            ],
        }
    return {name: sorted(map(repr, ones)) for name, ones in found.items()}


def test_what_a_day_file_cannot_say_is_named_and_left_in_the_book(book: Book, tmp_path: Path) -> None:
    with book.writing() as desk:
        (visit, other), (crowd, _) = desk.visits.all(), desk.conditions.all()
        desk.visits.put(replace(visit, journal="- tries: 99 is no entry of mine"))
        desk.visits.remove([other.id])
        desk.conditions.put(replace(crowd, note="first line\nsecond line"))
    file, _ = export_trip(book, None, ExportFormat.MARKDOWN, private=True).files
    assert file.name == f"private-high-valley-{DAY}.md"
    assert "not in this file: a journal whose lines look like entries" in file.text
    assert "not in this file: condition closure-14, at a viewpoint without a visit" in file.text
    assert "99" not in file.text
    for day in reading_of(book, book, "high-valley", tmp_path):
        assert (day.changed, day.removed, day.loose) == (0, 0, ()), day


def test_a_place_that_is_only_proposed_stays_so(book: Book, tmp_path: Path) -> None:
    with book.writing() as desk:
        keeper = desk.keepers.first(slug="trn-0412")
        assert keeper is not None
        marks = {**keeper.provenance, "viewpoint_id": Provenance.INFERRED}
        desk.keepers.put(replace(keeper, provenance=marks))
    for day in reading_of(book, book, "high-valley", tmp_path):
        assert (day.added, day.changed, day.removed) == (0, 0, 0), day
    with book.reading() as desk:
        after = desk.keepers.first(slug="trn-0412")
    assert after is not None
    assert after.provenance_of("viewpoint_id") is Provenance.INFERRED
