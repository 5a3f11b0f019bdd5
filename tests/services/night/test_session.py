"""The night as a whole: it resumes, goes back, and never takes a proposal for a statement."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time

import pytest

from logbook.domain.errors import LogbookError
from logbook.domain.record import Record
from logbook.domain.visit import Visit
from logbook.domain.words import (
    ClockEvidence,
    ConditionKind,
    OutcomeWord,
    Provenance,
    Reason,
    Sharpness,
    Support,
)
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.night.opening import PLAN
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.services.night.sittings import LAST_DAY, LEDGE, TRIP, UNPLACED, Dump, Sitting, next_question


def test_the_day_meant_is_the_last_that_has_keepers_or_plans(book: Book) -> None:
    assert day_to_write(book, "high-valley-autumn", None)[1] == date(2025, 10, 18)


@pytest.mark.slow
def test_only_enter_ends_with_a_whole_day_and_states_nothing(sitting: Sitting) -> None:
    with sitting.book.reading() as desk:
        outcomes = {outcome.id for outcome in desk.outcomes.all()}
    sitting.finish()
    with sitting.book.reading() as desk:
        visits = desk.visits.all(on_date=date(2025, 10, 18))
        keepers = [keeper for keeper in desk.keepers.all() if keeper.shot_id]
        made = [outcome for outcome in desk.outcomes.all() if outcome.id not in outcomes]
        conditions = desk.conditions.all(on_date=date(2025, 10, 18))
        assert desk.clocks.all() == []
    records: list[Record] = [*visits, *keepers]
    assert len(visits) == 2
    assert len(keepers) == 5
    assert not made
    assert not conditions
    for record in records:
        names = ("viewpoint_id", "arrived_at", "tries", "support", "filters", "word")
        said = {name: record.provenance_of(name) for name in names if hasattr(record, name)}
        assert Provenance.STATED not in said.values(), (record, said)


@pytest.mark.slow
def test_a_session_that_was_left_goes_on_at_the_same_question(sitting: Sitting) -> None:
    seen = []
    while (question := sitting.next()) is not None:
        other = Night(
            Book(sitting.book.path, sitting.book.now, create=False), sitting.night.trip, date(2025, 10, 18)
        )
        assert next_question(other) == question
        seen.append(question.key)
        sitting.enter()
    assert len(seen) == len(set(seen))


@pytest.mark.slow
def test_the_plan_is_made_once(sitting: Sitting) -> None:
    sitting.until(Asks.TIMES)

    def plan() -> str:
        with sitting.book.reading() as desk:
            return next(one.answer for one in desk.night_answers.all() if one.key == PLAN)

    before = plan()
    sitting.finish()
    assert plan() == before


@pytest.mark.slow
def test_questions_after_the_plan_work_nothing_out_again(
    sitting: Sitting, monkeypatch: pytest.MonkeyPatch
) -> None:
    sitting.until(Asks.TIMES)

    def fail(*_given: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr("logbook.services.night.session.judged_day", fail)
    monkeypatch.setattr("logbook.services.night.session.plan_night", fail)
    sitting.finish()


def test_back_at_the_first_question_stays_there(sitting: Sitting) -> None:
    assert not sitting.back()
    assert sitting.ask().asks is Asks.CLOCK


@pytest.mark.slow
def test_back_asks_the_last_question_again_with_what_was_typed(sitting: Sitting) -> None:
    sitting.until(Asks.CROWD)
    asked = sitting.type("few dozens none")
    assert sitting.back()
    again = sitting.ask()
    assert (again.key, again.default, again.came_from) == (asked.key, "few dozens none", Provenance.STATED)
    sitting.type("none")
    with sitting.book.reading() as desk:
        assert [one.level for one in desk.conditions.all(kind=ConditionKind.CROWD)] == ["none"]


@pytest.mark.slow
def test_what_enter_took_is_no_statement_after_going_back(sitting: Sitting) -> None:
    sitting.until(Asks.TRIES, LEDGE)
    sitting.enter()
    sitting.back()
    assert sitting.ask().came_from is Provenance.INFERRED
    sitting.enter()
    assert sitting.visit(LEDGE).provenance_of("tries") is Provenance.INFERRED


@pytest.mark.slow
def test_unknown_after_going_back_takes_back_what_was_taken(sitting: Sitting) -> None:
    for asks, left in ((Asks.TIMES, "arrived_at"), (Asks.SUPPORT, "support"), (Asks.TRIES, "tries")):
        sitting.until(asks, LEDGE)
        sitting.enter()
        assert getattr(sitting.visit(LEDGE), left) is not None
        sitting.back()
        sitting.unknown()
        assert getattr(sitting.visit(LEDGE), left) is None
    sitting.until(Asks.OUTCOME)
    sitting.enter()
    sitting.back()
    slug = sitting.unknown().about
    with sitting.book.reading() as desk:
        shot = desk.shots.first(slug=slug)
        assert shot is not None
        assert desk.outcomes.first(shot_id=shot.id) is None


def test_an_unknown_viewpoint_takes_the_visit_back(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    before = _visits(sitting)
    sitting.enter()
    assert len(_visits(sitting)) == len(before) + 1
    sitting.back()
    sitting.unknown()
    assert _visits(sitting) == before
    with sitting.book.reading() as desk:
        assert all(keeper.viewpoint_id is None for keeper in desk.keepers.all(file="TRN_0479.JPG"))


@pytest.mark.slow
def test_where_nobody_knows_the_place_only_keepers_are_asked_about(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.unknown()
    asked = set()
    while (question := sitting.next()) is not None:
        asked.add(question.asks)
        sitting.enter()
    assert not asked & {Asks.TIMES, Asks.CROWD, Asks.TRIES, Asks.IN_THE_WAY}
    assert {Asks.SUPPORT, Asks.FILTERS, Asks.SHARPNESS} <= asked


@pytest.mark.slow
def test_going_back_over_a_clock_plans_the_day_anew(sitting: Sitting) -> None:
    clock = sitting.until(Asks.CLOCK)
    sitting.enter()
    sitting.until(Asks.CROWD)
    sitting.night.say(clock.key, "0")
    assert sitting.until(Asks.TIMES).default == "14:34-14:34"
    assert sitting.until(Asks.TIMES, LEDGE).default == "16:05-17:46"
    with sitting.book.reading() as desk:
        (set_clock_now,) = desk.clocks.all()
        keeper = desk.keepers.first(file="TRN_0479.JPG")
        assert set_clock_now.evidence is ClockEvidence.STATED
        assert keeper is not None
        assert keeper.clock_offset_s == 0
    sitting.finish()


@pytest.mark.slow
def test_a_typed_answer_is_stated(sitting: Sitting) -> None:
    sitting.until(Asks.TIMES, LEDGE)
    sitting.type("16:00-18:00")
    sitting.until(Asks.SUPPORT)
    sitting.type("hand")
    sitting.until(Asks.FILTERS)
    keys = sitting.type("nd8 + nd8").about.split(",")
    assert len(keys) == 3
    sitting.until(Asks.SHARPNESS)
    sitting.type("so")
    visit = sitting.visit(LEDGE)
    assert (visit.arrived_at, visit.departed_at, visit.support) == (time(16), time(18), Support.HANDHELD)
    assert visit.provenance_of("arrived_at") is Provenance.STATED
    with sitting.book.reading() as desk:
        for key in keys:
            keeper = desk.keepers.get(key)
            assert keeper is not None
            assert (keeper.filters, keeper.provenance_of("filters")) == (("nd8", "nd8"), Provenance.STATED)
            assert (keeper.sharpness, keeper.support) == (Sharpness.SOFT, Support.HANDHELD)


@pytest.mark.slow
def test_stated_filters_are_carried_on_as_assumed_until_something_else_is_seen(sitting: Sitting) -> None:
    sitting.until(Asks.FILTERS, LEDGE)
    sitting.type("none")
    sitting.enter()
    sitting.until(Asks.FILTERS)
    assert sitting.enter().came_from is Provenance.INFERRED
    sitting.until(Asks.FILTERS)
    sitting.type("nd1000")
    sitting.enter()
    last = sitting.until(Asks.FILTERS)
    assert (last.default, last.came_from) == ("nd1000", Provenance.ASSUMED)


@pytest.mark.slow
def test_what_a_proposal_explained_is_not_carried_past_it(sitting: Sitting) -> None:
    sitting.until(Asks.FILTERS, LEDGE)
    sitting.type("none")
    defaults = []
    while (question := sitting.ask()).asks is not Asks.OUTCOME:
        if question.asks is Asks.FILTERS:
            defaults.append(question.default)
        sitting.enter()
    assert defaults == ["none", "nd1000", ""]


@pytest.mark.slow
def test_a_stated_value_is_never_overwritten_by_a_proposal(sitting: Sitting) -> None:
    with sitting.book.writing() as desk:
        keeper = desk.keepers.first(file="TRN_0479.JPG")
        assert keeper is not None
        desk.keepers.put(replace(keeper, filters=("nd8",), support=Support.BRACED))
    sitting.finish()
    with sitting.book.reading() as desk:
        after = desk.keepers.get(keeper.id)
    assert after is not None
    assert (after.filters, after.support) == (("nd8",), Support.BRACED)
    assert after.provenance_of("support") is Provenance.STATED


@pytest.mark.slow
def test_asking_everything_again_with_only_enter_changes_nothing(
    sitting: Sitting, dump: Callable[..., Dump]
) -> None:
    said = {
        Asks.CHANGES: "north rim road closed",
        Asks.CROWD: "few dozens none",
        Asks.IN_THE_WAY: "a coach",
        Asks.FILTERS: "pol",
        Asks.KEEP: "wait",
        Asks.CHANGE: "come early",
        Asks.JOURNAL: "A long day.",
    }
    while (question := sitting.next()) is not None:
        if question.asks in said:
            sitting.type(said[question.asks])
        else:
            sitting.enter()
    before = dump("night_answer")
    sitting.night.restart()
    sitting.finish()
    assert dump("night_answer") == before


@pytest.mark.slow
def test_the_same_answers_again_change_nothing(sitting: Sitting, dump: Callable[..., Dump]) -> None:
    said = {
        Asks.CLOCK: "7 min slow",
        Asks.CHANGES: "north rim road closed; water: high",
        Asks.CROWD: "few dozens none",
        Asks.SUPPORT: "tripod",
        Asks.TRIES: "14",
        Asks.IN_THE_WAY: "a coach",
        Asks.FILTERS: "pol",
        Asks.SHARPNESS: "sharp",
        Asks.OUTCOME: "partly, light - too late",
        Asks.KEEP: "wait",
        Asks.CHANGE: "come early",
        Asks.JOURNAL: "A long day.",
        Asks.SHOWN: "withheld",
    }
    for _ in range(2):
        while (question := sitting.next()) is not None:
            question = question
            text = said.get(question.asks, question.default)
            if question.asks is Asks.TIMES:
                text = "16:00-18:00" if question.chapter.startswith(LEDGE) else "14:00-15:00"
            before = dump("night_answer")
            sitting.type(text)
            once = dump("night_answer")
            sitting.night.say(question.key, text)
            assert dump("night_answer") == once, question
        if _:
            assert before == once
        sitting.night.restart()
    with sitting.book.reading() as desk:
        assert [day.journal for day in desk.days.all()] == ["A long day."]
        assert [outcome.word for outcome in desk.outcomes.all()] == [OutcomeWord.PARTLY] * 2


@pytest.mark.slow
@pytest.mark.parametrize(
    ("asks", "text"),
    [
        (Asks.CLOCK, "a bit"),
        (Asks.VIEWPOINT, "nowhere at all"),
        (Asks.TIMES, "teatime"),
        (Asks.CROWD, "loud"),
        (Asks.SUPPORT, "broom"),
        (Asks.TRIES, "many"),
        (Asks.FILTERS, "none + nd8"),
        (Asks.SHOT, "no such shot"),
        (Asks.SHARPNESS, "quite"),
        (Asks.OUTCOME, "nice"),
        (Asks.SHOWN, "maybe"),
    ],
)
def test_an_answer_that_is_not_understood_is_one_sentence_and_asked_again(
    sitting: Sitting, dump: Callable[..., Dump], asks: Asks, text: str
) -> None:
    question = sitting.until(asks)
    before = dump()
    with pytest.raises(LogbookError) as error:
        sitting.type(text)
    assert "\n" not in str(error.value)
    assert str(error.value).endswith(".")
    assert (sitting.ask(), dump()) == (question, before)


@pytest.mark.slow
def test_an_answer_to_a_day_that_was_planned_anew_elsewhere_is_one_sentence(sitting: Sitting) -> None:
    question = sitting.until(Asks.TIMES)
    sitting.night.restart()
    with sitting.book.writing() as desk:
        desk.visits.remove(one.id for one in desk.visits.all())
        desk.keepers.remove(one.id for one in desk.keepers.all() if one.file < "TRN_0475")
    sitting.until(Asks.SHARPNESS)
    with pytest.raises(LogbookError, match="worked out again"):
        sitting.night.say(question.key, "16:00-17:00")


@pytest.mark.slow
def test_keepers_that_come_in_later_are_asked_about_by_themselves(sitting: Sitting) -> None:
    sitting.finish()
    assert sitting.next() is None
    with sitting.book.writing() as desk:
        keeper = desk.keepers.first(file="TRN_0479.JPG")
        assert keeper is not None
        bare = replace(keeper, filters=None, support=None, viewpoint_id=None, shot_id=None, provenance={})
        desk.keepers.add(replace(bare, id="f" * 32, slug="new", hash="new", file="TRN_0499.JPG"))
    asked = set()
    while (question := sitting.next()) is not None:
        asked.add(question.about)
        sitting.enter()
    assert asked == {"f" * 32}
    with sitting.book.reading() as desk:
        new, visit = desk.keepers.get("f" * 32), sitting.visit(LEDGE)
    assert new is not None
    assert (new.viewpoint_id, new.provenance_of("viewpoint_id")) == (
        visit.viewpoint_id,
        Provenance.INFERRED,
    )


@pytest.mark.slow
def test_the_copy_of_the_book_is_a_book(sitting: Sitting) -> None:
    sitting.finish()
    copy = sitting.night.copy()
    with Book(copy, sitting.book.now, create=False).reading() as desk:
        visits = desk.visits.all(on_date=LAST_DAY)
    assert len(visits) == 2
    assert visits == _visits(sitting)


@pytest.mark.slow
def test_what_a_night_notes_is_called_as_what_is_noted_by_day(sitting: Sitting) -> None:
    def named() -> tuple[list[str], list[str]]:
        with sitting.book.reading() as desk:
            conditions = desk.conditions.all(on_date=LAST_DAY)
            lessons = desk.lessons.all(on_date=LAST_DAY)
        return sorted(one.slug for one in conditions), sorted(one.slug for one in lessons)

    said = {
        Asks.CHANGES: "north rim road closed",
        Asks.CROWD: "few none",
        Asks.KEEP: "wait for the coaches to leave",
    }
    for _ in range(2):
        while (question := sitting.next()) is not None:
            sitting.type(said[question.asks]) if question.asks in said else sitting.enter()
        assert named() == (
            [
                "closure-2025-10-18",
                "crowd-north-rim-2025-10-18",
                "crowd-north-rim-2025-10-18-2",
                "crowd-quarry-ledge-2025-10-18",
                "crowd-quarry-ledge-2025-10-18-2",
            ],
            ["wait-for-the-coaches-to-leave"],
        )
        sitting.night.restart()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("outcome", "why", "reasons", "note"),
    [
        ("partly", "light", [Reason.LIGHT], None),
        ("missed", "crowd, a coach party at the rail", [Reason.CROWD], "a coach party at the rail"),
        ("missed", "the shutter froze", [], "the shutter froze"),
        ("replaced", "by bridge-smooth, closure", [Reason.CLOSURE], None),
    ],
)
def test_an_outcome_without_a_reason_is_asked_for_one(
    sitting: Sitting,
    dump: Callable[..., Dump],
    outcome: str,
    why: str,
    reasons: list[Reason],
    note: str | None,
) -> None:
    sitting.until(Asks.OUTCOME)
    slug = sitting.type(outcome).about
    question = sitting.type(why)
    assert (question.asks, question.about) == (Asks.WHY, slug)
    before = dump("night_answer")
    sitting.night.say(question.key, why)
    assert dump("night_answer") == before
    with sitting.book.reading() as desk:
        shot = desk.shots.first(slug=slug)
        assert shot is not None
        made = desk.outcomes.first(shot_id=shot.id)
    assert made is not None
    assert (made.word, list(made.reasons), made.note) == (outcome, reasons, note)
    assert bool(made.replaced_by_shot_id) == (outcome == "replaced")


@pytest.mark.slow
@pytest.mark.parametrize("text", ["made", "partly, light", "missed - overslept", ""])
def test_no_reason_is_asked_for_where_there_is_one_or_none_is_needed(sitting: Sitting, text: str) -> None:
    sitting.until(Asks.OUTCOME)
    sitting.type(text)
    assert sitting.ask().asks is not Asks.WHY


def test_a_reason_can_be_left_out_and_taken_back(sitting: Sitting) -> None:
    sitting.until(Asks.OUTCOME)
    slug = sitting.type("missed").about
    assert sitting.enter().asks is Asks.WHY
    assert sitting.ask().asks is not Asks.WHY
    sitting.back()
    sitting.type("light")
    sitting.back()
    assert sitting.ask().default == "light"
    sitting.unknown()
    with sitting.book.reading() as desk:
        shot = desk.shots.first(slug=slug)
        assert shot is not None
        outcome = desk.outcomes.first(shot_id=shot.id)
    assert outcome is not None
    assert (outcome.word, outcome.reasons) == (OutcomeWord.MISSED, ())


def _visits(sitting: Sitting) -> list[Visit]:
    with sitting.book.reading() as desk:
        return desk.visits.all(on_date=LAST_DAY)


@pytest.mark.slow
def test_a_clock_that_was_set_on_the_day_is_asked_for_each_range(sitting: Sitting) -> None:
    set_clock(sitting.book, TRIP, "Halvern", ClockSaid(fast_s=-420, until="0474"))
    set_clock(sitting.book, TRIP, "Halvern", ClockSaid(fast_s=0, since="0479"))
    asked = []
    while (question := sitting.ask()).asks is Asks.CLOCK:
        asked.append((question.text, question.default))
        sitting.type("+60") if "0478" in question.text else sitting.enter()
    assert asked == [
        ("Halvern Thistle (TRN_0412.JPG to TRN_0474.JPG): add to its time", "+420 s"),
        ("Halvern Thistle (TRN_0478.JPG): add to its time", "+420 s"),
        ("Halvern Thistle (TRN_0479.JPG to TRN_0484.JPG): add to its time", "+0 s"),
    ]
    with sitting.book.reading() as desk:
        offsets = {one.file: one.clock_offset_s for one in desk.keepers.all()}
        assert len(desk.clocks.all()) == 3
    assert [offsets[f"TRN_0{number}.JPG"] for number in (474, 478, 479)] == [420, 60, 0]
    sitting.finish()


@pytest.mark.slow
def test_the_clock_of_another_day_is_not_asked_and_not_changed(sitting: Sitting) -> None:
    set_clock(sitting.book, TRIP, "Halvern", ClockSaid(fast_s=-400, until="0468"))
    question = sitting.type("+60")
    assert question.text.startswith("Halvern Thistle (TRN_0470.JPG to TRN_0484.JPG)")
    assert sitting.ask().asks is not Asks.CLOCK
    with sitting.book.reading() as desk:
        offsets = {one.file: one.clock_offset_s for one in desk.keepers.all()}
    assert (offsets["TRN_0468.JPG"], offsets["TRN_0470.JPG"]) == (400, 60)
