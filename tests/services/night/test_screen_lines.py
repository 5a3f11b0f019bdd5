"""A line typed at a screen says parts of a stay, of plans or of the day, in the words of a day file."""

from dataclasses import replace
from pathlib import Path

import pytest

from logbook.domain.words import Provenance
from logbook.services.night.opening import PLAN
from logbook.services.night.planned import dumped, loaded
from logbook.services.night.screen_lines import LinesSaid, say_at
from logbook.services.night.screens import Screen, ScreenOf, screens_of
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.book import Book
from tests.services.night.scripted_day import CLOCK, DAY, TRIP
from tests.services.night.sittings import now


@pytest.fixture
def night(scripted_book: Path) -> Night:
    """Its evening, with its clock put right."""
    book = Book(scripted_book, now, create=False)
    night = Night(book, *day_to_write(book, TRIP, None))
    night.say("clock.Ostrey Sorrel", CLOCK)
    return night


def screen(night: Night, of: ScreenOf, number: int = 0) -> Screen:
    """A screen as the book stands."""
    found = screens_of(whole_evening(night))
    return next(one for one in found if one.of is of and one.number == number)


def said(night: Night, line: str, of: ScreenOf = ScreenOf.STAY, number: int = 0) -> LinesSaid:
    """Type a line at a screen."""
    return say_at(night, screen(night, of, number or (1 if of is ScreenOf.STAY else 0)), line)


@pytest.mark.slow
def test_a_stay_is_said_in_one_line(night: Night) -> None:
    line = (
        "8:01-8:30; tripod; dozens; tries: 14; wind: 4 from west; learned: come earlier; in the way: a coach"
    )
    assert said(night, line).refused == ()
    with night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=DAY)
        assert f"{visit.arrived_at} {visit.departed_at} {visit.support} {visit.tries}" == (
            "08:01:00 08:30:00 tripod 14"
        )
        assert visit.journal == "In the way: a coach"
        assert {(str(one.kind), one.level) for one in desk.conditions.all()} == {
            ("crowd", "dozens"),
            ("wind", "4"),
        }
        assert [(str(one.verb), one.text) for one in desk.lessons.all()] == [("change", "come earlier")]


@pytest.mark.slow
def test_a_condition_said_anew_takes_the_place_of_that_of_its_kind_and_time(night: Night) -> None:
    said(night, "wind: 4; crowd: dozens at 17:20")
    said(night, "wind: 5; crowd: none at 18:30")
    with night.book.reading() as desk:
        seen = {(str(one.kind), one.level) for one in desk.conditions.all()}
    assert seen == {("wind", "5"), ("crowd", "dozens"), ("crowd", "none")}


@pytest.mark.slow
def test_pictures_are_named_as_in_a_day_file_or_all_or_the_rest(night: Night) -> None:
    assert said(night, "0475-0476: nd8 + pol, braced, sharp; rest: none").refused == ()
    with night.book.reading() as desk:
        worn = {one.file[:8]: one.filters for one in desk.keepers.all() if one.filters is not None}
        one = desk.keepers.first(file="TRN_0475.JPG")
    assert worn.pop("TRN_0475") == worn.pop("TRN_0476") == ("nd8", "pol")
    assert worn == dict.fromkeys(("TRN_0471", "TRN_0472", "TRN_0480", "OST_1201", "OST_1202"), ())
    assert one is not None
    assert (str(one.support), str(one.sharpness)) == ("braced", "sharp")


def test_a_place_may_be_named_with_its_times(night: Night) -> None:
    assert said(night, "poplar row 14:10-14:30", number=3).refused == ()
    with night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=DAY)
        there = desk.viewpoints.get(visit.viewpoint_id)
    assert there is not None
    assert (there.slug, str(visit.departed_at)) == ("poplar-row", "14:30:00")
    assert visit.provenance_of("viewpoint_id") is Provenance.STATED


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ("~8:01-8:30ish", '"~8:01-8:30ish" is kept as 08:01-08:30.'),
        ("times: 8:01/8:30ish", '"8:01/8:30ish" is kept as 08:01-08:30.'),
    ],
)
def test_times_that_are_about_right_are_kept_and_said_so(night: Night, line: str, kept: str) -> None:
    told = said(night, line)
    assert told.refused == ()
    assert kept in told.told
    with night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=DAY)
    assert f"{visit.arrived_at} {visit.departed_at}" == "08:01:00 08:30:00"


@pytest.mark.slow
def test_opening_hours_seen_at_a_stay_are_a_rule_and_what_nobody_saw_is_refused(night: Night) -> None:
    assert said(night, "closure: gate closes at 18:00").told == ("rule: gate closes at 18:00",)
    for line in ("closure: path closed tomorrow", "wind: 5 tmrw", "crowd: none apart from 2 fishermen"):
        assert said(night, line).refused != (), line
    with night.book.reading() as desk:
        assert [(str(one.kind), one.note) for one in desk.conditions.all()] == [
            ("rule", "gate closes at 18:00")
        ]


@pytest.mark.slow
def test_a_place_that_a_receiver_knew_can_be_another(night: Night) -> None:
    assert said(night, "place: mill window").refused == ()
    with night.book.reading() as desk:
        keeper = desk.keepers.first(file="TRN_0471.JPG")
        there = desk.viewpoints.get(keeper.viewpoint_id) if keeper else None
    assert there is not None
    assert there.slug == "mill-window"


@pytest.mark.slow
def test_a_stay_is_cut_and_joined_by_its_own_screen(night: Night) -> None:
    said(night, "cut at 14:20", number=3)
    assert screen(night, ScreenOf.STAY, 5)
    said(night, "join next", number=3)
    assert not [one for one in screens_of(whole_evening(night)) if one.number == 5]


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    ["bananas", "0999: nd8", "nd8", "cut at 23:00", "tries: many", "crwod: few", '0475: "by the weir"'],
)
def test_what_is_not_understood_is_one_sentence_and_leaves_the_rest_of_the_line(
    night: Night, line: str
) -> None:
    found = said(night, f"{line}; tripod")
    (sentence,) = found.refused
    assert sentence.endswith((".", "?"))
    assert "\n" not in sentence
    with night.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=DAY)
    assert str(visit.support) == "tripod"


@pytest.mark.slow
def test_none_that_is_hard_to_believe_is_questioned_for_a_part_of_a_group_too(night: Night) -> None:
    said(night, "tripod", number=2)  # the plan is settled by the first answer
    with night.book.writing() as desk:
        (kept,) = (one for one in desk.night_answers.all() if one.key == PLAN)
        plan = loaded(kept.answer)
        doubts = {one: "8 s is 9 stops too bright" for group in plan.groups for one in group.keeper_ids}
        visits = tuple(
            replace(visit, groups=tuple(replace(group, doubts=doubts) for group in visit.groups))
            for visit in plan.visits
        )
        desk.night_answers.put(replace(kept, answer=dumped(replace(plan, visits=visits))))
    said(night, "0486: none", number=2)
    assert screen(night, ScreenOf.STAY, 2).to_confirm is not None
    with night.book.reading() as desk:
        keeper = desk.keepers.first(file="TRN_0486.JPG")
    assert keeper is not None
    assert keeper.filters is None


@pytest.mark.slow
def test_plans_are_named_by_number_or_name_and_why_may_follow(night: Night) -> None:
    line = "1-2 made; mill-inside: partly; shot gate-arch: missed, closure; 9 made"
    found = said(night, line, ScreenOf.PLANS)
    assert found.refused == ("There is no shot 9; the list goes from 1 to 6.",)
    assert said(night, "mill-inside: the window was dirty", ScreenOf.PLANS).refused == ()
    with night.book.reading() as desk:
        shots = {one.id: one.slug for one in desk.shots.all()}
        made = {shots[one.shot_id]: (str(one.word), one.note) for one in desk.outcomes.all()}
    assert made == {
        "weir-silk": ("made", None),
        "weir-wide": ("made", None),
        "mill-inside": ("partly", "the window was dirty"),
        "gate-arch": ("missed", None),
    }


@pytest.mark.slow
def test_the_day_takes_closures_clocks_and_stays_without_a_picture(night: Night) -> None:
    line = "north gate, gate locked; nothing else; north gate 12:10-12:20 scouting; clock Sorrel: +3600"
    assert said(night, line, ScreenOf.DAY).refused == ()
    with night.book.reading() as desk:
        (closure,) = desk.conditions.all()
        (visit,) = desk.visits.all(on_date=DAY)
    assert (closure.note, str(visit.purpose), str(visit.arrived_at)) == (
        "gate locked",
        "scouting",
        "12:10:00",
    )


@pytest.mark.slow
def test_looking_back_takes_lessons_and_journal_line_by_line(night: Night) -> None:
    said(night, "Long day; cold hands.; keep: wait for the light", ScreenOf.AFTER)
    said(night, "Ice at six.", ScreenOf.AFTER)
    with night.book.reading() as desk:
        assert [one.journal for one in desk.days.all()] == ["Long day; cold hands.\nIce at six."]
        assert [one.text for one in desk.lessons.all()] == ["wait for the light"]


@pytest.mark.slow
def test_a_lesson_written_as_in_a_day_file_is_none_of_the_journal(night: Night) -> None:
    line = "Long day; lesson keep: wait; Lesson: bring boots; lesson avoid: the wall"
    found = said(night, line, ScreenOf.AFTER)
    assert {"keep: wait", "change: bring boots"} <= set(found.told)
    assert [one for one in found.refused if "lesson avoid: the wall" in one]
    for prose in ("The lesson was hard.", "Lessons learned: none but patience."):
        assert not said(night, prose, ScreenOf.AFTER).refused
    with night.book.reading() as desk:
        assert [one.journal for one in desk.days.all()] == [
            "Long day\nThe lesson was hard.\nLessons learned: none but patience."
        ]
        assert {(str(one.verb), one.text) for one in desk.lessons.all()} == {
            ("keep", "wait"),
            ("change", "bring boots"),
        }
