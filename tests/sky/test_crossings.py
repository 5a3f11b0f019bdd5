import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from logbook.sky.crossings import find_crossings

DAY_S = 86_400.0


@given(level=st.floats(-0.99, 0.99), shift_s=st.floats(0.0, DAY_S))
def test_every_crossing_of_a_sine_is_found_once(level: float, shift_s: float) -> None:
    def curve(seconds: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.sin(2 * np.pi * (seconds - shift_s) / DAY_S) - level)[None, :]

    rise_s = np.arcsin(level) / (2 * np.pi) * DAY_S
    found = find_crossings(curve, 0.0, DAY_S, 900.0)
    wanted = sorted([((shift_s + rise_s) % DAY_S, True), ((shift_s + DAY_S / 2 - rise_s) % DAY_S, False)])
    if min(w for w, _ in wanted) < 1.0 or max(w for w, _ in wanted) > DAY_S - 1.0:
        return  # at the very edge either end of the window may hold it
    assert [c.rising for c in found] == [rising for _, rising in wanted]
    for crossing, (at_s, _) in zip(found, wanted, strict=True):
        assert crossing.at_s == pytest.approx(at_s, abs=0.1)


def test_a_dip_shorter_than_the_grid_is_found() -> None:
    """A curve that stays below zero for 200 s between grid points 900 s apart."""
    found = find_crossings(lambda s: (((s - 40_000.0) / 100.0) ** 2 - 1.0)[None, :], 0.0, DAY_S, 900.0)
    assert [(round(c.at_s), c.rising) for c in found] == [(39_900, False), (40_100, True)]


def test_a_dip_at_the_windows_edge_is_found() -> None:
    found = find_crossings(lambda s: (((s - 150.0) / 100.0) ** 2 - 1.0)[None, :], 0.0, DAY_S, 900.0)
    assert [(round(c.at_s), c.rising) for c in found] == [(50, False), (250, True)]


def test_a_curve_that_stays_on_one_side_has_no_crossings() -> None:
    assert find_crossings(lambda s: (np.cos(s / DAY_S) + 2.0)[None, :], 0.0, DAY_S, 900.0) == ()
