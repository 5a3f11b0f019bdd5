"""The text index says what the book says, whatever was written, changed and removed before."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.domain.condition import Condition
from logbook.domain.keeper import KeeperSet
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord, SetKind
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.text_index.clauses import all_of
from logbook.store.text_index.facts import NOUNS
from tests.benchmarks.generated_book import make_book
from tests.examples import examples
from tests.store.text_index.valley import DAY, NO_DAYS, Clock, ask, keeper, slugs, words


def test_a_new_name_of_a_place_is_found_at_once_and_the_old_one_no_more(valley: Book) -> None:
    with valley.writing() as desk:
        viewpoint = desk.viewpoints.get("v")
        assert viewpoint is not None
        desk.viewpoints.put(replace(viewpoint, title="Parapet"))
    assert slugs(ask(valley, words("parapet"))) == {"ledge", "silk", "w", "l", "c1", "c2", "k"}
    assert ask(valley, words("Ledge")) == []


@pytest.mark.parametrize("noun", ["sites", "viewpoints"])
def test_an_other_name_of_a_place_finds_it_and_whatever_is_there(valley: Book, noun: str) -> None:
    there = {"ledge", "silk", "w", "l", "c1", "c2", "k"} | ({"quarry"} if noun == "sites" else set())
    with valley.writing() as desk:
        place = getattr(desk, noun).all()[0]
        getattr(desk, noun).put(replace(place, also_called=("The Pulpit",)))
    assert slugs(ask(valley, words("pulpit"))) == there
    with valley.writing() as desk:
        getattr(desk, noun).put(place)
    assert ask(valley, words("pulpit")) == []


def test_what_was_removed_is_not_found(valley: Book) -> None:
    with valley.writing() as desk:
        desk.lessons.remove(["l"])
        desk.keepers.remove(["k"])
    assert slugs(ask(valley, words("quarry"))) == {"quarry", "ledge", "silk", "w", "c1", "c2"}
    with closing(sqlite3.connect(valley.path)) as connection:
        assert connection.execute(
            "SELECT count(*) FROM search_text WHERE body LIKE '%longer%'"
        ).fetchone() == (0,)


def test_a_transaction_that_fails_leaves_the_index_as_it_was(valley: Book, now: Clock) -> None:
    class StopError(Exception):
        pass

    def fail() -> None:
        with valley.writing() as desk:
            desk.lessons.remove(["l"])
            raise StopError

    with pytest.raises(StopError):
        fail()
    assert slugs(ask(valley, words("waiting"))) == {"l"}


def test_what_another_program_writes_is_noted_and_caught_up_with(valley: Book) -> None:
    with closing(sqlite3.connect(valley.path)) as connection:
        connection.execute("UPDATE lesson SET text = 'Bring a broom' WHERE id = 'l'")
        connection.commit()
    with valley.reading() as desk:
        assert desk.index.is_behind
    with valley.writing():
        pass
    assert slugs(ask(valley, words("broom"))) == {"l"}


def test_a_damaged_index_is_seen_and_rebuilt(valley: Book) -> None:
    with closing(sqlite3.connect(valley.path)) as connection:
        connection.execute("DELETE FROM search_document WHERE record_id = 'k'")
        connection.execute("UPDATE search_text SET body = 'nonsense' WHERE body LIKE '%longer%'")
        connection.commit()
    with valley.writing() as desk:
        found = desk.index.differences()
        assert (found.missing, found.changed, found.in_step) == (1, 1, False)
        desk.index.rebuild()
        assert desk.index.differences().in_step


def test_every_noun_with_words_of_a_person_has_documents(tmp_path: Path) -> None:
    make_book(tmp_path / "book.sqlite", 200, seed=3)
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as connection:
        kinds = {row[0] for row in connection.execute("SELECT DISTINCT kind FROM search_document")}
    assert kinds == set(NOUNS) - {"loose_line"}


WORDS = ("mist", "rail", "crest", "lamp", "Ünder", "café", "weir", "2s", "f/8")


class History:
    """Random things that people do to a book, each in a transaction that may hold several."""

    def __init__(self, book: Book, seed: int) -> None:
        self.book, self.chance = book, Random(seed)
        self.number = 0

    def text(self) -> str:
        return " ".join(self.chance.choices(WORDS, k=3))

    def record(self) -> dict[str, Any]:
        self.number += 1
        at = datetime(2031, 1, 1, tzinfo=UTC) + timedelta(seconds=self.number)
        return {"id": f"r{self.number}", "created": at, "updated": at}

    def any(self, desk: Desk, shelf: str) -> Any:
        found = getattr(desk, shelf).all()
        return self.chance.choice(found) if found else None

    def step(self, desk: Desk) -> None:
        """One thing, chosen at random."""
        chance = self.chance
        action = chance.choice(
            (
                self.add_trip,
                self.add_site,
                self.add_viewpoint,
                *(self.add_more,) * 5,
                *(self.change,) * 5,
                self.remove,
            )
        )
        action(desk)
        if chance.random() < 0.1:
            self.remove(desk)

    def add_trip(self, desk: Desk) -> None:
        record = self.record()
        desk.trips.add(Trip(**record, slug=record["id"], title=self.text(), zone="Europe/Oslo"))

    def add_site(self, desk: Desk) -> None:
        record = self.record()
        place: dict[str, Any] = {"latitude_deg": self.chance.uniform(-60, 60), "longitude_deg": 10.0}
        desk.sites.add(Site(**record, slug=record["id"], title=self.text(), **place))

    def add_viewpoint(self, desk: Desk) -> None:
        site = self.any(desk, "sites")
        if site:
            record = self.record()
            desk.viewpoints.add(Viewpoint(**record, slug=record["id"], title=self.text(), site_id=site.id))

    def add_more(self, desk: Desk) -> None:
        trip, viewpoint, shot = (self.any(desk, name) for name in ("trips", "viewpoints", "shots"))
        if not trip or not viewpoint:
            return
        record = self.record()
        base: dict[str, Any] = record | {
            "slug": record["id"],
            "trip_id": trip.id,
            "viewpoint_id": viewpoint.id,
        }
        day = DAY + timedelta(days=self.chance.randrange(2))
        match self.chance.randrange(6):
            case 0:
                desk.shots.add(Shot(**base, title=self.text(), on_date=day, exposure_s=Fraction(1, 8)))
            case 1:
                kind, level = self.chance.choice((("crowd", "few"), ("wind", "5"), ("water", "low")))
                place = (
                    base
                    if self.chance.random() < 0.7
                    else base | {"viewpoint_id": None, "site_id": viewpoint.site_id}
                )
                if (visit := self.any(desk, "visits")) and self.chance.random() < 0.5:
                    place = base | {"viewpoint_id": visit.viewpoint_id, "visit_id": visit.id}
                    day = visit.on_date
                desk.conditions.add(Condition(**place, kind=ConditionKind(kind), level=level, on_date=day))
            case 2:
                desk.visits.add(Visit(**base, on_date=day, journal=self.text()))
            case 3:
                desk.lessons.add(
                    Lesson(**base, verb=LessonVerb.KEEP, text=self.text(), shot_id=shot.id if shot else None)
                )
            case 4 if shot and not desk.outcomes.first(shot_id=shot.id):
                desk.outcomes.add(Outcome(**record, shot_id=shot.id, word=OutcomeWord.MADE, note=self.text()))
            case _:
                at = datetime.combine(day, time(self.chance.randrange(24)), UTC)
                more = {
                    "viewpoint_id": viewpoint.id,
                    "trip_id": trip.id,
                    "shot_id": shot.id if shot else None,
                }
                desk.keepers.add(keeper(record, taken_utc=at, caption=self.text(), **more))

    def change(self, desk: Desk) -> None:
        shelf, field = self.chance.choice(
            (
                ("trips", "title"),
                ("sites", "title"),
                ("viewpoints", "title"),
                ("shots", "technique"),
                ("keepers", "note"),
                ("outcomes", "note"),
                ("conditions", "note"),
                ("visits", "journal"),
            )
        )
        found = self.any(desk, shelf)
        if found:
            getattr(desk, shelf).put(replace(found, **{field: self.text()}))
        if shelf == "visits" and found:
            again = replace(found, arrived_at=time(self.chance.randrange(24)))
            desk.visits.put(again)
        keepers = desk.keepers.all()
        moved, to = self.any(desk, "keepers"), self.any(desk, "viewpoints")
        if moved and to and self.chance.random() < 0.3:
            desk.keepers.put(replace(moved, viewpoint_id=to.id))
        if len(keepers) > 1 and self.chance.random() < 0.3:
            ids = tuple(one.id for one in self.chance.sample(keepers, 2))
            desk.sets.add(
                KeeperSet(**self.record(), trip_id=keepers[0].trip_id, kind=SetKind.BRACKET, keeper_ids=ids)
            )

    def remove(self, desk: Desk) -> None:
        shelf = self.chance.choice(("lessons", "conditions", "visits", "outcomes", "keepers", "sets"))
        found = self.any(desk, shelf)
        if found and not (shelf == "keepers" and desk.references_to("keeper", found.id)):
            for one in desk.references_to("visit", found.id) if shelf == "visits" else ():
                desk.let_go(one)
            getattr(desk, shelf).remove([found.id])


@pytest.mark.slow
@settings(max_examples=examples(0.05))
@given(seed=st.integers(0, 2**32))
def test_after_any_history_the_index_is_as_a_fresh_one(
    seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("history") / "book.sqlite"
    history = History(Book(path, lambda: datetime(2031, 1, 1, tzinfo=UTC), create=True), seed)
    for _ in range(12):
        with history.book.writing() as desk:
            for _ in range(history.chance.randint(1, 6)):
                history.step(desk)
        with history.book.writing() as desk:
            assert desk.index.differences().in_step
    query = all_of(['{title body context}:("mist")'])
    with history.book.writing() as desk:
        before = desk.index.newest(query, NO_DAYS, 1000)
        desk.index.rebuild()
        assert desk.index.newest(query, NO_DAYS, 1000) == before
