"""What is offered beside a question: near places first, levels beside other lines, outcomes of a closure."""

from dataclasses import replace
from datetime import time

import pytest

from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import Position, distance_m
from logbook.domain.words import ConditionKind, Support
from logbook.domain.written.observations import seen_at_stay
from logbook.services.night.card_choices import ready_kinds, ready_levels, with_level
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import Sitting


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("", "water: high"),
        ("water: low", "water: high"),
        ("water: low; closure: lower steps", "closure: lower steps\nwater: high"),
        ("crowd: few at 16:20", "crowd: few at 16:20\nwater: high"),
        ("wind: 4 from west\nlow", "wind: 4 from west\nwater: high"),
    ],
)
def test_a_level_takes_the_place_of_its_like_alone(text: str, after: str) -> None:
    assert with_level(text, ConditionKind.WATER, "high") == after


def test_another_force_of_the_wind_keeps_where_it_comes_from() -> None:
    assert with_level("wind: 3 from W", ConditionKind.WIND, "5") == "wind: 5 from W"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("water: low at 16:20", "already gives a time"),
        ("water: low, brown with silt", "gives more than a level"),
        ("water: low, said the warden", "gives more than a level"),
        ("water: low, then high at 17:00", "already gives a time"),
    ],
)
def test_a_level_is_not_chosen_over_what_a_line_says_besides(text: str, why: str) -> None:
    with pytest.raises(InvalidValueError, match=why):
        with_level(text, ConditionKind.WATER, "high")


def test_no_level_of_the_whole_stay_is_offered_where_one_was_noted_at_a_time() -> None:
    assert ready_levels(ConditionKind.WATER, "water: low at 16:20") == ()
    assert len(ready_levels(ConditionKind.WIND, "water: low at 16:20")) == len(
        KINDS[ConditionKind.WIND].levels
    )


def crowds_at(sitting: Sitting, number: int) -> list[tuple[str | None, time | None]]:
    """The crowds that the book has of a stay."""
    visit = whole_evening(sitting.night).stays[number].visit
    assert visit is not None
    with sitting.book.reading() as desk:
        return [(one.level, one.at) for one in desk.conditions.all(visit_id=visit.id)]


def key_at(sitting: Sitting, number: int, asks: Asks) -> str:
    """The key of a question of a stay."""
    items = whole_evening(sitting.night).stays[number].items
    return next(one.question.key for one in items if one.question.asks is asks)


def test_one_crowd_of_a_stay_has_no_time_that_nobody_said(sitting: Sitting) -> None:
    sitting.night.say(key_at(sitting, 0, Asks.CROWD), "few")
    assert crowds_at(sitting, 0) == [("few", None)]


@pytest.mark.slow
def test_a_crowd_of_the_whole_stay_is_neither_offered_nor_taken_over_one_at_a_time(sitting: Sitting) -> None:
    assert not whole_evening(sitting.night).stays[1].is_crowd_timed
    sitting.night.say(key_at(sitting, 1, Asks.CONDITIONS), "crowd: dozens at 16:33; wind: 3 from W")
    assert whole_evening(sitting.night).stays[1].is_crowd_timed
    with pytest.raises(InvalidValueError, match='"crowd: dozens at 16:33" is noted for this stay'):
        sitting.night.say(key_at(sitting, 1, Asks.CROWD), "few")
    assert crowds_at(sitting, 1)[0] == ("dozens", time(16, 33))
    sitting.night.say(key_at(sitting, 1, Asks.CONDITIONS), "wind: 3 from W")
    sitting.night.say(key_at(sitting, 1, Asks.CROWD), "few")
    assert ("few", None) in crowds_at(sitting, 1)


@pytest.mark.parametrize("kind", ready_kinds(()))
def test_each_level_that_is_offered_reads_back_as_itself(kind: ConditionKind) -> None:
    for level in KINDS[kind].levels:
        (one,) = seen_at_stay(with_level("", kind, level))
        assert [(each.kind, each.level) for each in one.conditions] == [(kind, level)]
        assert dict(ready_levels(kind, with_level("", kind, level)))[level]


def test_places_of_a_stay_begin_with_the_proposed_and_the_near(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    assert [stay.places[0] for stay in shown.stays] == ["north-rim", "quarry-ledge"]
    here = shown.stays[0].keepers[0]
    assert here.latitude_deg is not None
    assert here.longitude_deg is not None
    at = Position(here.latitude_deg, here.longitude_deg)
    with sitting.book.reading() as desk:
        known = {one.slug: one.position for one in desk.viewpoints.all()}
    far_m = [distance_m(at, there) for slug in shown.stays[0].places if (there := known[slug])]
    assert far_m == sorted(far_m)


def test_what_was_planned_before_the_lens_is_offered_and_said_with_its_support(sitting: Sitting) -> None:
    with sitting.book.writing() as desk:
        shot = next(one for one in desk.shots.all() if one.slug == "gorge-smooth")
        desk.shots.put(replace(shot, filters=("nd64", "pol"), support=Support.TRIPOD))
    shown = whole_evening(sitting.night)
    (card,) = (one for one in shown.all_plans if one.shot.slug == "gorge-smooth")
    assert card.planned.endswith("nd64 + pol, tripod")
    (stay,) = (one for one in shown.stays if card in one.plans)
    assert "nd64 + pol" in stay.filters
    assert all("nd64 + pol" in group.filters for group in stay.groups)


def test_a_closure_seen_that_day_is_offered_for_what_was_planned_there(sitting: Sitting) -> None:
    def offered() -> dict[str, str]:
        shown = whole_evening(sitting.night)
        plans = (*shown.plans, *(plan for stay in shown.stays for plan in stay.plans))
        return {plan.shot.slug: plan.offered for plan in plans}

    assert set(offered().values()) == {""}
    sitting.night.say("changes", "north rim: gate locked")
    assert set(offered().values()) == {""}, "it was closed elsewhere"
    sitting.night.say("changes", "quarry ledge: path closed, said the warden")
    assert set(offered().values()) == {"missed, closure"}


def test_every_picture_stands_once_in_order_of_time_and_sets_as_one(sitting: Sitting) -> None:
    stay = whole_evening(sitting.night).stays[1]
    assert [(one.kind, len(one.keepers)) for one in stay.frames] == [
        ("bracket", 3),
        (None, 1),
        (None, 1),
        (None, 1),
    ]
    ids = [keeper.id for frame in stay.frames for keeper in frame.keepers]
    assert sorted(ids) == sorted(one.id for one in stay.keepers)
    begins = [frame.keepers[0].place_time for frame in stay.frames]
    assert begins == sorted(begins, key=str)


def test_what_one_word_states_is_shown_by_stay(sitting: Sitting) -> None:
    stay = whole_evening(sitting.night).stays[0]
    keys = [one.question.key for one in stay.to_state]
    assert sitting.night.state_shown(keys) == len(keys)
    after = whole_evening(sitting.night)
    assert after.stays[0].to_state == ()
    assert after.stays[1].to_state != ()
    assert all(one.question.asks is not Asks.OUTCOME for one in after.to_state)


def test_a_card_shows_where_pictures_without_any_word_of_filters_are(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    assert set(shown.bare) < {one.id for stay in shown.stays for one in stay.keepers}
    assert replace(shown, bare=()).to_state == shown.to_state
