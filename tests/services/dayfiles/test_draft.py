"""A draft is the night session on paper: what the book has, and proposals behind a `?`."""

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.day import Day
from logbook.domain.names import slug_of
from logbook.domain.record import new_record
from logbook.domain.words import JoinedKind, LessonVerb, OutcomeWord, Provenance, Support
from logbook.faces.opened import utc_now
from logbook.services.clocks.history import ClockStretch
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.clocks.stating import ClockStatement, state_clock
from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.draft import draft_day
from logbook.services.keepers.sets import join, split
from logbook.services.kinds import LESSON
from logbook.services.night.session import Night, day_to_write
from logbook.services.records import put_new, the_trip
from logbook.store.book import Book
from tests.examples import examples, slow
from tests.once import copied_book
from tests.services.night.sittings import next_question

TRIP = "high-valley-autumn"
LAST_DAY = date(2025, 10, 18)
TABLES = ("visit", "condition", "lesson", "outcome", "keeper", "day", "packed")
OWN = ("id", "created", "updated", "slug")  # what differs from book to book though the day is the same


def day_of(book: Path, *, without: tuple[str, ...] = ()) -> dict[str, list[str]]:
    """All that a book holds of its days, apart from ids and instants."""
    with sqlite3.connect(book) as connection:
        connection.row_factory = sqlite3.Row
        return {
            table: sorted(
                str({k: row[k] for k in row.keys() if k not in OWN + without and not k.endswith("_id")})  # noqa: SIM118
                for row in connection.execute(f"SELECT * FROM {table}")
            )
            for table in TABLES
        }


@pytest.fixture
def copied(sample_book: Path, tmp_path: Path) -> Callable[[str], Book]:
    """Return a copy of the book with plan, keepers and track, and no day written down."""

    def copy(name: str) -> Book:
        return Book(copied_book(sample_book, tmp_path / name), utc_now, create=False)

    return copy


@pytest.mark.slow
def test_drafting_stores_nothing(copied: Callable[[str], Book]) -> None:
    book = copied("a.sqlite")
    before = day_of(book.path)
    assert draft_day(book, TRIP, LAST_DAY).text == draft_day(book, TRIP, LAST_DAY).text
    assert day_of(book.path) == before


@pytest.mark.slow
def test_a_draft_shows_every_proposal_behind_a_question_mark(copied: Callable[[str], Book]) -> None:
    lines = draft_day(copied("a.sqlite"), TRIP, LAST_DAY).text.splitlines()
    assert "- ? clock Halvern Thistle: +420 s" in lines
    assert "## quarry-ledge ? 16:12-17:53 shooting" in lines
    assert "- ? keeper TRN_0479: nd1000, tripod, for gorge-smooth" in lines
    assert "- shot gorge-window:" in lines
    assert any("fits nearly as well: " in line and "nd8 + nd128 (10 stops)" in line for line in lines)


@pytest.mark.slow
def test_an_untouched_draft_gives_the_same_day_as_a_night_of_enter_keys(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    drafted, asked = copied("drafted.sqlite"), copied("asked.sqlite")
    file = tmp_path / "day.md"
    file.write_text(draft_day(drafted, TRIP, LAST_DAY).text, encoding="utf-8")
    assert read_day(drafted, file).loose == ()
    session = Night(asked, *day_to_write(asked, TRIP, LAST_DAY))
    while (question := next_question(session)) is not None:
        session.take([question.key])
    assert day_of(drafted.path) == day_of(asked.path)


@pytest.mark.slow
def test_a_night_of_question_marks_is_a_day_of_unknowns(copied: Callable[[str], Book]) -> None:
    book = copied("a.sqlite")
    session = Night(book, *day_to_write(book, TRIP, LAST_DAY))
    while (question := next_question(session)) is not None:
        session.say(question.key, "?")
    with book.reading() as desk:
        assert desk.outcomes.all() == []
        assert desk.visits.all() == []  # nobody knows where it was, though the receiver proposes a place
        assert all(keeper.filters is None and keeper.shot_id is None for keeper in desk.keepers.all())


@pytest.mark.slow
def test_a_draft_asks_what_became_of_each_shot_and_says_nothing_itself(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book, file = copied("a.sqlite"), tmp_path / "day.md"
    text = draft_day(book, TRIP, LAST_DAY).text
    asked = [line for line in text.splitlines() if line.startswith("- shot ")]
    assert len(asked) > 1
    for accepted in (text, text.replace("- ? ", "- ").replace(" ? ", " ")):
        file.write_text(accepted, encoding="utf-8")
        assert read_day(book, file).loose == ()
        with book.reading() as desk:
            assert desk.outcomes.all() == []
            assert any(keeper.shot_id for keeper in desk.keepers.all())
    file.write_text(text.replace(asked[0], f"{asked[0]} partly, light"), encoding="utf-8")
    assert read_day(book, file).loose == ()
    with book.reading() as desk:
        assert [one.word for one in desk.outcomes.all()] == [OutcomeWord.PARTLY]
    again = draft_day(book, TRIP, LAST_DAY).text
    assert f"{asked[0]} partly, light" in again
    assert all(f"\n{line}\n" in again for line in asked[1:])


def test_taking_the_question_marks_away_states_what_was_proposed(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book = copied("a.sqlite")
    file = tmp_path / "day.md"
    text = draft_day(book, TRIP, LAST_DAY).text
    file.write_text(text, encoding="utf-8")
    read_day(book, file)
    file.write_text(text.replace("- ? ", "- ").replace(" ? ", " "), encoding="utf-8")
    assert read_day(book, file).elsewhere == ()
    with book.reading() as desk:
        rim, visit = sorted(desk.visits.all(on_date=LAST_DAY), key=lambda one: one.slug)
        keeper = desk.keepers.first(file="TRN_0479.JPG")
        (clock,) = desk.clocks.all()
    assert (rim.provenance, visit.provenance) == ({}, {})
    assert keeper is not None
    assert keeper.filters == ("nd1000",)
    assert {"filters", "support", "shot_id", "viewpoint_id"}.isdisjoint(keeper.provenance)
    assert (clock.body, clock.ahead_s) == ("Halvern Thistle", 5 * 3600 - 420)


@pytest.mark.parametrize("day", [16, *slow(13, 14, 15, 17, 18)])
def test_the_draft_of_a_written_day_reads_back_without_losing_a_word(
    demo: Path, tmp_path: Path, day: int
) -> None:
    on_date = date(2025, 10, day)
    book = Book(copied_book(demo / "book.sqlite", tmp_path / "book.sqlite"), utc_now, create=False)
    before = day_of(book.path, without=("provenance", "filters"))
    with book.reading() as desk:
        known = {k.id: k.filters for k in desk.keepers.all() if k.filters is not None}
    file = tmp_path / f"{on_date}.md"
    file.write_text(draft_day(book, TRIP, on_date).text, encoding="utf-8")
    read_day(book, file)
    assert day_of(book.path, without=("provenance", "filters")) == before
    with book.reading() as desk:
        assert {k.id: k.filters for k in desk.keepers.all() if k.id in known} == known
    again = read_day(book, file)
    assert (again.added, again.changed, again.removed) == (0, 0, 0)


def test_the_same_words_twice_are_two_observations(copied: Callable[[str], Book], tmp_path: Path) -> None:
    book = copied("a.sqlite")
    file = tmp_path / "day.md"
    file.write_text(
        f"---\ntrip: {TRIP}\ndate: 2025-10-18\n---\n## quarry-ledge\n- crowd: none\n- crowd: none\n"
    )
    read_day(book, file)
    with book.reading() as desk:
        assert len(desk.conditions.all(on_date=LAST_DAY)) == 2


@pytest.mark.slow
def test_a_journal_that_looks_like_entries_and_a_lesson_of_two_lines_come_back_whole(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book = copied("a.sqlite")
    said = "- crowd: hundreds, or so it felt\n\n## Upper terrace"
    with book.writing() as desk:
        trip = the_trip(desk, TRIP)
        desk.days.add(Day(**new_record(book.now()), trip_id=trip.id, on_date=LAST_DAY, journal=said))
        text = {"verb": LessonVerb.KEEP, "text": "Look up.\nThen  down.", "trip_id": trip.id}
        put_new(desk, LESSON, book.now(), {**text, "on_date": LAST_DAY})
    file = tmp_path / "day.md"
    file.write_text(draft_day(book, TRIP, LAST_DAY).text, encoding="utf-8")
    read_day(book, file)
    with book.reading() as desk:
        assert [day.journal for day in desk.days.all()] == [said]
        assert len(desk.lessons.all()) == 1
        assert desk.conditions.all() == []


def test_what_is_stated_of_a_keeper_does_not_state_its_place(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book = copied("a.sqlite")
    file = tmp_path / "day.md"
    text = (
        f"---\ntrip: {TRIP}\ndate: {LAST_DAY}\n---\n## quarry-ledge ? 16:00-18:00\n- keeper TRN_0478: pol\n"
    )
    for heading, word in (("?", Provenance.INFERRED), ("", Provenance.STATED)):
        file.write_text(text.replace("?", heading), encoding="utf-8")
        read_day(book, file)
        with book.reading() as desk:
            keeper = desk.keepers.first(file="TRN_0478.JPG")
        assert keeper is not None
        assert keeper.filters == ("pol",)
        assert keeper.provenance_of("filters") is Provenance.STATED
        assert keeper.provenance_of("viewpoint_id") is word


NOTED = st.fixed_dictionaries(
    {
        "filters": st.none() | st.just(()) | st.lists(
            st.sampled_from(["nd8", "pol", "few dozens none", "tripod", "a piece of tape", "tape, red"]),
            min_size=1, max_size=3,
        ).map(tuple),
        "support": st.none() | st.sampled_from(Support),
        "caption": st.none() | st.sampled_from(['The "old" weir', "for two, at dusk: nd8", "two\n lines"]),
        "file": st.sampled_from(
            ["TRN_0{n}.JPG", "Dusk {n} (2).jpg", "dawn and {n}.jpg", "lamps-{n}-2.jpg", "x-100-{n}.jpg"]
        ),
    }
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=examples(0.05), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(noted=st.lists(NOTED, min_size=5, max_size=5))
def test_a_draft_of_any_keepers_reads_back_untouched(
    copied: Callable[[str], Book], tmp_path: Path, noted: list[dict[str, Any]]
) -> None:
    book = copied("a.sqlite")
    with book.writing() as desk:
        keepers = sorted(desk.keepers.all(), key=lambda one: one.file)[-5:]
        for keeper, said in zip(keepers, noted, strict=True):
            file = said["file"].format(n=keeper.file[5:8])
            desk.keepers.put(replace(keeper, **said | {"file": file, "slug": slug_of(file)}))
        before = {one.id: (one.filters, one.caption, one.support) for one in desk.keepers.all()}
    file = tmp_path / "day.md"
    file.write_text(draft_day(book, TRIP, LAST_DAY).text, encoding="utf-8")
    assert read_day(book, file).loose == ()
    with book.reading() as desk:
        for keeper_id, (filters, caption, support) in before.items():
            after = desk.keepers.get(keeper_id)
            assert after is not None
            assert filters is None or after.filters == filters
            assert support is None or after.support == support
            assert " ".join((after.caption or "").split()) == " ".join((caption or "").split())


def said_of(book: Book) -> dict[str, list[str]]:
    """All that a book holds of clocks and sets."""
    with book.reading() as desk:
        return {
            "clocks": [str(one) for one in desk.clocks.all()],
            "sets": [str(one) for one in desk.sets.all()],
            "corrections": [f"{one.file} {one.clock_offset_s}" for one in desk.keepers.all()],
        }


@pytest.mark.slow
def test_a_draft_leaves_ranges_of_clocks_and_stated_sets_as_they_are(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book = copied("a.sqlite")
    set_clock(book, TRIP, "Halvern", ClockSaid(fast_s=-420, until="0474"))
    set_clock(book, TRIP, "Halvern", ClockSaid(fast_s=0, since="0478"))
    join(book, TRIP, "0478-0479", JoinedKind.PANORAMA)
    split(book, TRIP, "0472-0474")
    before = said_of(book)
    text = draft_day(book, TRIP, LAST_DAY).text
    assert "panorama of TRN_0478.JPG, TRN_0479.JPG, stated by you" in text
    assert "bracket" not in text
    assert "\n- clock" not in text
    file = tmp_path / "day.md"
    file.write_text(text, encoding="utf-8")
    assert read_day(book, file).loose == ()
    assert said_of(book) == before


@pytest.mark.slow
def test_a_draft_names_the_frames_of_each_clock_that_the_files_tell_of(
    copied: Callable[[str], Book], tmp_path: Path
) -> None:
    book = copied("a.sqlite")
    with book.writing() as desk:  # a range said in another window, its keepers not put right yet
        trip = the_trip(desk, TRIP)
        keeper = desk.keepers.first(file="TRN_0478.JPG")
        assert keeper is not None
        later = ClockStretch(keeper.camera_time, None)
        state_clock(desk, book, trip, ClockStatement("Halvern Thistle", 5 * 3600 - 60, later))
    text = draft_day(book, TRIP, LAST_DAY).text
    lines = [line for line in text.splitlines() if "clock" in line]
    assert [line for line in lines if not line.startswith("<!--")] == [
        "- ? clock Halvern Thistle: +420 s",
        "- ? clock Halvern Thistle: +60 s",
    ]
    assert "for TRN_0478.JPG to TRN_0484.JPG the clock is stated; change it with keeper clock" in text
    file = tmp_path / "day.md"
    file.write_text(text.replace("- ? clock", "- clock"), encoding="utf-8")
    assert len(read_day(book, file).loose) == 2  # one line cannot say which frames it means
    with book.reading() as desk:
        assert len(desk.clocks.all()) == 1
    file.write_text(text, encoding="utf-8")
    assert read_day(book, file).loose == ()
    with book.reading() as desk:
        offsets = {one.file: one.clock_offset_s for one in desk.keepers.all()}
    assert (offsets["TRN_0474.JPG"], offsets["TRN_0478.JPG"]) == (420, 60)
