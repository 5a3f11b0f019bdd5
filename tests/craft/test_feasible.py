"""Whether a plan works out: filters, steadiness and sun against the light of its window."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import log, log2

import pytest

from logbook.craft.feasible import Verdict, judge_plan
from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter, parse_stack
from logbook.craft.met_light import Witnesses
from logbook.craft.plan import Moment, Packed, Plan

WIDTH = 1.0  # stops
NOON = datetime(2031, 10, 14, 12, tzinfo=UTC)
SLOW = Plan(f_number=32, exposure_s=Fraction(4), iso=100, focal_mm=24, support="tripod")  # asks for EV 8
HELD = Plan(f_number=8, exposure_s=Fraction(1, 125), iso=100, focal_mm=24, support="handheld")  # EV 13


def light(*evs: float, azimuth_deg: float = 180.0, altitude_deg: float = 40.0) -> list[Moment]:
    """Moments ten minutes apart with these scene lights."""
    return [
        Moment(NOON + timedelta(minutes=10 * i), azimuth_deg, altitude_deg, ev, ev - WIDTH, ev + WIDTH)
        for i, ev in enumerate(evs)
    ]


def filters(text: str) -> tuple[Filter, ...]:
    return parse_stack(text) or ()


def test_packed_filters_that_reach_the_time_make_it_feasible() -> None:
    found = judge_plan(SLOW, Packed(filters("nd8,nd8")), light(14))
    assert (found.verdict, found.off_stops) == (Verdict.FEASIBLE, 0)
    assert found.reason == "4 s with nd8 + nd8 at 12:00, tripod"


def test_with_too_few_filters_it_is_too_bright_by_what_is_missing() -> None:
    """Common practice, no source: 8 s at f/16 in EV 14 needs 9 stops, factors 64 and 2 give 7."""
    plan = replace(SLOW, f_number=16, exposure_s=Fraction(8))
    found = judge_plan(plan, Packed(filters("nd64,nd2")), light(14))
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops == pytest.approx(2)
    assert found.reason == (
        "8 s at f/16, ISO 100: it needs 9 stops of filtration, but the packed filters give 7"
    )


@pytest.mark.parametrize(("ev", "verdict"), [(9.3, "feasible"), (10.2, "doubtful"), (11.5, "too bright")])
def test_what_misses_by_less_than_the_light_may_be_off_is_doubtful(ev: float, verdict: str) -> None:
    """The plan asks for EV 8 and has one stop of filter; the light may lie one stop either way."""
    found = judge_plan(SLOW, Packed(filters("nd2")), light(ev))
    assert str(found.verdict) == verdict


def test_pictures_that_met_this_light_are_named() -> None:
    [moment] = light(9)
    found = judge_plan(SLOW, Packed(filters("nd2")), [replace(moment, witnesses=Witnesses(3, 8.5, 9.5))])
    assert (
        found.reason == "4 s with nd2 at 12:00, tripod; 3 keepers here in the same light show EV 8.5 to 9.5"
    )


def test_a_brief_time_that_is_too_bright_is_told_iso_and_aperture_before_a_filter() -> None:
    plan = Plan(f_number=4, exposure_s=Fraction(1, 500), iso=800, support="handheld", filters=())
    found = judge_plan(plan, Packed(filters("nd1000")), light(14))
    assert found.off_stops == pytest.approx(4)
    assert found.reason == "1/500 s at f/4, ISO 800: ISO 100 and f/5.6 would do"


def test_the_best_moment_of_the_window_counts() -> None:
    found = judge_plan(SLOW, Packed(filters("nd2,nd8")), light(14, 13, 12, 11))
    assert found.verdict is Verdict.FEASIBLE
    assert "at 12:20" in found.reason


def test_a_plan_that_names_filters_is_judged_with_them_alone() -> None:
    plan = replace(SLOW, filters=filters("nd4"))
    found = judge_plan(plan, Packed(filters("nd64")), light(14))
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops == pytest.approx(4)
    assert found.reason.endswith("it needs 6 stops of filtration, so use the packed nd64")
    assert judge_plan(replace(SLOW, filters=()), Packed(filters("nd64")), light(14)).off_stops == 6


def test_light_that_asks_for_a_longer_time_than_hands_hold_is_too_dark() -> None:
    found = judge_plan(HELD, Packed(), light(8))
    assert (found.verdict, found.off_stops) == (Verdict.TOO_DARK, -5)
    # EV 13 to EV 8 makes 1/125 s into 1/4 s; the guide at 24 mm is 1/24 s
    assert (
        "the light calls for 1/4 s at 24 mm instead of 1/125 s; handheld, that is 2.6 stops beyond the guide"
        in found.reason
    )
    assert found.reason.endswith("it takes 1/4 s on a tripod, or ISO 3200")


def test_a_time_too_long_for_what_holds_the_camera_is_doubtful() -> None:
    found = judge_plan(replace(HELD, exposure_s=Fraction(1, 4)), Packed(), light(8))
    assert (found.verdict, found.off_stops) == (Verdict.DOUBTFUL, None)
    assert found.reason == "1/4 s at 24 mm handheld is 2.6 stops beyond the guide"


def test_stabilisation_of_the_packed_body_counts() -> None:
    slow = replace(HELD, exposure_s=Fraction(1, 4))
    assert judge_plan(slow, Packed(), light(8)).verdict is Verdict.DOUBTFUL
    assert judge_plan(slow, Packed(stabilisation_stops=3), light(8)).verdict is Verdict.FEASIBLE


def test_a_scene_far_too_dark_for_the_time_is_too_dark_even_on_a_tripod() -> None:
    found = judge_plan(replace(HELD, support="tripod"), Packed(), light(8))
    assert found.verdict is Verdict.TOO_DARK
    assert found.off_stops == pytest.approx(-5)
    assert found.reason == "1/125 s at f/8, ISO 100: it takes 1/4 s, or ISO 3200"


def test_within_the_width_of_the_light_nothing_is_called_too_dark() -> None:
    assert judge_plan(replace(HELD, support="tripod"), Packed(), light(12.1)).verdict is Verdict.DOUBTFUL


def test_a_tripod_that_may_not_stand_is_doubtful_whatever_the_light() -> None:
    plan = replace(SLOW, no_tripod="none may stand at this viewpoint")
    for moments in (light(8), []):
        found = judge_plan(plan, Packed(), moments)
        assert (found.verdict, found.off_stops) == (Verdict.DOUBTFUL, None)
        assert "none may stand" in found.reason


def test_the_sun_in_the_frame_is_said_and_its_span_kept() -> None:
    facing_it = replace(HELD, facing_deg=180.0)
    found = judge_plan(facing_it, Packed(), light(13, 13, altitude_deg=10))
    assert found.verdict is Verdict.SUN_IN_FRAME
    assert found.reason == "the sun is in the frame 12:00-12:10"
    assert len(found.sun_near) == 1
    near = judge_plan(
        facing_it, Packed(), light(13, 13, altitude_deg=30)
    )  # 3.4 degrees above the frame's edge
    assert (near.verdict, len(near.sun_near)) == (Verdict.FEASIBLE, 1)
    away = judge_plan(replace(HELD, facing_deg=0.0), Packed(), light(13, 13, altitude_deg=10))
    assert (away.verdict, away.sun_near) == (Verdict.FEASIBLE, ())


@pytest.mark.parametrize(
    ("plan", "moments", "says"),
    [
        (replace(HELD, iso=None), light(13), "gives no ISO"),
        (Plan(), [], "gives no aperture or shutter speed or ISO"),
        (HELD, [], "until the plan has a date and a place"),
        (replace(HELD, exposure_s=Fraction(1), support=None), light(6), "say what supports the camera"),
    ],
)
def test_what_is_not_known_is_unknown_and_not_feasible(plan: Plan, moments: list[Moment], says: str) -> None:
    found = judge_plan(plan, Packed(), moments)
    assert (found.verdict, found.off_stops) == (Verdict.UNKNOWN, None)
    assert says in found.reason


def test_notes_follow_the_reason() -> None:
    found = judge_plan(HELD, Packed(), light(13), ("nd8 planned but not packed",))
    assert found.reason.endswith("; nd8 planned but not packed")


def test_a_filter_of_unknown_strength_is_not_counted_on() -> None:
    found = judge_plan(SLOW, Packed((parse_filter("mystery"),)), light(14))
    assert (found.verdict, found.off_stops) == (Verdict.TOO_BRIGHT, 6)


FREEZE = Plan(f_number=5.6, exposure_s=Fraction(1, 500), iso=400, focal_mm=35, support="handheld")  # EV 12


def test_a_brief_time_is_not_drawn_out_by_a_filter_that_is_far_too_strong() -> None:
    """Two stops too bright; ten stops of filter would make half a second of it (common practice)."""
    found = judge_plan(FREEZE, Packed(filters("nd1000")), light(14))
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops == pytest.approx(2, abs=0.1)
    assert found.reason == "1/500 s at f/5.6, ISO 400: ISO 100 would do"


def test_a_stated_filter_that_takes_more_than_a_brief_time_has_room_for_is_too_dark() -> None:
    found = judge_plan(replace(FREEZE, filters=filters("nd1000")), Packed(), light(14))
    assert found.verdict is Verdict.TOO_DARK
    assert found.off_stops == pytest.approx(-8, abs=0.1)
    assert "it needs 2 stops of filtration, but the plan's nd1000 gives 10" in found.reason


def test_a_stated_filter_that_a_brighter_light_would_forgive_is_doubtful() -> None:
    """One stop too many lies within the stop that the light may be brighter."""
    found = judge_plan(replace(FREEZE, filters=filters("nd8")), Packed(), light(14))
    assert found.verdict is Verdict.DOUBTFUL
    assert found.off_stops == pytest.approx(-1, abs=0.01)


@pytest.mark.parametrize("stack", ["nd4", "pol", "nd2,nd1000"])
def test_a_stated_stack_of_which_a_part_fits_a_brief_time_is_feasible(stack: str) -> None:
    """A polariser takes one stop or two."""
    light_ev = 13 if stack == "nd2,nd1000" else 14 if stack == "nd4" else 13.2
    assert judge_plan(replace(FREEZE, filters=filters(stack)), Packed(), light(light_ev)).verdict is (
        Verdict.FEASIBLE
    )


def test_smooth_water_may_take_longer_than_planned() -> None:
    """Six stops are needed, a factor of 1000 is 9.97: 4 s become 62 s."""
    found = judge_plan(replace(SLOW, filters=filters("nd1000")), Packed(), light(14))
    assert (found.verdict, found.reason) == (Verdict.FEASIBLE, "1 min 2 s with nd1000 at 12:00, tripod")


def test_a_polariser_that_draws_a_held_time_out_is_too_dark_not_too_bright() -> None:
    """1 s at f/16 asks for EV 8; in EV 8.5 the polariser's 1.5 stops make it 2 s, one stop too dark."""
    plan = Plan(f_number=16, exposure_s=Fraction(1), iso=100, focal_mm=24, support="monopod")
    found = judge_plan(replace(plan, filters=filters("pol")), Packed(()), light(8.5))
    assert found.off_stops == pytest.approx(-1)
    assert found.reason.startswith("with pol the light calls for 2 s at 24 mm instead of 1 s")
    assert found.reason.endswith("it takes 2 s on a tripod, or ISO 200")


def test_settings_for_stars_at_noon_are_too_bright_and_not_unknown() -> None:
    plan = Plan(f_number=1.2, exposure_s=Fraction(8), iso=12800, focal_mm=14, support="tripod")
    found = judge_plan(plan, Packed(()), light(15))
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops == pytest.approx(24.33, abs=0.01)


def test_stars_too_bright_under_a_moon_are_told_the_iso_that_keeps_their_time() -> None:
    """20 s at f/2.8 and ISO 6400 ask for EV -7.3; three stops brighter, ISO 800 exposes alike (APEX)."""
    plan = Plan(f_number=2.8, exposure_s=Fraction(20), iso=6400, filters=(), support="tripod")
    found = judge_plan(plan, Packed(()), light(-4.33))
    assert found.reason == (
        "20 s at f/2.8, ISO 6400: it needs 3 stops of filtration, but the plan has none; ISO 800 would do"
    )
    assert "ISO" not in judge_plan(replace(plan, iso=100), Packed(()), light(5)).reason.split(": ", 1)[1]


def test_light_that_changes_while_the_shutter_is_open_is_counted_and_said() -> None:
    """Straight from 0 to -d stops the mean is (1 - 2^-d) / (d ln 2), by the integral: of four 1.56 fewer."""
    plan = replace(SLOW, f_number=16, exposure_s=Fraction(1800))
    dusk = light(0.0, -1.3333, -2.6667, -4.0)  # ten minutes apart
    found = judge_plan(plan, Packed(()), dusk[:1], later=dusk[1:])
    assert found.moment is not None
    assert found.moment.scene_ev100 == pytest.approx(log2((1 - 2**-4) / (4 * log(2))), abs=0.01)
    assert found.reason.endswith("while the shutter is open the light gets 4 stops darker, which is counted")
    assert "shutter is open" not in judge_plan(SLOW, Packed(()), light(8, 6.5, 5)).reason
    assert "shutter is open" not in judge_plan(plan, Packed(()), light(-2.9, -3.1, -3.2)).reason


def test_a_frame_that_dusk_overtakes_is_too_dark_by_what_the_light_falls_behind() -> None:
    """A sum over seconds says what comes in while a filter of 1.6 stops too many draws 10 min out to 31."""
    dusk = light(*(9.0 - 2.0 * step for step in range(8)))  # two stops in ten minutes, then a steady night
    plan = replace(SLOW, f_number=22, exposure_s=Fraction(600), filters=filters("nd1000"))
    found = judge_plan(plan, Packed(()), dusk[:1], later=dusk[1:])
    assert found.moment is not None
    takes_s = 2.0 ** -((found.moment.scene_ev100 - 9.9658) - 9.0)  # f/22 at ISO 100 is Av 9
    came_in = sum(2.0 ** -max(0.0, min(14.0, s / 300)) for s in range(round(takes_s)))
    expected = log2(came_in / takes_s) - (found.moment.scene_ev100 - 9.0)
    assert expected < -1
    assert found.off_stops == pytest.approx(expected, abs=0.1)
    assert found.verdict is Verdict.DOUBTFUL, "a light at the kind end of its range would do"
    sure = [replace(one, high_ev100=one.scene_ev100) for one in dusk]
    assert judge_plan(plan, Packed(()), sure[:1], later=sure[1:]).verdict is Verdict.TOO_DARK
    assert f"so the picture comes out {-expected:.1f} stops too dark" in found.reason


def test_a_frame_that_dawn_overtakes_is_too_bright_unless_its_range_reaches_as_low() -> None:
    """Ten minutes drawn out by filters of 2.5 stops too many, while the light doubles every five."""
    dawn = light(*(9.0 + 2.0 * step for step in range(8)))
    plan = replace(SLOW, f_number=22, exposure_s=Fraction(600), filters=filters("nd1000,nd8"))
    found = judge_plan(plan, Packed(()), dawn[:1], later=dawn[1:])
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops is not None
    assert found.off_stops > WIDTH + 1 / 3
    wide = [replace(one, low_ev100=one.scene_ev100 - 9) for one in dawn]
    assert judge_plan(plan, Packed(()), wide[:1], later=wide[1:]).verdict is Verdict.DOUBTFUL


def test_what_pictures_met_at_one_moment_is_no_change_of_light() -> None:
    """A picture that met two stops more than the table lifts its own moment, and not what follows."""
    plan = replace(SLOW, f_number=16, exposure_s=Fraction(1800))
    steady = [replace(one, table_ev100=-3.0) for one in light(-1.0)] + light(-3.0, -3.0, -3.0)[1:]
    found = judge_plan(plan, Packed(()), steady[:1], later=steady[1:])
    assert found.moment is not None
    assert found.moment.scene_ev100 == -1.0
    assert "shutter is open" not in found.reason
