import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.sky.moon import PhaseName, phase_name


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
        (98.0, PhaseName.WAXING_GIBBOUS),
        (172.0, PhaseName.WAXING_GIBBOUS),
        (188.0, PhaseName.WANING_GIBBOUS),
        (278.0, PhaseName.WANING_CRESCENT),
    ],
)
def test_a_phase_is_called_by_its_trade_name(longitude_deg: float, name: PhaseName) -> None:
    assert phase_name(longitude_deg) is name


@given(st.floats(0.0, 360.0))
def test_a_name_repeats_every_turn(longitude_deg: float) -> None:
    assert phase_name(longitude_deg) is phase_name(longitude_deg + 360.0)
