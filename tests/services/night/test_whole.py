"""A whole evening at once: what the terminal asks one by one, each where it belongs, with what stands now."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from logbook.domain.words import Provenance, Support
from logbook.services.night.days_waiting import days_of_trip
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import LAST_DAY, TRIP, Dump, Sitting


def test_looking_keeps_nothing(sitting: Sitting, dump: Callable[..., Dump]) -> None:
    before = dump()
    shown = whole_evening(sitting.night)
    assert shown.stays
    assert dump() == before


@pytest.mark.slow
def test_what_is_shown_is_what_the_terminal_asks(sitting: Sitting) -> None:
    """Both go through the day with Enter and meet the same questions; the page shows what is stated too."""
    shown = {one.question.key for one in whole_evening(sitting.night).items}
    asked = set()
    while (question := sitting.next()) is not None:
        asked.add(question.key)
        sitting.enter()
    after = {one.question.key for one in whole_evening(sitting.night).items}
    clocks = {key for key in asked if key.startswith(("clock.", "zone"))}
    assert asked - clocks <= shown | after


def test_every_picture_of_the_day_stands_in_one_group(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    ids = [one.id for stay in shown.stays for one in stay.keepers]
    assert len(ids) == len(set(ids)) == 7


@pytest.mark.slow
def test_the_record_is_shown_and_not_the_answer(sitting: Sitting) -> None:
    """What another window or a day file wrote stands there, with where it came from."""
    sitting.until(Asks.SUPPORT)
    sitting.type("tripod")
    with sitting.book.writing() as desk:
        for keeper in desk.keepers.all():
            desk.keepers.put(replace(keeper, support=Support.BRACED))
        for visit in desk.visits.all(on_date=LAST_DAY):
            desk.visits.put(replace(visit, support=Support.BRACED))
    support = [one for one in whole_evening(sitting.night).items if one.question.asks is Asks.SUPPORT]
    assert ("braced", Provenance.STATED) in {(one.value, one.word) for one in support}


@pytest.mark.slow
def test_what_a_word_stated_can_be_answered_anew(sitting: Sitting) -> None:
    sitting.until(Asks.TRIES)
    key = sitting.ask().key
    sitting.night.say(key, "14")
    sitting.night.say(key, "?")
    item = next(one for one in whole_evening(sitting.night).items if one.question.key == key)
    assert (item.value, item.is_unknown) == ("", True)
    sitting.night.say(key, "9")
    item = next(one for one in whole_evening(sitting.night).items if one.question.key == key)
    assert (item.value, item.word, item.is_unknown) == ("9", Provenance.STATED, False)


@pytest.mark.slow
def test_days_wait_until_they_are_written_down_and_their_plans_closed(sitting: Sitting) -> None:
    days = days_of_trip(sitting.book, TRIP)
    assert sum(one.keepers for one in days) == 25
    assert not any(one.is_done or one.is_begun for one in days)
    while (question := sitting.next()) is not None:
        sitting.type("made") if question.asks is Asks.OUTCOME else sitting.enter()
    (last,) = (one for one in days_of_trip(sitting.book, TRIP) if one.on_date == LAST_DAY)
    assert (last.is_begun, last.is_done) == (True, True)


def test_what_is_stated_and_what_is_still_worked_out_are_told_apart(sitting: Sitting) -> None:
    before = whole_evening(sitting.night)
    assert before.stated == ()
    key = before.to_state[0].question.key
    sitting.night.state_shown([key])
    after = whole_evening(sitting.night)
    assert [one.question.key for one in after.stated] == [key]
    assert key not in {one.question.key for one in after.to_state}


def test_the_card_of_a_replaced_plan_names_the_picture_in_its_place(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    picture = shown.stays[1].keepers[-1]
    key = next(one.question.key for one in shown.items if one.question.asks is Asks.OUTCOME)
    sitting.night.say(key, f"replaced by {picture.file}, crowd, too many people")
    after = whole_evening(sitting.night)
    (item,) = (one for one in after.items if one.question.key == key)
    assert item.value == f"replaced by {picture.file}, crowd, too many people"
    (card,) = (one for one in after.all_plans if item in one.items)
    assert card.instead == picture
