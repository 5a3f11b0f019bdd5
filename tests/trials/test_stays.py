"""Stays of days whose places are known: most borders are found, and few stays are cut."""

import pytest

from tests.trials.stays import FIRST_SEED, Writes, simulated_day, trial


@pytest.mark.slow
def test_stays_without_positions_are_told_apart_where_pauses_alone_tell_nothing() -> None:
    """A thousand days give 77 % found and 0.4 false cuts a day; a few days may fall short of that."""
    alone, found = trial(range(FIRST_SEED, FIRST_SEED + 60), Writes.NOTHING)
    assert alone.found < 0.05 * alone.true
    assert found.found > 0.68 * found.true
    assert found.found + found.doubted > 0.8 * found.true
    assert found.false_cuts < 0.9 * found.days


@pytest.mark.slow
def test_a_few_positions_tell_stays_apart_nearly_as_well_as_all() -> None:
    _, some = trial(range(FIRST_SEED, FIRST_SEED + 30), Writes.SOME)
    _, every = trial(range(FIRST_SEED, FIRST_SEED + 30), Writes.ALL)
    assert every.found == every.true
    assert some.found > 0.97 * some.true
    assert (some.false_cuts, every.false_cuts) <= (0.1 * some.days, 0)


def test_the_same_seed_is_the_same_day_whatever_the_camera_writes() -> None:
    days = [simulated_day(FIRST_SEED, writes) for writes in Writes]
    assert len({tuple(frame.at for frame in day.frames) for day in days}) == 1
    assert len({day.places for day in days}) == 1
