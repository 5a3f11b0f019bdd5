from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from math import cos, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.clock_light import Impossible, LitFrame, bare_lens_doubt, impossible_light, suggest_shifts
from logbook.craft.exposure import SCENES

NOON = datetime(2031, 10, 14, 12, 0, tzinfo=UTC)


def sun_altitudes(instants: Iterable[datetime]) -> list[float]:
    """A plain sun: 40° high at noon UTC, 40° deep at midnight, at the horizon at six."""
    return [40 * cos((at - NOON).total_seconds() / 43_200 * pi) for at in instants]


@pytest.mark.parametrize(
    ("ev100", "altitude_deg", "kind"),
    [
        (14, -2, Impossible.TOO_BRIGHT),
        (14, -30, Impossible.TOO_BRIGHT),
        (12, -10, Impossible.TOO_BRIGHT),
        (-4, 30, Impossible.TOO_DARK),
        (14, -0.5, None),  # the sun may still be seen
        (12, -0.9, None),
        (9, -30, None),  # lamps
        (-6, -30, None),
        (5, 50, None),  # ten stops of filters at noon
        (-4, 2, None),
    ],
)
def test_light_is_possible_or_it_is_not(ev100: float, altitude_deg: float, kind: Impossible | None) -> None:
    flag = impossible_light(ev100, altitude_deg)
    assert (flag.kind if flag else None) is kind


def test_the_flag_says_what_is_wrong() -> None:
    flag = impossible_light(14, -20)
    assert flag is not None
    assert flag.by_stops == 3
    assert flag.reason == "EV 14 with the sun 20° below the horizon: the clock or the zone is probably wrong"


def test_every_night_scene_of_the_table_is_possible_at_night() -> None:
    night = [
        scene
        for scene in SCENES
        if "night" in scene.words or "moon" in scene.words or "aurora" in scene.words
    ]
    assert len(night) >= 7
    assert not [s for s in night if impossible_light(s.high_ev100, -40)]


@given(st.floats(-10, 17), st.floats(-90, 90), st.floats(0, 5))
def test_a_deeper_sun_never_makes_bright_light_possible(
    ev100: float, altitude_deg: float, deeper_deg: float
) -> None:
    flag = impossible_light(ev100, altitude_deg)
    if flag and flag.kind is Impossible.TOO_BRIGHT:
        assert impossible_light(ev100, altitude_deg - deeper_deg) is not None


def day(add_h: float) -> list[LitFrame]:
    """Frames of full daylight from eight to four and of night at ten, by a clock that is wrong by hours."""
    lit = [LitFrame(NOON + timedelta(hours=h - add_h), 14.0) for h in (-4, -2, 0, 2, 4)]
    return [*lit, LitFrame(NOON + timedelta(hours=10 - add_h), -5.0)]


def test_possible_light_needs_no_shift() -> None:
    assert suggest_shifts(day(0), sun_altitudes) == ()


def test_mixed_up_halves_of_the_day_are_found() -> None:
    first, *_ = suggest_shifts(day(12), sun_altitudes)
    assert (first.add_s, first.flagged_after) == (43_200, 0)
    assert first.words == "AM and PM were mixed up, +12 h"


def test_the_zone_of_home_is_tried_first() -> None:
    first, *_ = suggest_shifts(day(9), sun_altitudes, [9 * 3600])
    assert (first.add_s, first.words) == (9 * 3600, "the clock was set to another zone, +9 h")
    assert first.flagged_before > 0


@given(st.integers(-11, 11).filter(lambda h: abs(h) >= 6))
def test_what_is_suggested_makes_the_light_possible_and_the_truth_is_among_it(add_h: int) -> None:
    shifts = suggest_shifts(day(add_h), sun_altitudes, most=200)
    assert add_h * 3600 in [shift.add_s for shift in shifts]
    for shift in shifts:
        moved = [LitFrame(f.at + timedelta(seconds=shift.add_s), f.ev100) for f in day(add_h)]
        altitudes = sun_altitudes([f.at for f in moved])
        assert not [f for f, a in zip(moved, altitudes, strict=True) if impossible_light(f.ev100, a)]


@given(st.lists(st.tuples(st.floats(-24, 24), st.sampled_from([-6.0, 5.0, 14.0])), max_size=8))
def test_no_shift_by_half_hours_leaves_fewer_than_those_suggested(made: list[tuple[float, float]]) -> None:
    frames = [LitFrame(NOON + timedelta(hours=h), ev100) for h, ev100 in made]

    def flagged(add_h: float) -> int:
        altitudes = sun_altitudes([one.at + timedelta(hours=add_h) for one in frames])
        return sum(impossible_light(f.ev100, a) is not None for f, a in zip(frames, altitudes, strict=True))

    shifts = suggest_shifts(frames, sun_altitudes, most=200)
    by_hand = {half / 2: flagged(half / 2) for half in range(-52, 53)}
    fewest = min(by_hand.values())
    best = {add_h for add_h, count in by_hand.items() if count == fewest and fewest < by_hand[0.0]}
    assert {one.add_s / 3600 for one in shifts} == best
    assert {one.flagged_after for one in shifts} <= {fewest}
    assert suggest_shifts(frames, sun_altitudes, most=1) == shifts[:1]


def test_light_that_no_shift_explains_gets_no_suggestion() -> None:
    assert suggest_shifts([LitFrame(NOON, 14.0)], lambda instants: [-20.0 for _ in instants]) == ()


def test_light_is_doubted_by_the_horizon_of_its_place() -> None:
    """From 3715 m over the sea the dip is 1.79 degrees (The Nautical Almanac): it shows to -2.99."""
    assert impossible_light(14, -2.5) is not None
    assert impossible_light(14, -2.5, -2.99) is None, "the last sun, seen from a height"
    assert impossible_light(14, -20, -2.99) is not None
    assert impossible_light(-4, 10) is not None
    assert impossible_light(-4, 10, 14.7) is None, "a gorge whose sun is behind the rim"
    assert impossible_light(-4, 40, 14.7) is not None
    assert bare_lens_doubt(2, 10) is not None
    assert bare_lens_doubt(2, 10, 14.7) is None
