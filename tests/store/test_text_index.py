"""The text index says what the book says, whatever was written, changed and removed before."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.lesson import Lesson
from logbook.domain.record import new_record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord, Reason, SetKind, Support
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.text_index import about
from logbook.store.text_index.about import FactKind
from logbook.store.text_index.asking import Days, FoundDocument
from logbook.store.text_index.clauses import Clause, Phrase, WantedFact, Words, all_of
from logbook.store.text_index.facts import NOUNS
from tests.benchmarks.generated_book import make_book
from tests.examples import examples

Clock = Callable[[], datetime]
DAY = date(2031, 10, 14)
NO_DAYS = Days()
CROWD = about.LEVELS[ConditionKind.CROWD]


def ask(book: Book, *clauses: Clause, days: Days = NO_DAYS) -> list[FoundDocument]:
    """Answer clauses, words and facts apart."""
    with book.reading() as desk:
        words = desk.index.said([one for one in clauses if isinstance(one, Words)])
        facts = desk.index.said([one for one in clauses if isinstance(one, WantedFact)])
        ranked = desk.index.rank(
            all_of(words) if words else None, all_of(facts) if facts else None, days, 100
        )
        return desk.index.show(ranked, None)


def slugs(found: list[FoundDocument]) -> set[str | None]:
    return {one.slug for one in found}


def words(text: str) -> Words:
    return Words(Phrase(text))


@pytest.fixture
def valley(book: Book, now: Clock) -> Book:
    """A book with one of each noun: a dusk at a ledge from which the river was drawn smooth."""
    base: dict[str, Any] = {"trip_id": "t", "viewpoint_id": "v"}

    def record(name: str) -> dict[str, Any]:
        return new_record(now()) | {"id": name}

    with book.writing() as desk:
        desk.trips.add(Trip(**record("t"), slug="valley", title="Valley of sheds", zone="Asia/Dushanbe"))
        desk.sites.add(
            Site(**record("s"), slug="quarry", title="Quarry", latitude_deg=38.2, longitude_deg=73.4)
        )
        desk.viewpoints.add(Viewpoint(**record("v"), slug="ledge", title="Ledge", site_id="s"))
        desk.shots.add(
            Shot(**record("p"), **base, slug="silk", title="River silk", technique="silky water", on_date=DAY)
        )
        desk.outcomes.add(
            Outcome(**record("o"), shot_id="p", word=OutcomeWord.MISSED, reasons=(Reason.CROWD,))
        )
        desk.visits.add(
            Visit(**record("w"), **base, slug="w", on_date=DAY, journal="Café crème before Łódź.")
        )
        desk.lessons.add(
            Lesson(**record("l"), slug="l", verb=LessonVerb.KEEP, text="Wait longer", shot_id="p")
        )
        for name, at, level in (("c1", time(17), "dozens"), ("c2", time(18, 30), "none")):
            condition: dict[str, Any] = {
                "kind": ConditionKind.CROWD,
                "on_date": DAY,
                "at": at,
                "level": level,
            }
            desk.conditions.add(Condition(**record(name), **base, slug=name, **condition))
        # The sun stood about 4 degrees below the horizon: sunset there is at about 12:53 UTC.
        desk.keepers.add(keeper(record("k"), taken_utc=datetime(2031, 10, 14, 13, 12, tzinfo=UTC)))
    return book


def keeper(record: dict[str, Any], **more: Any) -> Keeper:
    """A keeper of the shot at the ledge, f/16 and 2 s from a tripod."""
    name = record["id"]
    told: dict[str, Any] = {
        "exposure_s": Fraction(2),
        "f_number": 16.0,
        "support": Support.TRIPOD,
        "filters": ("nd8",),
        "taken_local": datetime(2031, 10, 14, 18, 12),  # noqa: DTZ001  # a camera's clock
        "zone": "Asia/Dushanbe",
        "trip_id": "t",
        "viewpoint_id": "v",
        "shot_id": "p",
    }
    base = {
        "slug": name,
        "file": f"{name}.JPG",
        "path": name,
        "hash": name,
        "size_bytes": 1,
        "format": "JPEG",
    }
    return Keeper(**record, **base, **told | more)


def test_words_are_found_stemmed_without_accents_and_as_beginnings(valley: Book) -> None:
    assert slugs(ask(valley, words("waiting"))) == {"l"}
    assert slugs(ask(valley, words("CAFE creme"))) == {"w"}
    assert slugs(ask(valley, Words(Phrase("caf", beginning=True)))) == {"w"}
    assert ask(valley, words("crème café")) == []


def test_a_record_is_found_by_the_names_of_its_place_and_trip(valley: Book) -> None:
    everything = {"valley", "silk", "w", "l", "c1", "c2", "k"}
    assert slugs(ask(valley, words("sheds"))) == everything - {"l"}
    assert slugs(ask(valley, words("quarry"))) == everything - {"valley"} | {"quarry", "ledge"}


def test_facts_are_found_within_their_range(valley: Book) -> None:
    def between(kind: FactKind, low: float, high: float) -> set[str | None]:
        return slugs(ask(valley, WantedFact(kind, low=low, high=high)))

    assert between(about.APERTURE, 15, 17) == {"k"}
    assert between(about.APERTURE, 17, 20) == set()
    assert between(about.EXPOSURE, 1, 3) == {"k"}
    assert between(about.FILTER_STOPS, 2.9, 3.1) == {"k"}


def test_a_keeper_has_the_crowd_noted_nearest_in_time_and_a_shot_all_of_its_day(valley: Book) -> None:
    assert slugs(ask(valley, WantedFact(CROWD, ("none",)))) == {"c2", "k", "silk", "w"}
    assert slugs(ask(valley, WantedFact(CROWD, ("dozens",)))) == {"c1", "silk", "w"}


def test_a_crowd_without_a_time_lasts_as_long_as_the_visit_it_names_and_is_of_no_other(
    valley: Book, now: Clock
) -> None:
    base: dict[str, Any] = {"trip_id": "t", "viewpoint_id": "v", "on_date": DAY}
    with valley.writing() as desk:
        desk.conditions.remove(["c1", "c2"])
        morning = new_record(now()) | {"id": "m"}
        desk.visits.add(Visit(**morning, **base, slug="m", arrived_at=time(7), departed_at=time(8)))
        evening = desk.visits.get("w")
        assert evening
        desk.visits.put(replace(evening, arrived_at=time(18), departed_at=time(19)))
        for name, level in (("m", "hundreds"), ("w", "few")):
            said: dict[str, Any] = {"kind": ConditionKind.CROWD, "level": level, "visit_id": name}
            desk.conditions.add(Condition(**new_record(now()), **base, slug=f"of-{name}", **said))
    assert slugs(ask(valley, WantedFact(CROWD, ("few",)))) == {"of-w", "k", "silk", "w"}
    assert slugs(ask(valley, WantedFact(CROWD, ("hundreds",)))) == {"of-m", "silk", "m"}
    with valley.writing() as desk:  # the picture of 18:12 is now nearer to the other visit
        desk.visits.put(replace(evening, arrived_at=time(23), departed_at=time(23, 30)))
        desk.visits.put(Visit(**morning, **base, slug="m", arrived_at=time(18), departed_at=time(19)))
    assert "k" in slugs(ask(valley, WantedFact(CROWD, ("hundreds",))))


def test_a_keeper_has_the_crowd_nearest_in_its_night_whenever_the_trips_days_end(valley: Book) -> None:
    """With days that end at six, half past four is near to ten to four, and seven in the evening is not."""
    with valley.writing() as desk:
        trip, taken, evening, night = (
            desk.trips.get("t"),
            desk.keepers.get("k"),
            desk.conditions.get("c1"),
            desk.conditions.get("c2"),
        )
        assert trip and taken and evening and night  # noqa: PT018  # they are all there
        desk.trips.put(replace(trip, day_ends_at=time(6)))
        desk.keepers.put(replace(taken, taken_utc=datetime(2031, 10, 14, 22, 50, tzinfo=UTC)))
        desk.conditions.put(replace(evening, at=time(23)))
        desk.conditions.put(replace(night, at=time(4, 30)))
    assert "k" in slugs(ask(valley, WantedFact(CROWD, ("none",))))
    assert "k" not in slugs(ask(valley, WantedFact(CROWD, ("dozens",))))


LIGHTS = ("day", "golden hour", "sunset", "dusk", "nautical twilight", "astronomical twilight", "night")


@pytest.mark.parametrize(
    ("latitude_deg", "begins", "ends", "day_ends_at", "met"),
    [
        (38.2, time(15), time(17, 30), time(4), {"day", "golden hour", "sunset"}),
        (38.2, time(15), None, time(4), {"day"}),
        # So far north the sun at one o'clock first stands 18 degrees down, which is night, on the 15th.
        (79.8, time(1), time(3), time(4), {"night", "astronomical twilight"}),
        (79.8, time(1), None, time(4), {"night"}),
        (79.8, time(1), None, time(0), {"astronomical twilight", "night"}),
        (79.8, time(23), time(1), time(4), {"night"}),
    ],
)
def test_the_light_of_a_window_is_that_from_its_begin_to_its_end(
    valley: Book, latitude_deg: float, begins: time, ends: time | None, day_ends_at: time, met: set[str]
) -> None:
    with valley.writing() as desk:
        trip, site, shot = desk.trips.get("t"), desk.sites.get("s"), desk.shots.get("p")
        assert trip and site and shot  # noqa: PT018  # they are all there
        desk.trips.put(replace(trip, day_ends_at=day_ends_at))
        desk.sites.put(replace(site, latitude_deg=latitude_deg))
        desk.shots.put(replace(shot, window_from=begins, window_to=ends))
    found = {light for light in LIGHTS if "silk" in slugs(ask(valley, WantedFact(about.LIGHT, (light,))))}
    assert found == met


def test_a_fact_decides_and_words_count_only_where_it_is_unknown(valley: Book, now: Clock) -> None:
    with valley.writing() as desk:
        held = new_record(now()) | {"id": "held"}
        desk.keepers.add(keeper(held, support=Support.HANDHELD, note="no tripod here"))
        desk.lessons.add(
            Lesson(**new_record(now()), slug="legs", verb=LessonVerb.AVOID, text="A tripod in sand")
        )
    asked = WantedFact(about.SUPPORT, ("tripod",), mentions=(Phrase("tripod"),))
    assert slugs(ask(valley, asked)) == {"k", "legs"}


@pytest.mark.parametrize(
    ("changes", "light"),
    [
        ({}, "dusk"),
        ({"taken_utc": datetime(2031, 10, 14, 7, tzinfo=UTC)}, "day"),
        ({"taken_utc": datetime(2031, 10, 14, 16, tzinfo=UTC)}, "night"),
        ({"latitude_deg": 38.2, "longitude_deg": -110.0}, "golden hour"),
    ],
)
def test_the_light_of_a_keeper_follows_its_time_and_place(
    valley: Book, changes: dict[str, Any], light: str
) -> None:
    with valley.writing() as desk:
        found = desk.keepers.get("k")
        assert found is not None
        desk.keepers.put(replace(found, **changes))
    assert slugs(ask(valley, WantedFact(about.LIGHT, (light,)))) >= {"k"}
    others = {"dusk", "day", "night"} - {light}
    assert not any("k" in slugs(ask(valley, WantedFact(about.LIGHT, (other,)))) for other in others)


def test_the_light_of_a_keeper_without_a_place_of_its_own_follows_its_viewpoint(valley: Book) -> None:
    with valley.writing() as desk:
        site = desk.sites.get("s")
        assert site is not None
        desk.sites.put(replace(site, longitude_deg=-10.0))
    assert "k" in slugs(ask(valley, WantedFact(about.LIGHT, ("day",))))


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


def test_days_limit_an_answer_and_leave_out_what_has_no_day(valley: Book) -> None:
    assert slugs(ask(valley, words("quarry"), days=Days(since="2031-10-15"))) == set()
    assert slugs(ask(valley, words("quarry"), days=Days("2031-10-14", "2031-10-14"))) == {
        "silk",
        "w",
        "c1",
        "c2",
        "k",
    }
    assert slugs(ask(valley, words("quarry"), days=Days(until="2031-10-14"))) == {
        "silk",
        "w",
        "c1",
        "c2",
        "k",
    }
    assert slugs(ask(valley, words("quarry"), days=Days(until="2031-10-13"))) == set()


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
        before = desk.index.rank(None, query, NO_DAYS, 1000)
        desk.index.rebuild()
        assert desk.index.rank(None, query, NO_DAYS, 1000) == before
