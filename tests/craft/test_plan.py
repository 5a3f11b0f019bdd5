"""The moments of a plan's window: which suits it best, and when their light lies in a range."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

from logbook.craft.filters import parse_stack
from logbook.craft.plan import Moment, Packed, Plan, best_moment, light_spans, usable_filters

NOON = datetime(2031, 10, 14, 12, tzinfo=UTC)
SLOW = Plan(f_number=32, exposure_s=Fraction(4), iso=100)  # asks for EV 8
ND2 = Packed(parse_stack("nd2") or ())


def light(*evs: float) -> list[Moment]:
    """Moments ten minutes apart with these scene lights."""
    return [
        Moment(NOON + timedelta(minutes=10 * i), 180.0, 40.0, ev, ev - 1.0, ev + 1.0)
        for i, ev in enumerate(evs)
    ]


def test_the_best_moment_is_the_first_at_which_the_settings_come_nearest() -> None:
    moments = light(12, 9, 8.5, 7)
    assert best_moment(SLOW, ND2, moments) is moments[1]
    assert best_moment(SLOW, Packed(), moments) is moments[2]
    assert best_moment(Plan(f_number=8), ND2, moments) is None
    assert best_moment(SLOW, ND2, []) is None


def test_a_plan_that_states_its_filters_draws_on_no_others() -> None:
    assert usable_filters(SLOW, ND2) == ND2.filters
    assert usable_filters(Plan(filters=()), ND2) == ()


def test_spans_of_light_are_interpolated_between_moments() -> None:
    [span] = light_spans(light(14, 12, 10, 12), high_ev100=11)
    assert span.enters == NOON + timedelta(minutes=15)
    assert span.leaves == NOON + timedelta(minutes=25)
    assert light_spans(light(14, 12), high_ev100=11) == ()
