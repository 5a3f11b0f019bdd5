"""Stays that are wrongly parted or joined are put right before anything is asked about them."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, time

import pytest

from logbook.domain.errors import LogbookError
from logbook.services import kinds
from logbook.services.books.undo import undo
from logbook.services.night.cutting import Cut, Join, correction_of_stays
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night
from tests.services.adding import add_to_trip
from tests.services.night.sittings import LAST_DAY, LEDGE, TRIP, Dump, Sitting

THREE_VISITS = date(2025, 10, 16)


def stays(sitting: Sitting) -> list[str]:
    """The stays as the screen lists them."""
    question = sitting.until(Asks.CHANGES)
    return [line for line in question.why if line[0].isdigit()]


def say(sitting: Sitting, text: str) -> None:
    """State something."""
    sitting.say(text)


def iter_questions(sitting: Sitting) -> Iterator[Question]:
    """Every question that is still asked, answered with Enter."""
    while (question := sitting.next()) is not None:
        yield question
        sitting.enter()


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("cut 2 at 10:40", Cut(2, time(10, 40))),
        ("Split 1 at 5:20 pm", Cut(1, time(17, 20))),
        ("cut 2 @ 1040", Cut(2, time(10, 40))),
        ("join 2 3", Join(2)),
        ("join 3 and 2", Join(2)),
        ("join 1, 2.", Join(1)),
        ("the fence was cut at 10:40", None),
        ("cut 2 trees down", None),
        ("join the queue", None),
    ],
)
def test_what_puts_a_stay_right_is_told_from_what_changed(text: str, meant: Cut | Join | None) -> None:
    assert correction_of_stays(text) == meant


@pytest.mark.slow
def test_a_stay_is_cut_and_each_part_is_asked_about(sitting: Sitting) -> None:
    _, before = stays(sitting)
    assert before.startswith("2  16:12-17:53  ")
    assert "6 frames" in before
    say(sitting, "cut 2 at 17:00")
    _, early, late = stays(sitting)
    assert (early[:3], late[:3]) == ("2  ", "3  ")
    assert "16:12" in early
    assert "17:53" in late
    assert sitting.ask().asks is Asks.CHANGES
    while (question := sitting.next()) is not None:
        sitting.type("quarry ledge") if question.asks is Asks.VIEWPOINT else sitting.enter()
    with sitting.book.reading() as desk:
        _, first, second = sorted(desk.visits.all(on_date=LAST_DAY), key=lambda one: one.arrived_at or time())
        taken = [one for one in desk.keepers.all() if one.file >= "TRN_0472"]
    assert first.departed_at is not None
    assert second.arrived_at is not None
    assert first.departed_at < time(17) <= second.arrived_at
    assert len(taken) == 6
    assert all(one.viewpoint_id for one in taken)


def test_stays_that_were_cut_are_joined_again(sitting: Sitting) -> None:
    before = stays(sitting)
    say(sitting, "cut 2 at 17:00")
    assert len(stays(sitting)) == len(before) + 1
    say(sitting, "join 2 3")
    assert stays(sitting) == before


@pytest.mark.slow
def test_several_corrections_may_be_pasted_together(sitting: Sitting) -> None:
    day = Sitting(Night(sitting.book, sitting.night.trip, THREE_VISITS))
    before = stays(day)
    assert len(before) > 1
    arrived = before[0].split()[1][:5]
    with pytest.raises(LogbookError):
        say(day, f"cut 1 at {arrived}\njoin 1 9")
    assert stays(day) == before


@pytest.mark.slow
@pytest.mark.parametrize(
    "text", ["cut 2 at 11:00", "cut 7 at 17:00", "join 2 3", "cut 2 at 25:00", "join 1 3"]
)
def test_what_cannot_be_cut_or_joined_is_one_sentence(
    sitting: Sitting, dump: Callable[..., Dump], text: str
) -> None:
    sitting.until(Asks.CHANGES)
    before = dump()
    with pytest.raises(LogbookError) as error:
        say(sitting, text)
    assert str(error.value).endswith(".")
    assert dump() == before


@pytest.mark.slow
def test_a_stay_that_has_answers_is_cut_too_and_keeps_them(sitting: Sitting) -> None:
    question = sitting.until(Asks.CHANGES)
    sitting.enter()
    sitting.until(Asks.CROWD, LEDGE)
    say(sitting, "dozens")
    sitting.until(Asks.TRIES, LEDGE)
    say(sitting, "14")
    sitting.until(Asks.FILTERS, LEDGE)
    say(sitting, "nd8 + nd8")
    with sitting.book.reading() as desk:
        (before,) = (one for one in desk.visits.all(on_date=LAST_DAY) if one.tries == 14)
    sitting.night.say(question.key, "cut 2 at 17:00")
    with sitting.book.reading() as desk:
        visits = [one for one in desk.visits.all(on_date=LAST_DAY) if one.viewpoint_id == before.viewpoint_id]
        crowds = desk.conditions.all(visit_id=before.id)
        behind = {one.filters for one in desk.keepers.all() if one.file >= "TRN_0472"}
    early, late = sorted(visits, key=lambda one: one.arrived_at or time())
    assert early.id == before.id
    assert [str(one.level) for one in crowds] == ["dozens"], "the crowd was met on arriving"
    assert ("nd8", "nd8") in behind
    asked = list(iter_questions(sitting))
    assert {one.about for one in asked if one.asks is Asks.TRIES} == {early.id, late.id}, (
        "tries are counted anew"
    )
    assert {one.about for one in asked if one.asks is Asks.CROWD} == {late.id}


def test_cutting_is_taken_back_by_undo(sitting: Sitting) -> None:
    before = stays(sitting)
    say(sitting, "cut 2 at 17:00")
    assert len(stays(sitting)) == 3
    undo(sitting.book)
    assert stays(sitting) == before


@pytest.mark.slow
def test_a_visit_of_the_book_is_cut_and_joined_with_its_stay(sitting: Sitting) -> None:
    visit = {
        "viewpoint": "quarry-ledge",
        "on_date": LAST_DAY,
        "arrived_at": time(16),
        "departed_at": time(18),
    }
    add_to_trip(sitting.book, kinds.VISIT, TRIP, visit, None)
    with sitting.book.writing() as desk:
        ledge = desk.viewpoints.first(slug="quarry-ledge")
        assert ledge is not None
        for keeper in desk.keepers.all():
            if keeper.file >= "TRN_0472":
                desk.keepers.put(replace(keeper, viewpoint_id=ledge.id))
    assert len(stays(sitting)) == 2
    say(sitting, "cut 2 at 17:00")
    with sitting.book.reading() as desk:
        times = sorted((one.arrived_at, one.departed_at) for one in desk.visits.all(on_date=LAST_DAY))
    assert times == [(time(16), time(17)), (time(17), time(18))]
    assert len(stays(sitting)) == 3
    say(sitting, "join 2 3")
    with sitting.book.reading() as desk:
        (joined,) = desk.visits.all(on_date=LAST_DAY)
    assert (joined.arrived_at, joined.departed_at) == (time(16), time(18))
