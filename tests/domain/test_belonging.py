from datetime import date, datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.belonging import SLACK, Spell, closed, spell_of, visit_at

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
