"""An exposure as photographers tell it, kept in this one check: common practice, no source.

The figures stand nowhere else; `tests/test_own_figures.py` looks for them.
"""

from fractions import Fraction

import pytest

from logbook.craft.exposure import Free, Settings, equivalent, ev100, same, scene_light
from logbook.craft.filters import parse_stack
from logbook.craft.marks import exposure_text
from logbook.craft.reach import reach
from logbook.craft.steadiness import steadiness

SCENE_EV100 = 14.0  # EV at ISO 100; also f/22, 1/30 s without filters


def test_two_filters_of_factor_four_at_f22_for_half_a_second() -> None:
    """Common practice, no source: nd4 + nd4 at f/22, 1/2 s, ISO 100, 16 mm; a third of a stop.

    Without filters that is f/13, 1/100 s, or f/14, 1/80 s; at f/22 a wish of 1 s or 2 s needs one or two
    stops more than is at hand; and 16 mm, f/22, 1/2 s is three stops slower than the guide for a hand.
    """
    stack = parse_stack("nd4 + nd4") or ()
    filtered = Settings(22.0, Fraction(1, 2), 100, stack)
    assert scene_light(filtered).scene_ev100 == pytest.approx(SCENE_EV100, abs=1e-9)
    for n, time_s in ((13.0, Fraction(1, 100)), (14.0, Fraction(1, 80))):
        bare = equivalent(filtered, f_number=n, filters=(), free=Free.EXPOSURE)
        assert exposure_text(bare.exposure_s) == exposure_text(time_s)
        assert same(ev100(n, time_s, 100, snap=False) - SCENE_EV100)  # even with the numbers as they stand
    for wished_s, short_stops in ((1, 1), (2, 2)):
        reached = reach(Settings(22.0, Fraction(wished_s), 100), SCENE_EV100, stack)
        assert reached.short_stops == pytest.approx(short_stops, abs=1e-9)
        assert not reached.choices
    held = steadiness(Fraction(1, 2), 16)
    assert held.guide_s == pytest.approx(1 / 16)
    assert held.margin_stops == pytest.approx(-3, abs=1e-9)
