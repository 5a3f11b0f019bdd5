from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.borders import DECIDED, Evidence, FramePlace, PlanWindow, evidence

START = datetime(2031, 10, 14, 8, 30, tzinfo=UTC)


RHYTHM_S = 240.0


def after(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def scenes(minute: float, **facts: float) -> list[FramePlace]:
    return [FramePlace(at=after(minute + step / 10), **facts) for step in range(3)]  # type: ignore[arg-type]


def found(pause: float, old: dict[str, float], new: dict[str, float], *windows: PlanWindow) -> Evidence:
    return evidence(scenes(0, **old), scenes(pause + 0.2, **new), RHYTHM_S, windows)


def test_nobody_reaches_another_place_in_two_minutes() -> None:
    assert found(2, {"focal_mm": 14, "light_ev": 0}, {"focal_mm": 300, "light_ev": -6}).probability == 0


def test_a_long_pause_alone_parts_and_a_short_one_alone_does_not() -> None:
    assert found(40, {}, {}).probability > DECIDED
    assert found(6, {}, {}).probability < DECIDED


def test_the_same_framing_in_the_same_light_outweighs_a_wait() -> None:
    same = {"focal_mm": 24.0, "light_ev": 0.0, "direction_deg": 90.0}
    assert found(20, same, same).probability < DECIDED


@pytest.mark.parametrize(("name", "new"), [("focal_mm", 105.0), ("light_ev", -3.0), ("direction_deg", 210.0)])
def test_each_kind_of_change_speaks_for_another_place(name: str, new: float) -> None:
    old = {"focal_mm": 24.0, "light_ev": 0.0, "direction_deg": 90.0}
    assert found(12, old, old | {name: new}).probability > found(12, old, old).probability


def test_a_direction_across_north_is_no_turn() -> None:
    assert found(12, {"direction_deg": 358}, {"direction_deg": 3}).direction == -1


def test_the_frames_of_a_bracket_are_no_change_of_light() -> None:
    bracket = [FramePlace(at=after(step / 60), light_ev=level) for step, level in enumerate((0.0, -2.0, 2.0))]
    assert evidence(bracket, scenes(12, light_ev=0.1), RHYTHM_S).light == -1


def test_plans_for_one_place_hold_together_and_for_two_part() -> None:
    here = PlanWindow("ledge", after(-30), after(60))
    there = PlanWindow("rail", after(10), after(60))
    gone = PlanWindow("ledge", after(-30), after(5))
    assert found(15, {}, {}, here).plan == -1
    assert found(15, {}, {}, gone, there).plan == 1
    assert found(15, {}, {}, there).plan == 0.5
    assert found(15, {}, {}).plan == 0
    assert "another planned place" in found(15, {}, {}, gone, there).reason


def test_what_serves_plans_for_one_place_holds_together() -> None:
    ledge, again, rail = scenes_of(0, "ledge"), scenes_of(60, "ledge"), scenes_of(60, "rail")
    same, other = (evidence(ledge, after, RHYTHM_S * 5).probability for after in (again, rail))
    assert same < DECIDED < other


def scenes_of(minute: float, planned: str) -> list[FramePlace]:
    return [FramePlace(at=after(minute), planned=planned)]


facts = st.fixed_dictionaries(
    {},
    optional={
        "focal_mm": st.floats(4, 1200),
        "light_ev": st.floats(-20, 20),
        "direction_deg": st.floats(0, 360),
    },
)


@given(st.floats(3, 1000), facts, facts)
def test_what_is_unknown_says_nothing_and_all_else_keeps_within_its_bounds(
    pause: float, old: dict[str, float], new: dict[str, float]
) -> None:
    one = found(pause, old, new)
    for name, value in (("focal_mm", one.focal), ("light_ev", one.light), ("direction_deg", one.direction)):
        assert -1 <= value <= 1
        if not (name in old and name in new):
            assert value == 0
    assert 0 <= one.probability <= 1
