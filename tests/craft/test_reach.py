"""Which owned filters reach a wished time."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.exposure import Settings, ev100, same
from logbook.craft.filters import parse_stack, stack_text
from logbook.craft.reach import reach

WISH = Settings(11.0, Fraction(1, 4), 100)  # EV100 9
FACTORS = st.lists(st.sampled_from(["nd2", "nd4", "nd8", "nd64", "pol", "nd1000", "gnd8", "fog"]), max_size=5)


def test_a_reached_wish_names_the_stack_nearest_to_it() -> None:
    result = reach(WISH, 14.0, parse_stack("nd4 + nd8 + nd64") or ())
    assert result.needed_stops == pytest.approx(5)
    assert result.short_stops == 0
    assert stack_text(result.nearest.filters) == "nd4 + nd8"
    assert result.nearest.exposure_s == Fraction(1, 4)
    assert [stack_text(choice.filters) for choice in result.choices][:2] == ["nd4 + nd8", "nd64"]


def test_a_shortfall_says_how_many_stops_and_in_which_light_it_would_do() -> None:
    result = reach(WISH, 14.0, parse_stack("nd2 + nd8") or ())
    assert result.short_stops == pytest.approx(1)
    assert result.scene_limit_ev100 == pytest.approx(13)
    assert result.nearest.exposure_s == Fraction(1, 8)
    assert not result.nearest.reaches
    assert "1 short" in result.working


def test_a_scene_already_dark_needs_no_filter() -> None:
    result = reach(WISH, 9.0, parse_stack("nd8") or ())
    assert result.needed_stops == pytest.approx(0)
    assert result.nearest.filters == ()


def test_a_scene_too_dark_is_said() -> None:
    result = reach(WISH, 5.0, parse_stack("nd8") or ())
    assert result.needed_stops == pytest.approx(-4)
    assert "too dark" in result.working
    assert result.nearest.exposure_s == 4


def test_graduated_clear_and_unknown_filters_do_not_count() -> None:
    result = reach(WISH, 14.0, parse_stack("gnd8 + uv + fog") or ())
    assert result.strongest_stops == 0
    assert result.short_stops == pytest.approx(5)


def test_a_variable_filter_is_turned_to_what_is_needed() -> None:
    result = reach(WISH, 14.0, parse_stack("nd2-400") or ())
    assert result.nearest.stops == pytest.approx(5)
    assert result.nearest.exposure_s == Fraction(1, 4)


def test_two_filters_alike_make_one_choice() -> None:
    result = reach(WISH, 12.0, parse_stack("nd8 + nd8") or ())
    assert [stack_text(choice.filters) for choice in result.choices] == ["nd8", "nd8 + nd8"]


def test_stacks_beyond_the_longest_time_are_left_out() -> None:
    result = reach(WISH, 0.0, parse_stack("nd100000 + nd1000") or ())
    assert all(choice.exposure_s <= 86_400 for choice in result.choices)
    assert result.nearest.filters == ()


@given(st.integers(min_value=-2, max_value=20), FACTORS)
def test_the_scene_limit_is_where_the_shortfall_begins(scene: int, names: list[str]) -> None:
    owned = parse_stack(" + ".join(names)) or () if names else ()
    result = reach(WISH, float(scene), owned)
    assert result.needed_stops == pytest.approx(scene - ev100(11.0, Fraction(1, 4)))
    assert result.short_stops == pytest.approx(max(0.0, scene - result.scene_limit_ev100))
    assert bool(result.choices) == (result.short_stops == 0 or same(result.short_stops))
    assert all(choice.reaches for choice in result.choices)
    assert result.nearest.beyond_stops == pytest.approx(result.nearest.stops - result.needed_stops)


def test_a_stack_that_would_take_days_does_not_bring_the_wish_within_reach() -> None:
    """nd1000 and nd100000 together take 26.6 stops: 1/60 s becomes 19 days."""
    wish = Settings(8.0, Fraction(20 * 3600), 100)
    found = reach(wish, 12.0, parse_stack("nd1000 + nd100000") or ())
    assert found.choices == ()
    assert found.short_stops == pytest.approx(22.14 - 16.61, abs=0.01)


def test_a_wish_far_from_the_light_is_answered_in_stops_whatever_the_dial_has() -> None:
    """f/1.2, 8 s, ISO 12800 ask for EV -9.3, f/64, 4 min, ISO 50 for EV 5 (log2 of N2/t, ISO 2720)."""
    noon = reach(Settings(1.2, Fraction(8), 12800), 15.0, ())
    assert noon.short_stops == pytest.approx(24.33, abs=0.01)
    assert noon.nearest.time_text == "1/32000 s or less"
    starlit = reach(Settings(64.0, Fraction(240), 50), -7.0, ())
    assert starlit.needed_stops == pytest.approx(-12)
    assert starlit.nearest.beyond_stops == pytest.approx(12)
    assert "it takes 24 h or more" in starlit.working
