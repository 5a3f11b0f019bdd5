"""A moment and an observation belong to the visit they were made on, and to no other."""

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.belonging import SLACK, Spell, closed, seen_on, spell_of, visit_at, visit_seen_on
from logbook.domain.condition import Condition
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind

DAY = date(2031, 10, 14)
ENDS = time(4)


def spell(name: str, begins: str | None, ends: str | None) -> Spell:
    at, until = (time.fromisoformat(text) if text else None for text in (begins, ends))
    return spell_of(name, DAY, at, until, ENDS)


def at(text: str, day: int = 14) -> datetime:
    return datetime.combine(date(2031, 10, day), time.fromisoformat(text))


def owner(moment: datetime, *spells: Spell) -> str | None:
    return visit_at(moment, closed(spells, DAY, ENDS))


def test_the_visit_that_contains_a_picture_comes_before_one_within_the_slack() -> None:
    visits = spell("handheld", "17:00", "18:00"), spell("tripod", "18:05", "19:00")
    for order in (visits, visits[::-1]):
        assert owner(at("18:10"), *order) == owner(at("18:13"), *order) == "tripod"
        assert owner(at("17:58"), *order) == "handheld"


def test_between_two_visits_the_nearest_in_time_has_it() -> None:
    visits = spell("first", "17:00", "18:00"), spell("second", "18:20", "19:00")
    for order in (visits, visits[::-1]):
        assert owner(at("18:08"), *order) == "first"
        assert owner(at("18:12"), *order) == "second"


def test_the_minute_of_leaving_belongs_to_the_visit_that_begins_then() -> None:
    visits = spell("first", "17:00", "18:00"), spell("second", "18:00", "19:00")
    for order in (visits, visits[::-1]):
        assert owner(at("18:00:40"), *order) == "second"
        assert owner(at("19:00:40"), *order) == "second"


def test_far_from_every_visit_it_belongs_to_none() -> None:
    assert owner(at("19:16"), spell("only", "17:00", "19:00")) is None
    assert owner(at("19:15"), spell("only", "17:00", "19:00")) == "only"


def test_a_visit_without_times_gets_what_no_other_claims() -> None:
    visits = spell("vague", None, None), spell("known", "17:00", "18:00")
    assert owner(at("17:30"), *visits) == owner(at("18:10"), *visits) == "known"
    assert owner(at("09:00"), *visits) == "vague"


def test_a_visit_without_a_departure_lasts_until_the_next_or_the_end_of_the_day() -> None:
    visits = spell("first", "17:00", None), spell("second", "18:05", None)
    assert owner(at("18:00"), *visits) == "first"
    assert owner(at("18:20"), *visits) == "second"
    assert owner(at("02:00", 15), *visits) == "second"


def test_a_visit_without_an_arrival_lasts_from_the_one_before_it() -> None:
    visits = spell("first", "07:00", "08:00"), spell("second", None, "10:00")
    assert owner(at("07:30"), *visits) == "first"
    assert owner(at("08:30"), *visits) == "second"


def test_a_visit_past_midnight_holds_the_small_hours() -> None:
    assert owner(at("01:30", 15), spell("stars", "23:00", "02:00")) == "stars"


def test_touching_visits_do_not_overlap() -> None:
    assert not spell("a", "17:00", "18:00").overlaps(spell("b", "18:00", "19:00"))
    assert spell("a", "17:00", "18:00").overlaps(spell("b", "17:59", "19:00"))
    assert spell("a", "17:00", "18:00").overlaps(spell("b", "17:30", None))
    assert not spell("a", "17:00", "18:00").overlaps(spell("b", None, None))


minutes = st.integers(0, 24 * 60 - 1).map(lambda minute: at("04:00") + timedelta(minutes=minute))
spans = st.tuples(minutes, minutes).map(sorted)


@given(st.lists(spans, max_size=6), minutes)
def test_whoever_has_a_picture_is_no_further_away_than_any_other(
    windows: list[list[datetime]], moment: datetime
) -> None:
    spells = [Spell(str(index), *window) for index, window in enumerate(windows)]
    away = {
        index: max(begin - moment, moment - end, timedelta(0)) for index, (begin, end) in enumerate(windows)
    }
    owns = visit_at(moment, spells)
    if owns is None:
        assert all(gap > SLACK for gap in away.values())
    else:
        assert away[int(owns)] == min(away.values())


BASE: dict[str, Any] = {"created": None, "updated": None, "trip_id": "t", "on_date": DAY}


def visit(name: str, arrived: time | None, departed: time | None, viewpoint: str = "ledge") -> Visit:
    return Visit(id=name, slug=name, viewpoint_id=viewpoint, arrived_at=arrived, departed_at=departed, **BASE)


def seen(at: time | None = None, visit_id: str | None = None, viewpoint: str | None = "ledge") -> Condition:
    return Condition(
        id="c",
        slug="c",
        kind=ConditionKind.CROWD,
        level="few",
        at=at,
        viewpoint_id=viewpoint,
        visit_id=visit_id,
        **BASE,
    )


MORNING = visit("morning", time(7), time(8))
EVENING = visit("evening", time(17, 20), time(18, 45))
NIGHT = visit("night", time(23, 30), time(1))
CREST = visit("crest", time(12), time(13), "crest")
VISITS = (MORNING, EVENING, NIGHT, CREST)


@pytest.mark.parametrize(
    ("condition", "meant"),
    [
        (seen(visit_id="evening"), "evening"),
        (seen(at=time(7, 30), visit_id="evening"), "evening"),
        (seen(), None),
        (seen(at=time(7, 30)), "morning"),
        (seen(at=time(17, 20)), "evening"),
        (seen(at=time(18, 55)), "evening"),
        (seen(at=time(0, 30)), "night"),
        (seen(at=time(12)), None),
        (seen(viewpoint="crest"), "crest"),
        (seen(at=time(9), viewpoint="crest"), "crest"),
        (seen(at=time(7, 30), viewpoint=None), None),
        (seen(viewpoint="elsewhere"), None),
    ],
)
def test_the_visit_that_is_named_then_the_only_one_then_the_one_at_that_time(
    condition: Condition, meant: str | None
) -> None:
    assert visit_seen_on(condition, VISITS, ENDS) == meant


def test_without_a_time_it_is_of_no_visit_where_there_were_several() -> None:
    assert all(seen_on(one, [seen()], VISITS, ENDS) == () for one in VISITS)


def test_a_visit_whose_times_are_unknown_holds_what_names_it_or_no_other_claims() -> None:
    whenever = visit("whenever", None, None)
    both = (whenever, EVENING)
    assert visit_seen_on(seen(), both, ENDS) is None
    assert visit_seen_on(seen(at=time(17, 30)), both, ENDS) == "evening"
    assert visit_seen_on(seen(at=time(7)), both, ENDS) == "whenever"
    assert seen_on(whenever, [seen(), seen(visit_id="whenever")], both, ENDS) == (seen(visit_id="whenever"),)
