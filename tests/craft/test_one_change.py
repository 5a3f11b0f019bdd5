"""One decision: found under whatever makes up for it, either way round; two are never taken for one.

Settings are generated in thirds of a stop, the steps of the marks (ISO 516, 517 and 12232 series); what each
step is worth in light is counted here from those steps alone.
"""

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from logbook.craft.exposure import Settings
from logbook.craft.filters import parse_stack
from logbook.craft.one_change import (
    AsSet,
    Decision,
    LightBetween,
    MadeUp,
    OneChange,
    changed_settings,
    one_change,
)
from logbook.craft.series import APERTURES, EXPOSURES, ISOS

F_NUMBERS = sorted(APERTURES)[6:30]  # each a third of a stop darker than the last
TIMES = sorted(EXPOSURES)
SPEEDS = sorted(one for one in ISOS if 100 <= one <= 12800)
WITHOUT = ((), ("uv",))
TOLERANCE = 1e-9  # stops; both sides count in exact thirds


def glass(*names: str) -> Settings:
    return Settings(8.0, Fraction(1, 60), 100, parse_stack(" + ".join(names) or "none"))


def as_set(f: int, t: int, s: int, *names: str, support: str = "unknown", bias: float = 0.0) -> AsSet:
    """A picture by its steps along the dials."""
    filters = parse_stack(" + ".join(names) or "none")
    return AsSet(Settings(F_NUMBERS[f], TIMES[t], SPEEDS[s], filters), support, bias)


def found(one: AsSet, other: AsSet, light: LightBetween = LightBetween.SAME) -> Decision | None:
    change = one_change(one, other, light)
    return change.decision if change else None


starts = st.tuples(st.integers(0, 11), st.integers(20, 30), st.integers(0, 8))  # steps along the dials
steps = st.integers(2, 9).flatmap(lambda n: st.sampled_from((n, -n)))  # thirds; one alone is no change
lights = st.sampled_from(LightBetween)
supports = st.sampled_from(("unknown", "other", "handheld", "braced", "monopod", "tripod"))
stacks = st.sampled_from(((), ("nd8",), ("nd8", "nd8"), ("pol",), ("gnd8",), ("nd64", "pol"), ("uv",)))
frames = st.builds(
    lambda at, names, support, bias: as_set(*at, *names, support=support, bias=bias),
    st.tuples(st.integers(0, 23), st.integers(0, len(TIMES) - 1), st.integers(0, len(SPEEDS) - 1)),
    stacks,
    supports,
    st.sampled_from((0.0, 0.0, 1.0)),
)


def moved(at: tuple[int, int, int], f: int = 0, t: int = 0, s: int = 0) -> tuple[int, int, int]:
    """Steps further along the dials; what no dial here has is no example."""
    new = at[0] + f, at[1] + t, at[2] + s
    assume(0 <= new[0] < len(F_NUMBERS) and 0 <= new[1] < len(TIMES) and 0 <= new[2] < len(SPEEDS))
    return new


def test_the_dials_here_go_in_thirds_of_a_stop() -> None:
    for marks, per_stop in ((APERTURES, 2), (EXPOSURES, 1), (ISOS, 1)):
        exact = sorted(float(one) for one in marks.values())
        rises = {round(per_stop * math.log2(b / a), 6) for a, b in pairwise(exact)}
        assert rises == {round(1 / 3, 6)}


def mirrored(change: OneChange | None) -> OneChange | None:
    if change is None:
        return None
    made_up = tuple(MadeUp(one.setting, -one.stops) for one in change.made_up)
    return OneChange(change.decision, -change.stops, made_up, -change.left_stops)


@given(frames, frames, lights)
def test_either_way_round_it_is_the_same_decision_with_its_stops_turned(
    one: AsSet, other: AsSet, light: LightBetween
) -> None:
    there, back = one_change(one, other, light), mirrored(one_change(other, one, light))
    assert (there is None) == (back is None)
    if there is not None and back is not None:
        assert (there.decision, [m.setting for m in there.made_up]) == (
            back.decision,
            [m.setting for m in back.made_up],
        )
        assert there.stops == pytest.approx(back.stops, abs=TOLERANCE)
        assert there.left_stops == pytest.approx(back.left_stops, abs=TOLERANCE)


@given(starts, steps, supports, st.sampled_from(WITHOUT))
def test_one_setting_alone_is_that_decision_and_its_stops_are_left(
    at: tuple[int, int, int], n: int, support: str, names: tuple[str, ...]
) -> None:
    one = as_set(*at, *names, support=support)
    for decision, other in (
        (Decision.APERTURE, moved(at, f=-n)),
        (Decision.TIME, moved(at, t=n)),
        (Decision.ISO, moved(at, s=n)),
    ):
        change = one_change(one, as_set(*other, *names, support=support))
        assert change is not None
        assert change.decision is decision
        assert change.made_up == ()
        assert change.stops == change.left_stops == pytest.approx(n / 3, abs=TOLERANCE)


@given(starts, steps, st.integers(-1, 1))
def test_an_aperture_with_the_time_or_iso_that_makes_up_for_it_is_about_the_aperture(
    at: tuple[int, int, int], n: int, off: int
) -> None:
    one = as_set(*at)
    for setting, other in (
        (Decision.TIME, moved(at, f=n, t=n + off)),
        (Decision.ISO, moved(at, f=n, s=n + off)),
    ):
        change = one_change(one, as_set(*other))
        if abs(n + off) == 1:  # a third of a stop: nothing that changed makes up for it
            continue
        assert change is not None
        assert change.decision is Decision.APERTURE
        assert change.left_stops == 0
        assert change.stops == pytest.approx(-n / 3, abs=TOLERANCE)
        (made_up,) = change.made_up
        assert made_up.setting is setting
        assert made_up.stops == pytest.approx((n + off) / 3, abs=TOLERANCE)


@given(starts, st.sampled_from((("nd8", 9), ("nd64", 18), ("nd2", 3))), st.integers(0, 8))
def test_a_neutral_filter_and_an_iso_that_make_a_longer_time_possible_are_about_the_time(
    at: tuple[int, int, int], filtered: tuple[str, int], slower: int
) -> None:
    name, thirds = filtered
    assume(slower != 1)
    at = at[0], 10 + at[1] // 3, slower
    other = moved(at, t=thirds + slower, s=-slower)
    change = one_change(as_set(*at), as_set(*other, name, support="tripod"))
    assert change is not None
    assert change.decision is Decision.TIME
    assert change.stops == pytest.approx((thirds + slower) / 3, abs=TOLERANCE)
    assert [one.setting for one in change.made_up] == [Decision.ISO, Decision.FILTER][slower == 0 :]


@given(starts, st.sampled_from(("pol", "gnd8")), st.integers(2, 8))
def test_a_filter_that_leaves_a_mark_is_the_decision_whether_the_time_makes_up_for_it_or_not(
    at: tuple[int, int, int], name: str, longer: int
) -> None:
    one = as_set(*at)
    assert found(one, as_set(*at, name)) is Decision.FILTER
    assert found(as_set(*at, name), one) is Decision.FILTER
    other = as_set(*moved(at, t=longer), name)
    takes_that = name == "pol" and longer <= 8  # a polariser takes 1 to 2.5 stops
    assert found(one, other) is (Decision.FILTER if takes_that else None)
    assert found(one, as_set(*moved(at, f=-longer), name)) is None  # an aperture is a decision of its own


@given(starts, steps, lights)
def test_a_light_that_the_time_followed_is_about_the_light_and_not_about_the_time(
    at: tuple[int, int, int], n: int, light: LightBetween
) -> None:
    one, other = as_set(*at), as_set(*moved(at, t=n))
    change = one_change(one, other, light)
    assert change is not None
    if light is LightBetween.SAME:
        assert change.decision is Decision.TIME
    else:
        assert change.decision is Decision.LIGHT
        assert change.stops == pytest.approx(-n / 3, abs=TOLERANCE)
        (made_up,) = change.made_up
        assert made_up.setting is Decision.TIME
        assert made_up.stops == pytest.approx(n / 3, abs=TOLERANCE)


@given(starts)
def test_the_same_settings_in_another_light_are_about_the_light_and_in_the_same_about_nothing(
    at: tuple[int, int, int],
) -> None:
    assert one_change(as_set(*at), as_set(*at), LightBetween.OTHER) == OneChange(Decision.LIGHT, 0.0)
    assert one_change(as_set(*at), as_set(*at)) is None


@given(starts, steps, steps)
def test_two_settings_that_do_not_make_up_for_each_other_are_never_a_pair(
    at: tuple[int, int, int], n: int, m: int
) -> None:
    assume(abs(n + m) > 1)  # thirds brighter together: more than one is no even trade
    one = as_set(*at)
    for other in (moved(at, f=-n, t=m), moved(at, f=-n, s=m), moved(at, t=n, s=m)):
        assert found(one, as_set(*other)) is None


@given(starts, steps, steps, lights)
def test_three_settings_are_never_a_pair_even_where_they_balance(
    at: tuple[int, int, int], n: int, m: int, light: LightBetween
) -> None:
    assume(abs(n + m) > 1)
    other = moved(at, f=n + m, t=n, s=m)
    assert found(as_set(*at), as_set(*other), light) is None


@given(starts, steps, st.sampled_from(("pol", "gnd8")))
def test_another_light_with_another_aperture_or_filter_is_never_a_pair(
    at: tuple[int, int, int], n: int, name: str
) -> None:
    one = as_set(*at)
    assert found(one, as_set(*moved(at, f=n)), LightBetween.OTHER) is None
    assert found(one, as_set(*at, name), LightBetween.OTHER) is None
    assert found(one, as_set(*moved(at, t=n), bias=1.0), LightBetween.OTHER) is None


@given(frames, frames, lights, st.booleans())
def test_unknown_filters_are_never_a_pair(one: AsSet, other: AsSet, light: LightBetween, both: bool) -> None:
    def silent(frame: AsSet) -> AsSet:
        s = frame.settings
        return AsSet(Settings(s.f_number, s.exposure_s, s.iso, None), frame.support)

    assert one_change(silent(one), silent(other) if both else other, light) is None
    assert changed_settings(silent(one).settings, other.settings) is None


def test_two_filters_that_leave_a_mark_are_two_decisions_and_a_stronger_one_of_a_kind_is_one() -> None:
    plain = AsSet(glass())
    assert found(plain, AsSet(glass("pol", "gnd8"))) is None
    assert found(AsSet(glass("pol")), AsSet(glass("gnd8"))) is None
    assert found(AsSet(glass("gnd4")), AsSet(glass("gnd8"))) is Decision.FILTER
    assert found(AsSet(glass("nd8")), AsSet(glass("nd8", "pol"))) is Decision.FILTER


def test_a_filter_of_unknown_strength_tells_nothing() -> None:
    assert one_change(AsSet(glass()), AsSet(glass("aunt's fog filter"))) is None
    assert one_change(AsSet(glass()), AsSet(glass("variable nd"))) is None


def test_a_support_is_the_decision_alone_and_otherwise_belongs_to_the_longer_time() -> None:
    held, stood = as_set(6, 25, 3, support="handheld"), as_set(6, 25, 3, support="tripod")
    assert found(held, stood) is Decision.SUPPORT
    assert found(held, as_set(6, 34, 3, "nd8", support="tripod")) is Decision.TIME
    assert found(stood, as_set(6, 34, 3, "nd8", support="handheld")) is None
    assert found(held, as_set(9, 25, 6, support="tripod")) is None  # aperture and ISO, no longer time
    assert found(held, as_set(6, 25, 3, support="other")) is None


def test_every_changed_setting_is_counted_for_a_question() -> None:
    plain = Settings(5.6, Fraction(1, 500), 400, ())
    silk = Settings(11.0, Fraction(4), 100, parse_stack("nd128"))
    changed = changed_settings(plain, silk)
    assert changed is not None
    assert [(one.setting, round(one.stops, 6)) for one in changed] == [
        (Decision.APERTURE, -2),
        (Decision.TIME, 11),
        (Decision.ISO, -2),
        (Decision.FILTER, -7),
    ]
    assert one_change(AsSet(plain), AsSet(silk)) is None
