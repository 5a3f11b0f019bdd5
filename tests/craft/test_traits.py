from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.traits import KeeperTrait, KeeperTraits, Orientation, ShotTraits, voices

DUSK = datetime(2031, 10, 14, 16, 0, tzinfo=UTC)


def said(keeper: KeeperTraits, shot: ShotTraits) -> dict[KeeperTrait, float]:
    return {voice.trait: voice.score for voice in voices(keeper, shot)}


def words(keeper: KeeperTraits, shot: ShotTraits) -> list[str]:
    return [voice.words for voice in voices(keeper, shot)]


def window(minutes: float) -> ShotTraits:
    return ShotTraits(key="s", opens=DUSK, closes=DUSK + timedelta(minutes=minutes))


def made(minutes: float) -> KeeperTraits:
    return KeeperTraits(key="k", at=DUSK + timedelta(minutes=minutes))


def test_what_either_side_does_not_know_says_nothing() -> None:
    full = KeeperTraits(
        key="k", viewpoint="ledge", at=DUSK, bearing_deg=10, focal_mm=24, filters=(), support="tripod"
    )
    assert voices(full, ShotTraits(key="s")) == ()
    assert voices(KeeperTraits(key="k"), window(60)) == ()
    assert said(KeeperTraits(key="k", support="unknown"), ShotTraits(key="s", support="tripod")) == {}


def test_the_planned_viewpoint_speaks_for_and_another_one_is_elsewhere() -> None:
    shot = ShotTraits(key="s", viewpoint="ledge")
    (here,) = voices(KeeperTraits(key="k", viewpoint="ledge"), shot)
    (there,) = voices(KeeperTraits(key="k", viewpoint="rail"), shot)
    assert (here.score, here.elsewhere) == (2.5, False)
    assert (there.score, there.elsewhere, there.words) == (-2.5, True, "from rail")


@pytest.mark.parametrize(("metres", "elsewhere"), [(50, False), (150, False), (300, True), (5000, True)])
def test_without_viewpoints_the_distance_decides(metres: float, elsewhere: bool) -> None:
    keeper = KeeperTraits(key="k", latitude_deg=47 + metres / 111_195, longitude_deg=12)
    (voice,) = voices(keeper, ShotTraits(key="s", latitude_deg=47, longitude_deg=12))
    assert voice.elsewhere is elsewhere
    assert voice.words == (f"{metres} m away" if metres < 1000 else "5.0 km away")


def test_a_narrow_window_says_more_than_a_day() -> None:
    assert said(made(10), window(30))[KeeperTrait.TIME] > said(made(10), window(1440))[KeeperTrait.TIME] > 0


def test_outside_the_window_belief_falls_with_time() -> None:
    scores = [said(made(60 + late), window(60))[KeeperTrait.TIME] for late in (0, 20, 120, 400)]
    assert scores == sorted(scores, reverse=True)
    assert scores[-1] == -2.5
    assert words(made(80), window(60)) == ["20 min late"]
    assert words(made(-180), window(60)) == ["3 h early"]
    assert words(made(3 * 1440), window(60)) == ["3 days late"]


def test_bearings_are_compared_across_north() -> None:
    (voice,) = voices(KeeperTraits(key="k", bearing_deg=356), ShotTraits(key="s", bearing_deg=4))
    assert (voice.score, voice.words) == (1.5, "bearing 8° off")


def test_focal_lengths_are_compared_by_their_ratio() -> None:
    shot = ShotTraits(key="s", focal_mm=24)
    near, far = (said(KeeperTraits(key="k", focal_mm=mm), shot)[KeeperTrait.FOCAL] for mm in (25, 200))
    assert (near, far) == (1.0, -2.0)


def test_times_are_compared_in_stops() -> None:
    shot = ShotTraits(key="s", exposure_s=30)
    assert words(KeeperTraits(key="k", exposure_s=15), shot) == ["about the same shutter speed"]
    (voice,) = voices(KeeperTraits(key="k", exposure_s=1 / 125), shot)
    assert (voice.score, voice.words) == (-1.5, "12 stops faster")


def test_no_filter_differs_from_filter_unknown_and_two_differ_from_one() -> None:
    def score(used: tuple[str, ...] | None, planned: tuple[str, ...] | None) -> float | None:
        return said(KeeperTraits(key="k", filters=used), ShotTraits(key="s", filters=planned)).get(
            KeeperTrait.FILTERS
        )

    assert score((), ()) == 1.0
    assert score(None, ()) is None
    assert score(("nd8", "nd8"), ("nd8", "nd8")) == 1.0
    assert score(("nd8",), ("nd8", "nd8")) == 0.25
    assert score((), ("nd8",)) == -1.0


def test_orientation_and_support_speak_softly() -> None:
    shot = ShotTraits(key="s", orientation=Orientation.PORTRAIT, support="tripod")
    same = KeeperTraits(key="k", orientation=Orientation.PORTRAIT, support="tripod")
    other = KeeperTraits(key="k", orientation=Orientation.LANDSCAPE, support="braced")
    assert said(same, shot) == {KeeperTrait.ORIENTATION: 0.5, KeeperTrait.SUPPORT: 0.5}
    assert said(other, shot) == {KeeperTrait.ORIENTATION: -0.75, KeeperTrait.SUPPORT: -0.5}
    assert words(other, shot) == ["landscape", "braced"]


@given(st.floats(-720, 720), st.floats(0, 360), st.floats(1, 5000), st.floats(1e-5, 86_400))
def test_every_voice_stays_within_its_weight(
    minutes: float, bearing_deg: float, focal_mm: float, s: float
) -> None:
    at = DUSK + timedelta(minutes=minutes)
    keeper = KeeperTraits(key="k", at=at, bearing_deg=bearing_deg, focal_mm=focal_mm, exposure_s=s)
    shot = ShotTraits(
        key="s", opens=DUSK, closes=DUSK + timedelta(hours=1), bearing_deg=0, focal_mm=50, exposure_s=1
    )
    assert all(-2.5 <= voice.score <= 2.5 for voice in voices(keeper, shot))
