"""What was learned at a stay: lesson lines of a day file, at its place, also where only plans name that."""

from logbook.domain.words import Audience, LessonVerb, Provenance
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import LAST_DAY, LEDGE, Sitting


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
