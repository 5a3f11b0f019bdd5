from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.sky.errors import SkyValueError
from logbook.sky.moon import PhaseName, moon_phase, phase_name, principal_phases


@pytest.mark.parametrize(
    ("longitude_deg", "name"),
    [
        (0.0, PhaseName.NEW),
        (359.0, PhaseName.NEW),
        (45.0, PhaseName.WAXING_CRESCENT),
        (90.0, PhaseName.FIRST_QUARTER),
        (135.0, PhaseName.WAXING_GIBBOUS),
        (180.0, PhaseName.FULL),
        (225.0, PhaseName.WANING_GIBBOUS),
        (270.0, PhaseName.LAST_QUARTER),
        (315.0, PhaseName.WANING_CRESCENT),
    ],
)
def test_a_phase_is_called_by_its_trade_name(longitude_deg: float, name: PhaseName) -> None:
    assert phase_name(longitude_deg) is name


@given(st.floats(0.0, 360.0))
def test_a_name_repeats_every_turn(longitude_deg: float) -> None:
    assert phase_name(longitude_deg) is phase_name(longitude_deg + 360.0)


def test_principal_phases_come_in_order_and_bear_their_own_name() -> None:
    start = datetime(2031, 1, 1, tzinfo=UTC)
    found = principal_phases(start, start + timedelta(days=90))
    order = [PhaseName.NEW, PhaseName.FIRST_QUARTER, PhaseName.FULL, PhaseName.LAST_QUARTER]
    first = order.index(found[0].name)
    assert [phase.name for phase in found] == [order[(first + i) % 4] for i in range(len(found))]
    assert len(found) in (12, 13)
    assert all(moon_phase(phase.at).name is phase.name for phase in found)


def test_a_full_moon_is_lit_and_a_new_one_is_not() -> None:
    start = datetime(2031, 1, 1, tzinfo=UTC)
    for phase in principal_phases(start, start + timedelta(days=60)):
        lit = moon_phase(phase.at).illuminated_fraction
        wanted = {PhaseName.NEW: 0.0, PhaseName.FULL: 1.0}.get(phase.name, 0.5)
        assert lit == pytest.approx(wanted, abs=0.005)


def test_a_search_without_length_is_refused() -> None:
    at = datetime(2031, 1, 1, tzinfo=UTC)
    with pytest.raises(SkyValueError, match="end after its start"):
        principal_phases(at, at)
