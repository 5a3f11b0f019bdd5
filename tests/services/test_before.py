"""Before going back: what is still to get, what was last seen, the light, and the wish with what is owned."""

from dataclasses import replace
from datetime import date, time
from fractions import Fraction

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.errors import NotFoundError
from logbook.domain.horizon import Horizon
from logbook.domain.position import Position
from logbook.domain.words import ConditionKind, OutcomeWord, Reason, Support
from logbook.faces.before.lit import light_section
from logbook.services.before import Wish, before
from logbook.services.before.lighting import hours_of
from logbook.services.light.day_light import LensAndSensor, light_of_day
from logbook.services.light.standpoints import at_coordinate
from logbook.sky.events import EventName
from tests.services.past import Past

DAY = date(2031, 10, 20)


@pytest.fixture
def past(places: Past) -> Past:
    places.visit("east-crest", "2030-10-14", tries=30, support=Support.TRIPOD)
    return places


def test_what_is_not_made_stays_wanted_and_a_replacement_does_not_change_that(past: Past) -> None:
    past.shot("made", "east-crest", "2030-10-14", OutcomeWord.MADE)
    past.shot("open", "east-crest", "2030-10-14")
    past.shot("replaced", "east-crest", "2030-10-14", OutcomeWord.REPLACED, (Reason.CLOSURE,))
    past.shot("missed", "east-crest", "2030-10-14", OutcomeWord.MISSED, (Reason.WEATHER,))
    past.shot("elsewhere", "pool", "2030-10-14", OutcomeWord.MISSED)
    found = before(past.book, "east-dune").wanted
    assert [one.shot.slug for one in found] == ["missed", "replaced", "open"]
    assert found[1].outcome is not None
    assert found[1].outcome.reasons == (Reason.CLOSURE,)


def test_a_shot_that_was_made_on_a_later_day_is_no_longer_wanted(past: Past) -> None:
    past.shot("ridge", "east-crest", "2030-10-14", OutcomeWord.MISSED)
    again = past.shot("ridge-again", "east-crest", "2030-10-16", OutcomeWord.MADE)
    assert [one.shot.slug for one in before(past.book, "east-dune").wanted] == ["ridge"]
    with past.book.writing() as desk:
        shot = desk.shots.get(again)
        assert shot is not None
        desk.shots.put(replace(shot, title="Ridge"))
    assert before(past.book, "east-dune").wanted == ()


@pytest.mark.slow
def test_each_closure_and_the_latest_of_everything_else_is_shown_and_none_of_the_future(past: Past) -> None:
    past.seen(ConditionKind.CLOSURE, None, "east-crest", "2030-10-12", note="gate shut")
    past.seen(ConditionKind.CLOSURE, None, "east-crest", "2030-10-14", note="track washed out")
    past.seen(ConditionKind.WIND, "3", "east-crest", "2030-10-14", at=time(9))
    past.seen(ConditionKind.WIND, "6", "east-crest", "2030-10-14", at=time(17))
    past.seen(ConditionKind.WIND, "1", "east-crest", "2032-01-01")
    past.seen(ConditionKind.CLOSURE, None, "pool", "2030-10-14", note="elsewhere")
    found = before(past.book, "east-dune", DAY).observed
    assert [one.note for one in found if one.kind is ConditionKind.CLOSURE] == [
        "track washed out",
        "gate shut",
    ]
    assert [one.level for one in found if one.kind is ConditionKind.WIND] == ["6"]


def test_the_light_of_the_day_falls_on_the_view_from_the_left_in_the_evening(past: Past) -> None:
    hours = {one.name: one for one in before(past.book, "east-dune", DAY).hours}
    (fall,) = hours[EventName.SUNSET].falls
    assert (fall.viewpoint.slug, str(fall.direction)) == ("east-crest", "side")
    assert -120 < fall.off_axis_deg < -60
    assert hours[EventName.CIVIL_DUSK].falls[0].direction is None, "no direction while the sun is down"
    assert hours[EventName.SUNRISE].at < hours[EventName.SUNSET].at


def test_without_a_date_there_is_no_light_and_it_is_said(past: Past) -> None:
    found = before(past.book, "east-dune", None, Wish(Fraction(1), 16.0))
    assert found.hours == ()
    assert "Choose a date" in (found.unknown_light or "")
    assert "choose a date" in (found.no_reach or "")


@pytest.mark.slow
def test_the_wish_is_judged_with_owned_filters_and_says_at_what_hour(past: Past) -> None:
    poor = before(past.book, "east-dune", DAY, Wish(Fraction(1), 16.0))
    past.filter("dark", "nd128")
    rich = before(past.book, "east-dune", DAY, Wish(Fraction(1), 16.0))
    noon = {one.name: one for one in rich.hours}[EventName.SOLAR_NOON].reached
    bare = {one.name: one for one in poor.hours}[EventName.SOLAR_NOON].reached
    assert noon is not None
    assert bare is not None
    # EV 15 in full sun, f/16 at 1 s and ISO 100 is EV 8: seven stops, one nd128
    # (ANSI PH2.7; half a stop, as the sun does not stand right behind the eye).
    assert noon.needed_stops == pytest.approx(7.0, abs=0.6)
    assert [one.name for one in noon.choices[0].filters] == ["nd128"]
    assert bare.short_stops == pytest.approx(7.0, abs=0.6)
    assert rich.reached is not None
    assert rich.reached.possible


def test_a_viewpoint_or_a_shot_leads_to_its_site(past: Past) -> None:
    past.shot("ridge", "west-crest", "2030-10-14")
    for name in ("west-dune", "west-crest", "ridge"):
        found = before(past.book, name)
        assert (found.site.slug, found.focus and found.focus.slug) == ("west-dune", "west-crest")
    with pytest.raises(NotFoundError, match="west-dune"):
        before(past.book, "west-dunes-gone")


def test_the_keepers_of_what_was_made_come_with_it(past: Past) -> None:
    shot = past.shot("ridge", "east-crest", "2030-10-14", OutcomeWord.MADE)
    keeper = past.keeper("east-crest", "2030-10-14T16:30", shot_id=shot)
    assert [one.id for one in before(past.book, "east-dune").kept[shot]] == [keeper]


def test_what_was_seen_after_midnight_is_later_than_what_was_seen_before(past: Past) -> None:
    past.seen(ConditionKind.WIND, "3", "east-crest", "2030-10-14", at=time(23))
    past.seen(ConditionKind.WIND, "6", "east-crest", "2030-10-14", at=time(1))
    assert [one.level for one in before(past.book, "east-dune", DAY).observed] == ["6"]


def test_over_its_own_skyline_the_sun_of_the_focus_sets_earlier_and_still_has_a_direction(past: Past) -> None:
    level = {one.name: one for one in before(past.book, "east-dune", DAY).hours}
    with past.book.writing() as desk:
        crest = desk.viewpoints.first(slug="east-crest")
        assert crest is not None
        desk.viewpoints.put(replace(crest, horizon=Horizon(8.0)))
    found = before(past.book, "east-dune", DAY)
    hours = {one.name: one for one in found.hours}
    assert hours[EventName.SUNSET].at < level[EventName.SUNSET].at
    assert hours[EventName.SUNSET].falls[0].direction is not None
    assert hours[EventName.CIVIL_DUSK].at == level[EventName.CIVIL_DUSK].at
    assert "over the 8° skyline" in light_section(found).note


def test_a_polar_noon_is_told_by_its_golden_light() -> None:
    """At 69.65 north on 21 December the sun comes to -3.1 degrees (90 - 69.65 - 23.4): golden, never up."""
    frame = LensAndSensor(24.0, FULL_FRAME, stated=False)
    names = {
        on: [
            str(hour.name)
            for hour in hours_of(light_of_day(at_coordinate(Position(69.65, 18.96)), on, frame), (), None, ())
        ]
        for on in (date(2031, 12, 21), date(2031, 3, 21))
    }
    golden = ["morning golden hour begins", "evening golden hour ends"]
    assert names[date(2031, 12, 21)] == ["civil dawn", golden[0], "solar noon", golden[1], "civil dusk"]
    assert not set(golden) & set(names[date(2031, 3, 21)])


def test_the_hours_of_a_day_count_its_eclipse() -> None:
    """At 25.7 N 32.65 E 92 % of the sun is covered at noon of 2 August 2027 (astronomy-engine)."""
    frame = LensAndSensor(24.0, FULL_FRAME, stated=False)
    noons = [
        next(
            one.expected
            for one in hours_of(light_of_day(at_coordinate(Position(25.7, 32.65)), on, frame), (), None, ())
            if one.name is EventName.SOLAR_NOON
        )
        for on in (date(2027, 8, 1), date(2027, 8, 2))
    ]
    assert noons[1].dimming is not None
    assert noons[1].dimming.sun_covered == pytest.approx(0.92, abs=0.005)
    assert noons[0].scene_ev100 - noons[1].scene_ev100 == pytest.approx(noons[1].dimming.stops, abs=0.05)
