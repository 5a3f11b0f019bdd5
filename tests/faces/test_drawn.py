"""Drawings in characters say what the figures beside them say."""

from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.statistics import wilson
from logbook.faces.drawn import MIDDLE, OUTSIDE, WITHIN, rate_bar


def test_a_share_stands_within_its_interval() -> None:
    assert rate_bar(wilson(5, 10)) == "····------o-----····"


def test_nothing_tried_draws_nothing() -> None:
    assert set(rate_bar(wilson(0, 0))) == {OUTSIDE}


@given(st.integers(1, 10_000), st.data())
def test_every_bar_has_one_middle_and_one_unbroken_interval_at_its_place(
    tries: int, data: st.DataObject
) -> None:
    rate = wilson(data.draw(st.integers(0, tries)), tries)
    bar = rate_bar(rate)
    assert bar.count(MIDDLE) == 1
    drawn = bar.strip(OUTSIDE)
    assert set(drawn) <= {MIDDLE, WITHIN}
    assert abs(bar.index(drawn) - rate.low * len(bar)) <= 1
    assert abs(bar.index(drawn) + len(drawn) - rate.high * len(bar)) <= 1
