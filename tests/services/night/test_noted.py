"""What is noted at a stay: what was seen, beside commands and day files, and lessons, at the right place."""

from datetime import time

from logbook.domain.words import Audience, ConditionKind, LessonVerb, Provenance
from logbook.services.conditions import note
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import LAST_DAY, LEDGE, TRIP, Sitting


def test_a_level_said_at_a_stay_takes_the_place_of_one_noted_elsewhere(sitting: Sitting) -> None:
    stay = whole_evening(sitting.night).stays[1]
    key = next(one.question.key for one in stay.items if one.question.asks is Asks.CONDITIONS)
    sitting.night.say(key, "water: low")
    of_visit = {"kind": ConditionKind.WIND, "visit": sitting.visit(LEDGE).slug}
    note(sitting.book, TRIP, {**of_visit, "level": "2"}, None)
    note(sitting.book, TRIP, {**of_visit, "level": "6", "at": time(17)}, None)
    sitting.night.say(key, "water: low\nwind: 4")
    with sitting.book.reading() as desk:
        seen = [(str(one.kind), one.level, one.at) for one in desk.conditions.all()]
    assert sorted(seen, key=str) == [("water", "low", None), ("wind", "4", None), ("wind", "6", time(17))]


def test_a_plan_that_has_its_outcome_is_shown_with_it_and_not_asked_about(sitting: Sitting) -> None:
    sitting.night.say("shot.gorge-window", "partly, light")
    sitting.night.restart()
    plans = [plan for stay in whole_evening(sitting.night).stays for plan in stay.plans]
    became = {plan.shot.slug: plan.became.text if plan.became else None for plan in plans}
    assert became == {"gorge-window": "partly, light", "gorge-smooth": None}
    assert [bool(plan.items) for plan in plans if plan.became] == [False]


def key_at(sitting: Sitting, number: int, asks: Asks) -> str:
    """The key of a question about a stay, by the stay's number in the day."""
    stay = whole_evening(sitting.night).stays[number - 1]
    return next(one.question.key for one in stay.items if one.question.asks is asks)


def lessons(sitting: Sitting) -> list[tuple[LessonVerb, Audience | None, str]]:
    """What the book holds as learned."""
    with sitting.book.reading() as desk:
        return [(one.verb, one.shown_to, one.text) for one in desk.lessons.all()]


def test_each_line_is_a_lesson_at_the_place_of_the_stay(sitting: Sitting) -> None:
    key = key_at(sitting, 1, Asks.LEARNED)
    sitting.night.say(key, "come before the coaches\nkeep [students]: the rail as a rest")
    assert lessons(sitting) == [
        (LessonVerb.CHANGE, None, "come before the coaches"),
        (LessonVerb.KEEP, Audience.STUDENTS, "the rail as a rest"),
    ]
    visit = sitting.visit("north-rim")
    with sitting.book.reading() as desk:
        assert {one.viewpoint_id for one in desk.lessons.all()} == {visit.viewpoint_id}
    sitting.night.say(key, "come before the first coach")
    assert lessons(sitting) == [(LessonVerb.CHANGE, None, "come before the first coach")]
    sitting.night.say(key, "nothing")
    assert lessons(sitting) == []


def test_a_stay_that_only_plans_place_is_inferred_to_be_there(sitting: Sitting) -> None:
    sitting.night.say(key_at(sitting, 2, Asks.LEARNED), "bring the longer lens")
    visit = sitting.visit(LEDGE)
    assert visit.provenance_of("viewpoint_id") is Provenance.INFERRED
    with sitting.book.reading() as desk:
        there = desk.keepers.all(viewpoint_id=visit.viewpoint_id)
    assert {one.provenance_of("viewpoint_id") for one in there} == {Provenance.INFERRED}


def test_a_stay_whose_place_nobody_knows_stays_without_one(sitting: Sitting) -> None:
    sitting.night.say(key_at(sitting, 2, Asks.VIEWPOINT), "?")
    assert not [
        one
        for one in whole_evening(sitting.night).stays[1].items
        if one.question.asks in (Asks.LEARNED, Asks.TIMES)
    ]
    sitting.night.say(key_at(sitting, 2, Asks.SUPPORT), "braced")
    with sitting.book.reading() as desk:
        assert desk.visits.all(on_date=LAST_DAY) == []
