"""What was seen at a stay, beside what a command or a day file noted of it."""

from datetime import time

from logbook.domain.words import ConditionKind
from logbook.services.conditions import note
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import LEDGE, TRIP, Sitting


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
