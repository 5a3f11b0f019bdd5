import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import cos, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.craft.borders import FramePlace
from logbook.craft.stays import FrameTrace, VisitSource, propose_visits
from logbook.craft.track_stays import TrackStay, find_stays
from tests.examples import examples

START = datetime(2031, 10, 14, 6, 0, tzinfo=UTC)
DEGREE_M = 111_195.0  # m; a degree of latitude on the mean sphere


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


def after(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def north(metres: float) -> float:
    return 47.0 + metres / DEGREE_M


def walk(*legs: tuple[float, float, float], every_s: float = 10.0, unrest_m: float = 3.0) -> list[At]:
    """Points along legs (until minute, from metres north, to metres north), with a receiver's unrest."""
    rng = random.Random(7)
    points, begun = [], 0.0
    for until, start_m, end_m in legs:
        steps = int((until - begun) * 60 / every_s)
        for step in range(steps):
            part = step / steps
            at = after(begun + (until - begun) * part)
            metres = start_m + (end_m - start_m) * part + rng.gauss(0, unrest_m)
            east_m = rng.gauss(0, unrest_m)
            points.append(At(at, north(metres), 12.0 + east_m / DEGREE_M / cos(radians(47.0)), None))
        begun = until
    return points


def minutes(at: datetime) -> float:
    return (at - START).total_seconds() / 60


def test_a_stay_between_two_walks_is_found() -> None:
    (stay,) = find_stays([walk((20, 0, 1500), (50, 1500, 1500), (70, 1500, 3000))])
    assert minutes(stay.arrived) == pytest.approx(20, abs=1.5)
    assert minutes(stay.departed) == pytest.approx(50, abs=1.5)
    assert stay.latitude_deg == pytest.approx(north(1500), abs=15 / DEGREE_M)


def test_a_slow_walk_is_no_stay() -> None:
    assert find_stays([walk((60, 0, 900))]) == ()  # 0.25 m/s


def test_moving_a_tripod_across_the_place_does_not_cut_a_stay() -> None:
    (stay,) = find_stays([walk((20, 0, 0), (21, 0, 55), (60, 55, 55))])
    assert stay.length_s == pytest.approx(3600, abs=60)


def test_a_short_stop_is_no_stay() -> None:
    assert find_stays([walk((10, 0, 900), (13, 900, 900), (23, 900, 1800))]) == ()


def test_a_receiver_that_is_silent_while_still_shows_its_stay() -> None:
    (stay,) = find_stays([[At(after(0), north(0), 12.0), At(after(40), north(10), 12.0)]])
    assert stay.length_s == 2400


def test_a_lost_signal_does_not_cut_a_stay() -> None:
    whole = walk((60, 0, 0))
    (stay,) = find_stays([whole[:120], whole[180:]])
    assert stay.length_s == pytest.approx(3600, abs=30)


def test_a_stray_point_does_not_cut_a_stay() -> None:
    points = walk((60, 0, 0))
    points[150] = At(points[150].at, north(400), 12.0)
    (stay,) = find_stays([points])
    assert stay.length_s == pytest.approx(3600, abs=30)


def test_coming_back_hours_later_is_another_stay() -> None:
    points = walk((20, 0, 0), (60, 0, 3000), (100, 3000, 0), (120, 0, 0))
    assert [round(minutes(stay.arrived) / 10) for stay in find_stays([points])] == [0, 10]


@settings(max_examples=examples(0.3))
@given(st.lists(st.tuples(st.floats(0, 1e5), st.floats(-90, 90), st.floats(-180, 180)), max_size=60))
def test_any_track_has_stays_that_follow_each_other(fixes: list[tuple[float, float, float]]) -> None:
    points = [At(START + timedelta(seconds=s), lat, lon) for s, lat, lon in sorted(fixes)]
    stays = find_stays([points])
    assert all(stay.length_s >= 300 for stay in stays)
    assert all(a.departed <= b.arrived for a, b in pairwise(stays))


LEDGE, RAIL = Named("ledge", north(0), 12.0), Named("rail", north(1000), 12.0)


def frame(key: str, minute: float, metres: float | None = None, spot: str | None = None) -> FrameTrace:
    place = None if metres is None else north(metres)
    east = None if metres is None else 12.0
    return FrameTrace(key=key, at=after(minute), spot=spot, latitude_deg=place, longitude_deg=east)


def stay_at(begin: float, end: float, metres: float) -> TrackStay:
    return TrackStay(after(begin), after(end), north(metres), 12.0)


def test_frames_alone_give_the_first_and_the_last() -> None:
    (visit,) = propose_visits([frame("b", 25, spot="ledge"), frame("a", 10, spot="ledge")], spots=[LEDGE])
    assert (visit.spot, minutes(visit.arrived), minutes(visit.departed)) == ("ledge", 10, 25)
    assert visit.source is VisitSource.FRAMES
    assert visit.frames == ("a", "b")
    assert visit.reason == "2 frames, as stated, times of the first and last frame"


def test_a_stay_extends_what_the_frames_show() -> None:
    (visit,) = propose_visits([frame("a", 10, 5), frame("b", 25, 5)], [stay_at(2, 40, 20)], [LEDGE, RAIL])
    assert (visit.spot, minutes(visit.arrived), minutes(visit.departed)) == ("ledge", 2, 40)
    assert visit.source is VisitSource.BOTH
    assert visit.distance_m == pytest.approx(5, abs=0.1)


def test_frames_without_a_place_take_it_from_the_stay_they_were_made_in() -> None:
    (visit,) = propose_visits([frame("a", 10)], [stay_at(2, 40, 20)], [LEDGE, RAIL])
    assert visit.spot == "ledge"
    assert visit.distance_m == pytest.approx(20, abs=0.1)


def test_a_stay_elsewhere_does_not_extend_a_stated_visit() -> None:
    (visit,) = propose_visits([frame("a", 10, spot="ledge")], [stay_at(2, 40, 5000)], [LEDGE])
    assert (minutes(visit.arrived), minutes(visit.departed)) == (10, 10)


def test_a_change_of_spot_and_a_return_are_three_visits() -> None:
    frames = [frame("a", 0, 0), frame("b", 30, 1000), frame("c", 60, 0)]
    assert [visit.spot for visit in propose_visits(frames, spots=[LEDGE, RAIL])] == ["ledge", "rail", "ledge"]


def test_a_stay_shared_by_two_spots_is_cut_half_way() -> None:
    near = Named("steps", north(40), 12.0)
    frames = [frame("a", 10, 0), frame("b", 20, 40)]
    first, second = propose_visits(frames, [stay_at(0, 30, 20)], [LEDGE, near])
    assert [minutes(at) for at in (first.arrived, first.departed, second.arrived, second.departed)] == [
        0,
        15,
        15,
        30,
    ]


def test_a_long_pause_parts_visits_unless_the_track_shows_who_stayed() -> None:
    frames = [frame("a", 0, 0), frame("b", 120, 0)]
    assert len(propose_visits(frames, spots=[LEDGE])) == 2
    assert len(propose_visits(frames, [stay_at(0, 120, 0)], [LEDGE])) == 1


def test_a_stay_elsewhere_parts_visits() -> None:
    frames = [frame("a", 0, 0), frame("b", 60, 0)]
    assert len(propose_visits(frames, spots=[LEDGE])) == 1
    assert [v.spot for v in propose_visits(frames, [stay_at(20, 40, 1000)], [LEDGE, RAIL])] == [
        "ledge",
        "rail",
        "ledge",
    ]


def test_a_stay_near_a_spot_without_frames_is_proposed_and_one_elsewhere_is_not() -> None:
    (visit,) = propose_visits([], [stay_at(0, 30, 1010), stay_at(60, 120, 9000)], [LEDGE, RAIL])
    assert (visit.spot, visit.source) == ("rail", VisitSource.TRACK)
    assert visit.reason == "30 min on the track 10 m away, no frames"


def test_frames_far_from_every_spot_are_a_visit_without_one() -> None:
    (visit,) = propose_visits([frame("a", 0, 5000), frame("b", 5, 5010)], spots=[LEDGE, RAIL])
    assert visit.spot is None
    assert "no viewpoint within reach" in visit.reason


def test_a_frame_that_nothing_places_goes_with_its_neighbour_in_time() -> None:
    frames = [frame("a", 0, 0), frame("b", 4), frame("c", 60, 1000), frame("d", 200)]
    visits = propose_visits(frames, spots=[LEDGE, RAIL])
    assert [(visit.spot, visit.frames) for visit in visits] == [
        ("ledge", ("a", "b")),
        ("rail", ("c",)),
        (None, ("d",)),
    ]
    assert "nothing shows where" in visits[-1].reason


FRAMES = st.lists(
    st.builds(
        frame,
        st.uuids().map(str),
        st.floats(0, 600),
        st.none() | st.floats(-500, 1500),
        st.none() | st.sampled_from(["ledge", "rail", "unknown"]),
    ),
    max_size=20,
)


@given(FRAMES)
def test_every_frame_is_in_exactly_one_visit_and_visits_do_not_overlap(frames: list[FrameTrace]) -> None:
    stays = [stay_at(0, 100, 0), stay_at(150, 300, 900), stay_at(310, 320, 0)]
    visits = propose_visits(frames, stays, [LEDGE, RAIL])
    assert sorted(key for visit in visits for key in visit.frames) == sorted(f.key for f in frames)
    assert all(visit.arrived <= visit.departed for visit in visits)
    assert all(a.departed <= b.arrived for a, b in pairwise(visits))
    for visit in visits:
        assert all(visit.arrived <= f.at <= visit.departed for f in frames if f.key in visit.frames)


def bout(begin: float, count: int, focal_mm: float, light_ev: float, **more: object) -> list[FrameTrace]:
    """Frames of a bout, a little more than a minute apart."""
    return [
        FrameTrace(
            key=f"{begin}-{step}",
            at=after(begin + step * 1.02),
            scene=FramePlace(at=after(begin + step * 1.02), focal_mm=focal_mm, light_ev=light_ev),
            **more,  # type: ignore[arg-type]
        )
        for step in range(count)
    ]


def test_five_stays_that_nothing_places_are_five_visits() -> None:
    """From 08:30 to 17:08, each with its own framing and light; the waits within a stay part nothing."""
    frames: list[FrameTrace] = []
    for number, begin in enumerate((0, 100, 200, 330, 440)):
        for wait in (0, 20):
            frames += bout(begin + wait, 12, (24, 85, 35, 135, 16)[number], (0, -2, 1, 0, -3)[number])
    visits = propose_visits(frames)
    assert [len(visit.frames) for visit in visits] == [24] * 5
    assert all(visit.spot is None and visit.reason.endswith("first and last frame") for visit in visits)


def test_a_pause_that_the_evidence_cannot_decide_is_named_and_not_cut() -> None:
    (visit,) = propose_visits(bout(0, 6, 24, 0) + bout(20, 6, 28, -1))
    (doubt,) = visit.doubtful
    assert (round(minutes(doubt.departed), 1), minutes(doubt.arrived)) == (5.1, 20)
    assert doubt.reason.startswith("15 min without a frame")


def test_between_two_frames_known_to_be_at_one_place_nothing_is_cut_or_doubted() -> None:
    here = {"latitude_deg": north(0), "longitude_deg": 12.0}
    spot = Named("ledge", north(0), 12.0)
    frames = [
        *bout(0, 1, 24, 0, **here),
        *bout(2, 5, 24, 0),
        *bout(40, 5, 200, -4),
        *bout(50, 1, 24, 0, **here),
    ]
    (visit,) = propose_visits(frames, (), (spot,))
    assert (visit.spot, len(visit.frames), visit.doubtful) == ("ledge", 12, ())


def test_between_two_places_the_frames_that_nothing_places_are_parted_where_it_is_likeliest() -> None:
    spots = (Named("ledge", north(0), 12.0), Named("rail", north(2000), 12.0))
    frames = [
        *bout(0, 1, 24, 0, latitude_deg=north(0), longitude_deg=12.0),
        *bout(1, 6, 24, 0),
        *bout(11, 6, 85, 0),
        *bout(17, 1, 85, 0, latitude_deg=north(2000), longitude_deg=12.0),
    ]
    assert [(visit.spot, len(visit.frames)) for visit in propose_visits(frames, (), spots)] == [
        ("ledge", 7),
        ("rail", 7),
    ]


def test_frames_of_a_known_visit_are_one_however_long_it_paused_and_two_visits_are_two() -> None:
    known = [*bout(0, 2, 24, 0, visit="v", spot="ledge"), *bout(120, 2, 200, -5, visit="v", spot="ledge")]
    visits = propose_visits([*known, *bout(123, 2, 200, -5, visit="w", spot="ledge")])
    assert [(visit.visit, len(visit.frames)) for visit in visits] == [("v", 4), ("w", 2)]


def test_of_spots_nearly_as_near_the_planned_one_is_meant() -> None:
    spots = (Named("rail", north(10), 12.0), Named("ledge", north(-20), 12.0), Named("far", north(60), 12.0))
    frame = FrameTrace(key="a", at=START, latitude_deg=north(0), longitude_deg=12.0)
    assert [propose_visits([frame], (), spots, preferred={key})[0].spot for key in ("ledge", "far", "")] == [
        "ledge",
        "rail",
        "rail",
    ]
