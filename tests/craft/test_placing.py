from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.placing import Placed, nearest_spot, place_all

START = datetime(2031, 10, 14, 6, 0, tzinfo=UTC)


@dataclass(frozen=True)
class At:
    at: datetime
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None = None


@dataclass(frozen=True)
class Named:
    key: str
    latitude_deg: float
    longitude_deg: float


def place_at(at: datetime, segments: Sequence[Sequence[At]]) -> Placed | None:
    return place_all((at,), segments)[0]


def after(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


def fix(seconds: float, latitude_deg: float, longitude_deg: float, elevation_m: float | None = None) -> At:
    return At(after(seconds), latitude_deg, longitude_deg, elevation_m)


WALK = [fix(0, 47.0, 12.0, 800.0), fix(60, 47.001, 12.0, 830.0), fix(120, 47.002, 12.0, 830.0)]


def test_between_two_points_time_decides_the_place() -> None:
    placed = place_at(after(15), [WALK])
    assert placed is not None
    assert placed.latitude_deg == pytest.approx(47.00025, abs=1e-9)
    assert placed.elevation_m == pytest.approx(807.5)
    assert placed.gap_s == 60
    assert placed.distance_m == pytest.approx(111.2, abs=0.3)
    assert placed.speed_m_s == pytest.approx(111.2 / 60, abs=0.01)


def test_on_a_recorded_point_nothing_is_worked_out() -> None:
    placed = place_at(after(60), [WALK])
    assert placed is not None
    assert (placed.latitude_deg, placed.longitude_deg, placed.elevation_m) == (47.001, 12.0, 830.0)
    assert (placed.gap_s, placed.distance_m) == (0.0, 0.0)
    assert placed.speed_m_s == pytest.approx(1.85, abs=0.01)


def test_a_point_alone_has_no_speed() -> None:
    placed = place_at(START, [[fix(0, 47.0, 12.0)]])
    assert placed is not None
    assert placed.speed_m_s is None
    assert placed.elevation_m is None


@pytest.mark.parametrize("seconds", [-1, 121])
def test_outside_the_track_there_is_no_place(seconds: float) -> None:
    assert place_at(after(seconds), [WALK]) is None


def test_nothing_is_placed_between_segments() -> None:
    assert place_at(after(30), [[fix(0, 47.0, 12.0)], [fix(60, 47.0001, 12.0)]]) is None


def test_a_long_silence_on_the_move_is_not_bridged() -> None:
    assert place_at(after(200), [[fix(0, 47.0, 12.0), fix(301, 47.01, 12.0)]]) is None
    assert place_at(after(200), [[fix(0, 47.0, 12.0), fix(300, 47.01, 12.0)]]) is not None


def test_a_silence_while_standing_still_is_bridged() -> None:
    placed = place_at(after(1200), [[fix(0, 47.0, 12.0), fix(2400, 47.0001, 12.0)]])
    assert placed is not None
    assert placed.gap_s == 2400
    assert place_at(after(1200), [[fix(0, 47.0, 12.0), fix(3700, 47.0001, 12.0)]]) is None


def test_a_receivers_jump_is_not_believed() -> None:
    assert place_at(after(5), [[fix(0, 47.0, 12.0), fix(10, 48.0, 12.0)]]) is None


def test_where_segments_overlap_the_closer_points_win() -> None:
    coarse, fine = [fix(0, 47.0, 12.0), fix(200, 47.01, 12.0)], [fix(90, 10.0, 20.0), fix(110, 10.0, 20.0)]
    for segments in ([coarse, fine], [fine, coarse]):
        placed = place_at(after(100), segments)
        assert placed is not None
        assert placed.latitude_deg == 10.0


def test_across_the_date_line_the_short_way_is_taken() -> None:
    placed = place_at(after(30), [[fix(0, -17.0, 179.999), fix(60, -17.0, -179.999)]])
    assert placed is not None
    assert abs(placed.longitude_deg) == pytest.approx(180.0)
    assert placed.distance_m < 220


@given(st.lists(st.floats(-100, 300), max_size=30))
def test_many_instants_are_placed_as_each_alone(seconds: list[float]) -> None:
    instants = [after(s) for s in seconds]
    segments = [WALK, [fix(130, 47.0, 12.0), fix(200, 47.001, 12.0)], []]
    assert place_all(instants, segments) == tuple(place_at(at, segments) for at in instants)


@given(st.floats(0, 120))
def test_a_place_lies_between_its_neighbours(seconds: float) -> None:
    placed = place_at(after(seconds), [WALK])
    assert placed is not None
    assert 47.0 <= placed.latitude_deg <= 47.002 + 1e-9


def test_the_nearest_spot_comes_with_its_distance() -> None:
    spots = [Named("far", 47.1, 12.0), Named("near", 47.001, 12.0)]
    nearest = nearest_spot(47.0, 12.0, spots)
    assert nearest is not None
    assert nearest.key == "near"
    assert nearest.distance_m == pytest.approx(111.2, rel=0.006)


def test_without_spots_none_is_nearest() -> None:
    assert nearest_spot(47.0, 12.0, []) is None


def test_a_point_that_is_reached_and_left_only_by_jumps_is_not_believed() -> None:
    jump = [*WALK[:2], fix(120, 48.5, 13.0), fix(180, 47.001, 12.0), fix(240, 47.002, 12.0)]
    assert place_at(after(120), [jump]) is None
    assert place_at(after(180), [jump]) is not None
    assert place_at(after(0), [[fix(0, 48.5, 13.0), *WALK[1:]]]) is None  # a first fix far away


def test_how_far_apart_two_receivers_were_is_told() -> None:
    left_behind = [fix(0, 47.0, 12.0), fix(50, 47.0, 12.0), fix(120, 47.0, 12.0)]
    placed = place_at(after(110), [WALK, left_behind])
    assert placed is not None
    assert placed.torn_m == pytest.approx(203.8, abs=1.0)
    assert place_at(after(110), [WALK]).torn_m == 0.0  # type: ignore[union-attr]


def test_a_receiver_that_seldom_writes_does_not_contradict_one_that_often_does() -> None:
    """Four kilometres in five minutes, with a stop of three at the first: half-way by the one alone."""
    seldom = [fix(0, 47.0, 12.0), fix(300, 47.036, 12.0)]
    often = [fix(0, 47.0, 12.0), fix(60, 47.009, 12.0), fix(240, 47.009, 12.0), fix(300, 47.036, 12.0)]
    placed = place_at(after(200), [seldom, often])
    assert placed is not None
    assert placed.latitude_deg == pytest.approx(47.009)
    assert placed.torn_m == 0.0
    elsewhere = [fix(0, 47.2, 12.0), fix(300, 47.2, 12.0)]
    assert place_at(after(200), [seldom, elsewhere]).torn_m > 15_000  # type: ignore[union-attr]
