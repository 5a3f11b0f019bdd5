from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.light import (
    SUN_RADIUS_DEG,
    FrameSpan,
    LightDirection,
    SunPlace,
    alignments,
    cast_shadow,
    frame_spans,
    light_direction,
    light_on_view,
    shining_deg,
    spans_text,
)
from logbook.craft.view import View

BEARINGS = st.floats(0.0, 360.0)
SIX = datetime(2031, 10, 14, 6, tzinfo=UTC)
SOUTH = View(facing_deg=180.0, horizontal_fov_deg=60.0, vertical_fov_deg=40.0)


@dataclass(frozen=True)
class Sample:
    at: datetime
    azimuth_deg: float
    altitude_deg: float


def arc(altitude_deg: float = 10.0) -> list[Sample]:
    """A body that goes from east to west in twelve hours, 15 degrees an hour, at one altitude."""
    return [Sample(SIX + timedelta(minutes=m), 90.0 + m / 4.0, altitude_deg) for m in range(0, 721, 10)]


@pytest.mark.parametrize(
    ("sun_azimuth_deg", "direction"),
    [
        (180.0, LightDirection.BACK),
        (225.0, LightDirection.BACK),
        (226.0, LightDirection.SIDE),
        (90.0, LightDirection.SIDE),
        (315.0, LightDirection.FRONT),
        (0.0, LightDirection.FRONT),
    ],
)
def test_light_falls_from_where_the_sun_is(sun_azimuth_deg: float, direction: LightDirection) -> None:
    assert light_direction(180.0, sun_azimuth_deg) is direction


@pytest.mark.parametrize("sun_azimuth_deg", [0.0, 112.0, 180.0, 359.0])
def test_a_sun_near_the_zenith_lights_from_the_top_whatever_its_azimuth(sun_azimuth_deg: float) -> None:
    view = View(0.0, 60.0, 40.0)
    assert light_on_view(view, sun_azimuth_deg, 89.9).direction is LightDirection.TOP
    assert light_on_view(view, sun_azimuth_deg, 74.9).direction is not LightDirection.TOP


@given(st.integers(0, 359), st.integers(0, 180))
def test_direction_is_the_same_left_and_right(facing_deg: int, off_deg: int) -> None:
    left, right = (
        light_direction(facing_deg, facing_deg - off_deg),
        light_direction(facing_deg, facing_deg + off_deg),
    )
    assert left is right


@given(st.integers(0, 359), st.integers(0, 359))
def test_turning_camera_and_sun_together_changes_nothing(facing_deg: int, sun_deg: int) -> None:
    assert light_direction(facing_deg, sun_deg) is light_direction(facing_deg + 360, sun_deg - 360)
    assert light_direction(facing_deg, sun_deg) is light_direction(facing_deg + 77, sun_deg + 77)


@pytest.mark.parametrize(
    ("azimuth_deg", "altitude_deg", "place"),
    [
        (180.0, 10.0, SunPlace.IN_FRAME),
        (215.0, 10.0, SunPlace.NEAR_FRAME),
        (180.0, 25.0, SunPlace.NEAR_FRAME),
        (180.0, 40.0, SunPlace.OUTSIDE),
        (0.0, 10.0, SunPlace.OUTSIDE),
        (180.0, -5.0, SunPlace.BELOW_HORIZON),
    ],
)
def test_the_sun_has_its_place_with_regard_to_the_frame(
    azimuth_deg: float, altitude_deg: float, place: SunPlace
) -> None:
    assert light_on_view(SOUTH, azimuth_deg, altitude_deg).sun_place is place


def test_without_sun_there_is_no_direction() -> None:
    light = light_on_view(SOUTH, 200.0, -3.0)
    assert light.direction is None
    assert light.off_axis_deg == pytest.approx(20.0)


def test_the_sun_enters_and_leaves_the_frame_where_its_edges_are() -> None:
    """The frame's edges are 30 deg off the axis and the disc adds 0.267; the sun moves a degree in 4 min."""
    [span] = frame_spans(SOUTH, arc(altitude_deg=0.0))
    noon, half = SIX + timedelta(hours=6), timedelta(minutes=4 * 30.267)
    assert abs(span.enters - (noon - half)) < timedelta(seconds=2)
    assert abs(span.leaves - (noon + half)) < timedelta(seconds=2)


def test_a_sun_already_in_the_frame_is_there_from_the_first_sample_to_the_last() -> None:
    inside = arc()[30:43]
    [span] = frame_spans(SOUTH, inside)
    assert (span.enters, span.leaves) == (inside[0].at, inside[-1].at)


def test_a_sun_below_the_horizon_is_not_in_the_frame() -> None:
    assert frame_spans(SOUTH, arc(altitude_deg=-3.0)) == ()
    assert frame_spans(SOUTH, []) == ()


def test_the_sun_stands_behind_a_subject_once_and_not_on_the_far_side() -> None:
    [behind] = alignments(213.0, arc())
    assert abs(behind.at - (SIX + timedelta(minutes=4 * 123))) < timedelta(seconds=1)
    assert behind.altitude_deg == pytest.approx(10.0)
    assert alignments(33.0, arc()) == ()


def test_the_sun_is_found_behind_a_subject_due_north() -> None:
    samples = [Sample(SIX + timedelta(minutes=m), (350.0 + m) % 360.0, 5.0) for m in range(0, 21, 5)]
    [behind] = alignments(0.0, samples)
    assert behind.at == SIX + timedelta(minutes=10)


def test_how_high_the_sun_stands_behind_a_subject_lies_between_the_samples() -> None:
    """A degree a minute in azimuth, a tenth in altitude, on a straight line: 5.3 three minutes on."""
    samples = [Sample(SIX + timedelta(minutes=m), (350.0 + m) % 360.0, 5.0 + m / 10) for m in range(0, 21, 5)]
    [behind] = alignments(353.0, samples)
    assert behind.at == SIX + timedelta(minutes=3)
    assert behind.altitude_deg == pytest.approx(5.3)


def test_spans_are_told_to_the_nearest_minute() -> None:
    first = FrameSpan(SIX + timedelta(seconds=50), SIX + timedelta(minutes=9, seconds=40))
    second = FrameSpan(SIX + timedelta(minutes=15), SIX + timedelta(minutes=25))
    assert spans_text([first, second]) == "06:01-06:10, 06:15-06:25"


def test_a_span_to_midnight_ends_at_24() -> None:
    midnight = SIX.replace(hour=0) + timedelta(days=1)
    assert spans_text([FrameSpan(midnight - timedelta(minutes=10), midnight)]) == "23:50-24:00"


def test_at_half_a_right_angle_a_shadow_is_as_long_as_its_thing_is_high() -> None:
    found = cast_shadow(250.0, 45.0)
    assert found is not None
    assert found.length_per_metre == pytest.approx(1.0)
    assert found.bearing_deg == 70.0


@given(st.floats(-SUN_RADIUS_DEG + 1e-6, 90.0))
def test_every_part_of_the_sun_that_shows_casts_a_shadow(apparent_deg: float) -> None:
    assert 0 < shining_deg(apparent_deg) <= max(apparent_deg, SUN_RADIUS_DEG)
    assert cast_shadow(0.0, shining_deg(apparent_deg)) is not None


def test_half_a_sun_shines_from_the_middle_of_what_shows() -> None:
    assert shining_deg(0.0) == pytest.approx(SUN_RADIUS_DEG / 2)
    assert shining_deg(SUN_RADIUS_DEG) == pytest.approx(SUN_RADIUS_DEG)
    assert cast_shadow(0.0, shining_deg(-SUN_RADIUS_DEG)) is None
