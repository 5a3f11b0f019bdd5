"""Plain answers of a tired person become what they say, and nothing else."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.words import ConditionKind, LessonVerb, Provenance, Support
from logbook.services.night.opening import PLAN
from logbook.services.night.planned import NightPlan, dumped, loaded
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.services.night.standing import standing
from tests.examples import first
from tests.services.night.sittings import LAST_DAY, LEDGE, UNPLACED, Dump, Sitting

ONE_PLACE = date(2025, 10, 13)  # the sample's day with one visit
CLOSURE, WATER, WEATHER, WIND = (
    ConditionKind.CLOSURE,
    ConditionKind.WATER,
    ConditionKind.WEATHER,
    ConditionKind.WIND,
)


def say(sitting: Sitting, text: str) -> tuple[str, ...]:
    """State something and return what is said back."""
    return sitting.say(text)


def conditions(sitting: Sitting) -> list[Any]:
    """The conditions of the day."""
    with sitting.book.reading() as desk:
        return desk.conditions.all(on_date=LAST_DAY)


def lessons(sitting: Sitting) -> list[Any]:
    """The lessons of the day."""
    with sitting.book.reading() as desk:
        return desk.lessons.all(on_date=sitting.night.on_date)


def journal(sitting: Sitting) -> str | None:
    """The journal of the day."""
    with sitting.book.reading() as desk:
        day = desk.days.first(on_date=LAST_DAY)
    return day.journal if day else None


@pytest.mark.slow
@pytest.mark.parametrize(
    "text",
    ["nothing", "no", "None", "nope", "all open", "nothing closed", "all fine.", "nothing new", "-", "n/a"],
)
def test_nothing_in_any_form_is_no_condition(sitting: Sitting, dump: Callable[..., Dump], text: str) -> None:
    sitting.until(Asks.CHANGES)
    before = dump("night_answer")
    assert say(sitting, text) == ("Nothing is noted.",)
    assert dump("night_answer") == before


@pytest.mark.slow
def test_each_line_is_a_condition_of_its_own_kind_and_is_said_back(sitting: Sitting) -> None:
    sitting.until(Asks.CHANGES)
    told = say(sitting, "north rim road closed\nrain from 3pm; tide high\nwind 4 from west")
    found = conditions(sitting)
    assert [one.kind for one in found] == [CLOSURE, WEATHER, WATER, WIND]
    assert len(told) == 4
    assert told[0] == "closure: north rim road closed"
    assert journal(sitting) is None


@pytest.mark.slow
def test_words_that_fit_no_kind_are_kept_in_the_journal_and_taken_back_with_the_answer(
    sitting: Sitting,
) -> None:
    sitting.until(Asks.CHANGES)
    told = say(sitting, "the gate is painted blue now")
    assert told[0].endswith("it is kept in the journal of the day.")
    assert (conditions(sitting), journal(sitting)) == ([], "the gate is painted blue now")
    sitting.back()
    say(sitting, "the gate is green now")
    assert journal(sitting) == "the gate is green now"
    sitting.back()
    say(sitting, "north rim road closed")
    assert journal(sitting) is None


def test_a_place_that_leads_the_line_has_the_condition(sitting: Sitting) -> None:
    sitting.until(Asks.CHANGES)
    told = say(sitting, "quarry ledge, gate locked")
    (gate,) = conditions(sitting)
    with sitting.book.reading() as desk:
        ledge = desk.viewpoints.first(slug="quarry-ledge")
    assert ledge is not None
    assert (gate.kind, gate.note, gate.viewpoint_id) == (CLOSURE, "gate locked", ledge.id)
    assert told == ("closure at quarry-ledge: gate locked",)


@pytest.mark.parametrize(
    ("line", "is_there"),
    first(
        [
            ("quarry-ledge: rope across the steps, closed", True),
            ("Quarry ledge was flooded", True),
            ("rain at the quarry ledge from 3pm", True),
            ("steps closed (quarry ledge)", True),
            ("quarry ledge road closed", False),
            ("road to the quarry ledge car park closed", False),
            ("rain all day", False),
        ],
        2,
    ),
)
def test_only_a_place_named_in_full_has_a_condition(sitting: Sitting, line: str, *, is_there: bool) -> None:
    sitting.until(Asks.CHANGES)
    say(sitting, line)
    (found,) = conditions(sitting)
    assert (found.viewpoint_id is not None) == is_there


@pytest.mark.slow
@pytest.mark.parametrize("text", ["same", "yes", "ok", "made", "h"])
def test_an_answer_to_another_question_is_no_condition_and_no_lesson(
    sitting: Sitting, dump: Callable[..., Dump], text: str
) -> None:
    for asks in (Asks.CHANGES, Asks.KEEP):
        sitting.until(asks)
        before = dump()
        with pytest.raises(InvalidValueError):
            say(sitting, text)
        assert dump() == before


@pytest.mark.slow
def test_every_line_of_a_lesson_is_a_lesson_at_the_place_of_the_day(sitting: Sitting) -> None:
    sitting = Sitting(Night(sitting.book, sitting.night.trip, ONE_PLACE))
    sitting.until(Asks.KEEP)
    told = say(sitting, "wait for the coaches\n\nuse the low spot\n")
    assert told[0] == "2 lessons are kept."
    assert [one.text for one in lessons(sitting)] == ["wait for the coaches", "use the low spot"]
    with sitting.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=ONE_PLACE)
    assert visit.viewpoint_id is not None
    assert {one.viewpoint_id for one in lessons(sitting)} == {visit.viewpoint_id}
    sitting.back()
    say(sitting, "use the low spot")
    assert [(one.text, one.verb) for one in lessons(sitting)] == [("use the low spot", LessonVerb.KEEP)]
    sitting.back()
    assert say(sitting, "nothing") == ("Nothing is noted.",)
    assert lessons(sitting) == []


@pytest.mark.slow
def test_a_lesson_of_a_day_at_two_places_is_of_neither(sitting: Sitting) -> None:
    sitting.until(Asks.KEEP)
    assert say(sitting, "wait for the coaches") == ()
    assert [one.viewpoint_id for one in lessons(sitting)] == [None]


@pytest.mark.slow
def test_a_lesson_may_name_its_place(sitting: Sitting) -> None:
    sitting.until(Asks.CHANGE)
    assert say(sitting, "quarry ledge: come earlier") == ('"come earlier" is kept at quarry-ledge.',)
    (lesson,) = lessons(sitting)
    assert lesson.text == "come earlier"
    assert lesson.viewpoint_id is not None


@pytest.mark.slow
def test_what_was_in_the_way_may_be_nothing(sitting: Sitting) -> None:
    sitting.until(Asks.IN_THE_WAY)
    say(sitting, "a coach\ntwo boats")
    with sitting.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert visit.journal == "In the way: a coach, two boats"
    sitting.back()
    assert say(sitting, "nothing") == ("Nothing is noted.",)
    with sitting.book.reading() as desk:
        assert [one.journal for one in desk.visits.all(on_date=LAST_DAY)] == [None]


@pytest.mark.slow
def test_no_place_is_called_no(sitting: Sitting) -> None:
    question = sitting.until(Asks.VIEWPOINT, UNPLACED)
    for text in ("no", "none", "same", "ok", "nothing"):
        with pytest.raises(LogbookError, match="is not a viewpoint"):
            say(sitting, text)
    assert sitting.ask() == question


@pytest.mark.slow
@pytest.mark.parametrize("text", ["h", "m", "t"])
def test_a_letter_alone_is_no_support(sitting: Sitting, text: str) -> None:
    sitting.until(Asks.SUPPORT)
    with pytest.raises(InvalidValueError, match="alone says too little here"):
        say(sitting, text)


@pytest.mark.slow
def test_enter_on_a_stated_support_leaves_what_was_said_of_one_picture(sitting: Sitting) -> None:
    sitting.until(Asks.SUPPORT, LEDGE)
    say(sitting, "tripod")
    with sitting.book.writing() as desk:
        first, *others = [one for one in desk.keepers.all() if one.support is Support.TRIPOD]
        assert others
        desk.keepers.put(replace(first, support=Support.HANDHELD))
    sitting.back()
    assert sitting.enter().came_from is Provenance.STATED
    with sitting.book.reading() as desk:
        after = desk.keepers.get(first.id)
    assert after is not None
    assert after.support is Support.HANDHELD


@pytest.mark.slow
def test_what_is_stored_is_said_back_where_it_differs(sitting: Sitting) -> None:
    sitting.until(Asks.CLOCK)
    assert say(sitting, "63 minutes fast") == (
        "The clock was 1 h 3 min fast: 1 h 3 min will be taken off its times.",
    )
    sitting.back()
    say(sitting, "7 min slow")
    sitting.until(Asks.TIMES, LEDGE)
    assert say(sitting, "4-6pm") == ('"4-6pm" is kept as 16:00-18:00.',)
    sitting.until(Asks.CROWD)
    assert say(sitting, "nobody, a few") == ('"nobody, a few" is kept as none, few.',)
    sitting.until(Asks.SUPPORT)
    assert say(sitting, "hand") == ('"hand" is kept as handheld.',)
    assert say(sitting, "about 20") == ('"about 20" is kept as 20.',)
    visit = sitting.visit(LEDGE)
    assert (visit.support, visit.tries) == (Support.HANDHELD, 20)
    sitting.until(Asks.OUTCOME)
    assert say(sitting, "made") == ()


def filters(sitting: Sitting, keys: list[str]) -> dict[str, tuple[str, ...] | None]:
    """The stated filters of some keepers, by the number of the file."""
    with sitting.book.reading() as desk:
        found = [keeper for key in keys if (keeper := desk.keepers.get(key))]
    assert len(found) == len(keys)
    return {
        keeper.file[4:8]: keeper.filters
        for keeper in found
        if keeper.provenance_of("filters") is Provenance.STATED
    }


def group_of_several(sitting: Sitting) -> list[str]:
    """Go on to a group of several keepers that is asked for its filters."""
    while len(keys := sitting.until(Asks.FILTERS, LEDGE).about.split(",")) < 2:
        sitting.enter()
    return keys


@pytest.mark.slow
@pytest.mark.parametrize("text", ["yes", "made", "sharp", "few", "h", "maybe nd8 or so"])
def test_what_cannot_be_a_filter_is_refused(sitting: Sitting, dump: Callable[..., Dump], text: str) -> None:
    sitting.until(Asks.FILTERS, LEDGE)
    before = dump()
    with pytest.raises(InvalidValueError):
        say(sitting, text)
    assert dump() == before


@pytest.mark.slow
def test_filters_are_said_keeper_by_keeper(sitting: Sitting) -> None:
    keys = group_of_several(sitting)
    with sitting.book.reading() as desk:
        numbers = [keeper.file[4:8] for key in keys if (keeper := desk.keepers.get(key))]
    question = sitting.ask()
    for text in ("9999 nd8", f"{numbers[0]} nd8, {numbers[0]} pol"):
        with pytest.raises(LogbookError):
            say(sitting, text)
    say(sitting, f"{numbers[0]} nd 3,0\nrest pol")
    assert filters(sitting, keys) == {numbers[0]: ("nd1000",)} | dict.fromkeys(numbers[1:], ("pol",))
    assert sitting.back()
    assert (sitting.ask().key, sitting.ask().default) == (question.key, f"{numbers[0]} nd1000, rest pol")
    sitting.enter()
    following = sitting.until(Asks.FILTERS, LEDGE)
    assert following.default != f"{numbers[0]} nd1000, rest pol"


@pytest.mark.slow
def test_same_is_what_the_group_before_had(sitting: Sitting) -> None:
    sitting.until(Asks.FILTERS, LEDGE)
    with pytest.raises(InvalidValueError, match="not known"):
        say(sitting, "same")
    say(sitting, "cpl + nd3.0")
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    assert say(sitting, "same") == ('"same" is kept as pol + nd1000.',)
    assert set(filters(sitting, keys).values()) == {("pol", "nd1000")}


@pytest.mark.slow
@pytest.mark.parametrize("text", ["old stocking", "glass of my aunt", "idk"])
def test_a_name_that_no_filter_is_known_by_is_asked_about_before_it_is_kept(
    sitting: Sitting, text: str
) -> None:
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    assert say(sitting, text) == ()
    question = sitting.ask()
    assert (question.asks, filters(sitting, keys)) == (Asks.SURE, {})
    assert f'keep "{text}" as the name of a filter' in question.text
    say(sitting, "n")
    assert sitting.ask().asks is Asks.FILTERS
    say(sitting, "black card")
    say(sitting, "y")
    assert set(filters(sitting, keys).values()) == {("black card",)}
    sitting.until(Asks.FILTERS, LEDGE)
    say(sitting, "black card")  # a name in use is asked about no more
    assert sitting.ask().asks is not Asks.SURE


@pytest.mark.slow
@pytest.mark.parametrize("asks", [Asks.VIEWPOINT, Asks.TRIES, Asks.FILTERS, Asks.CHANGES, Asks.KEEP])
def test_not_knowing_is_said_in_words_too(sitting: Sitting, dump: Callable[..., Dump], asks: Asks) -> None:
    sitting.until(asks)
    before = dump("night_answer", "visit", "keeper")
    assert say(sitting, "don't know") == ("It is left unknown.",)
    assert dump("night_answer", "visit", "keeper") == before


@pytest.mark.slow
def test_part_of_a_name_is_entered_as_a_new_place_only_by_a_yes(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    say(sitting, "the ledge")
    assert (sitting.ask().asks, sitting.ask().default) == (Asks.NEW_VIEWPOINT, "n")


@pytest.mark.slow
def test_no_is_asked_once_more_before_it_is_none(sitting: Sitting) -> None:
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    say(sitting, "no")
    assert sitting.ask().asks is Asks.SURE
    assert filters(sitting, keys) == {}
    say(sitting, "n")
    assert sitting.ask().asks is Asks.FILTERS
    say(sitting, "no")
    say(sitting, "y")
    assert set(filters(sitting, keys).values()) == {()}
    assert sitting.ask().asks is not Asks.SURE
    sitting.back()
    assert (sitting.ask().asks, sitting.ask().default) == (Asks.FILTERS, "none")


def test_none_that_is_hard_to_believe_is_questioned_once_and_stays_when_confirmed(sitting: Sitting) -> None:
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    doubt(sitting, dict.fromkeys(keys, "60 s at f/11 in daylight is 9 stops too bright without a filter"))
    say(sitting, "none")
    question = sitting.ask()
    assert (question.asks, question.default) == (Asks.SURE, "")
    assert question.why == ("60 s at f/11 in daylight is 9 stops too bright without a filter",)
    assert filters(sitting, keys) == {}
    say(sitting, "yes")
    assert set(filters(sitting, keys).values()) == {()}


def test_a_doubted_none_that_nobody_confirms_stays_unknown(sitting: Sitting) -> None:
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    doubt(sitting, dict.fromkeys(keys, "too bright"))
    say(sitting, "none")
    sitting.enter()
    assert set(filters(sitting, keys).values()) <= {None}
    assert sitting.ask().asks is not Asks.SURE
    assert sitting.until(Asks.FILTERS, LEDGE).came_from is not Provenance.ASSUMED


def doubt(sitting: Sitting, doubts: dict[str, str]) -> None:
    """Make no filter hard to believe for the keepers of the day."""
    with sitting.book.writing() as desk:
        kept = next(one for one in desk.night_answers.all(on_date=LAST_DAY) if one.key == PLAN)
        plan: NightPlan = loaded(kept.answer)
        visits = tuple(
            replace(visit, groups=tuple(replace(group, doubts=doubts) for group in visit.groups))
            for visit in plan.visits
        )
        desk.night_answers.put(replace(kept, answer=dumped(replace(plan, visits=visits))))


@pytest.mark.slow
def test_what_a_match_suggests_is_no_outcome(sitting: Sitting) -> None:
    question = sitting.until(Asks.OUTCOME)
    assert (question.default, question.came_from) == ("", None)
    assert question.why[-1].endswith(" may be it")
    assert question.enter == "still open"
    sitting.enter()
    with sitting.book.reading() as desk:
        shot = desk.shots.first(slug=question.about)
        assert shot is not None
        assert desk.outcomes.first(shot_id=shot.id) is None
        assert desk.keepers.all(shot_id=shot.id)


@pytest.mark.slow
def test_every_question_about_frames_shows_when_and_how_they_were_made(sitting: Sitting) -> None:
    about_frames = {Asks.TIMES, Asks.CROWD, Asks.SUPPORT, Asks.TRIES, Asks.FILTERS, Asks.SHARPNESS}
    seen = set()
    while (question := sitting.next()) is not None:
        question = question
        if question.asks in about_frames:
            assert "mm, f/" in question.shows
            assert len(question.shows) <= 77
            seen.add(question.asks)
        if question.asks is Asks.OUTCOME:
            assert question.shows
        sitting.enter()
    assert seen == about_frames


@pytest.mark.slow
def test_a_long_exposure_in_daylight_is_doubted_from_its_own_settings(sitting: Sitting) -> None:
    with sitting.book.writing() as desk:
        for keeper in desk.keepers.all():
            if keeper.file >= "TRN_0472":
                desk.keepers.put(replace(keeper, exposure_s=Fraction(60), f_number=11.0, iso=100))
    keys = sitting.until(Asks.FILTERS, LEDGE).about.split(",")
    say(sitting, "none")
    question = sitting.ask()
    assert question.asks is Asks.SURE
    assert question.why[0].startswith("1 min, f/11, ISO 100: ")
    say(sitting, "y")
    assert set(filters(sitting, keys).values()) == {()}


@pytest.mark.slow
def test_conditions_of_a_stay_are_lines_of_a_day_file_and_are_said_back(sitting: Sitting) -> None:
    sitting.until(Asks.CONDITIONS, LEDGE)
    question = sitting.ask()
    told = sitting.night.say(question.key, "crowd: dozens at 17:20; wind: 4 from west\nrain from 5pm")
    assert told == ("crowd at 17:20: dozens", "wind: 4 from W", "weather at 17:00: rain from 5pm")
    visit = sitting.visit(LEDGE)
    with sitting.book.reading() as desk:
        seen = desk.conditions.all(visit_id=visit.id)
        assert [(str(one.kind), one.level) for one in seen] == [
            ("crowd", "dozens"),
            ("wind", "4"),
            ("weather", None),
        ]
        standing_now = standing(desk, sitting.night.trip.id, question)
    assert standing_now is not None
    assert standing_now.text == "wind: 4 from W; weather: 17:00 rain from 5pm"
    sitting.night.say(question.key, "water: low")
    with sitting.book.reading() as desk:
        assert [str(one.kind) for one in desk.conditions.all(visit_id=visit.id)] == ["water"]
    with pytest.raises(LogbookError, match="is not a condition"):
        sitting.night.say(question.key, "a dog ran past")
