import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import separation_deg
from logbook.craft.errors import CraftValueError
from logbook.craft.view import View

VIEWS = st.builds(
    View,
    facing_deg=st.floats(0.0, 360.0),
    horizontal_fov_deg=st.floats(2.0, 120.0),
    vertical_fov_deg=st.floats(2.0, 100.0),
    tilt_deg=st.floats(-80.0, 80.0),
)
INSIDE = st.floats(-0.99, 0.99)


@given(VIEWS, INSIDE, INSIDE)
def test_every_point_of_the_frame_is_inside_it(view: View, across: float, upwards: float) -> None:
    assert view.margin_deg(*view.direction(across, upwards)) > 0.0


@given(VIEWS, INSIDE)
def test_a_point_past_the_edge_is_outside(view: View, along: float) -> None:
    assert view.margin_deg(*view.direction(1.01, along)) < 0.0
    assert view.margin_deg(*view.direction(along, -1.01)) < 0.0


@given(VIEWS)
def test_the_middle_of_the_frame_is_the_axis(view: View) -> None:
    assert separation_deg(*view.direction(0.0, 0.0), view.facing_deg, view.tilt_deg) < 1e-6


@given(VIEWS)
def test_what_is_behind_the_camera_is_never_in_the_frame(view: View) -> None:
    assert view.margin_deg(view.facing_deg + 180.0, -view.tilt_deg) < 0.0


def test_the_margin_of_a_level_axis_is_half_the_field() -> None:
    view = View(90.0, 60.0, 40.0)
    assert view.margin_deg(90.0, 0.0) == pytest.approx(20.0)
    assert view.margin_deg(120.0, 0.0) == pytest.approx(0.0, abs=1e-9)
    assert view.margin_deg(100.0, 0.0) == view.margin_deg(80.0, 0.0) == pytest.approx(20.0)


@pytest.mark.parametrize(
    "bad", [(0.0, 0.0, 40.0), (0.0, 60.0, 180.0), (0.0, 60.0, 40.0, 91.0), (400.0, 60.0, 40.0)]
)
def test_an_impossible_view_is_refused(bad: tuple[float, ...]) -> None:
    with pytest.raises(CraftValueError):
        View(*bad)
