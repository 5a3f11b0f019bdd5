"""The text index says what the book says: words, names, facts and days; what matched is marked."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, time
from typing import Any

import pytest

from logbook.domain.condition import Condition
from logbook.domain.lesson import Lesson
from logbook.domain.record import new_record
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, LessonVerb, Support
from logbook.store.book import Book
from logbook.store.text_index import about
from logbook.store.text_index.about import FactKind
from logbook.store.text_index.asking import BEGIN_MARK, END_MARK, SNIPPET_WORDS, Days, marked
from logbook.store.text_index.clauses import Phrase, WantedFact, Words, any_of
from tests.store.text_index.valley import CROWD, DAY, Clock, ask, keeper, slugs, words

LEDGE = (7, "Ledge at dusk", "The water came up.", "Quarry")
PIER = (7, "Pier", "Waiting for water.", "Harbour")


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


def test_a_document_is_as_good_for_words_alone_as_beside_others(valley: Book) -> None:
    with valley.reading() as desk:
        query = any_of(desk.index.said([words("quarry"), words("sheds"), words("waiting")]))
        best = desk.index.best(query, Days(), 100)
        assert len(best) > 3
        assert [one.score for one in best] == sorted((one.score for one in best), reverse=True)
        few = best[1:3]
        assert desk.index.scores(query, [one.row for one in few]) == {one.row: one.score for one in few}
        assert desk.index.scores(query, []) == {}


def plain(text: str) -> str:
    return text.replace(BEGIN_MARK, "<").replace(END_MARK, ">")


def test_words_are_marked_where_they_stand() -> None:
    assert [plain(text) for text in marked([LEDGE], '"dusk" OR "waters"')[7]] == [
        "Ledge at <dusk>",
        "The <water> came up.",
        "Quarry",
    ]


def test_an_answer_leaves_nothing_to_the_next_one() -> None:
    marked([LEDGE], '"water"')
    assert [plain(text) for text in marked([PIER], '"water" OR "dusk"')[7]] == [
        "Pier",
        "Waiting for <water>.",
        "Harbour",
    ]


def test_what_does_not_match_is_shown_from_its_beginning() -> None:
    words = [f"word{number}" for number in range(SNIPPET_WORDS + 1)]
    shown = marked([(1, "Long", " ".join(words), "")], '"pier"')
    assert shown[1] == ("Long", " ".join(words[:-1]) + "…", "")


def test_several_threads_mark_side_by_side() -> None:
    times = 200  # with a lock too few, so many fail
    with ThreadPoolExecutor(4) as pool:
        shown = list(pool.map(lambda text: marked([text], '"water"')[7], [LEDGE, PIER] * times))
    assert shown == [shown[0], shown[1]] * times
    assert shown[0] != shown[1]
