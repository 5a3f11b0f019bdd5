"""Exposure arithmetic: properties that hold whatever the numbers, and light levels known by name."""

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import (
    Equal,
    Free,
    Settings,
    compare,
    dial_exposure,
    equivalent,
    ev100,
    same,
    scene_light,
    scenes_like,
    time_value,
)
from logbook.craft.filters import parse_filter, parse_stack
from logbook.craft.series import APERTURES, EXPOSURES, ISOS

DIAL_TIMES = [time_s for time_s in EXPOSURES if Fraction(1, 8000) <= time_s <= 30]
SETTINGS = st.builds(
    Settings, st.sampled_from(list(APERTURES)), st.sampled_from(DIAL_TIMES), st.sampled_from(list(ISOS))
)
WHOLE_STOP_FILTERS = st.sampled_from(["nd2", "nd4", "nd8", "nd64", "nd1024"])


@given(SETTINGS, st.sampled_from(list(APERTURES)), st.sampled_from(list(ISOS)))
def test_an_equivalent_time_keeps_the_scene(first: Settings, f_number: float, iso: int) -> None:
    answer = _possible(first, f_number=f_number, iso=iso)
    assume(answer.exposure_s > min(EXPOSURES))  # shorter, and the shortest mark is all there is
    second = Settings(answer.f_number, answer.exposure_s, answer.iso, answer.filters)
    scene, again = scene_light(first).scene_ev100, scene_light(second).scene_ev100
    assert scene is not None
    assert again == pytest.approx(scene, abs=0.03)  # whole seconds past 30 s; on the dial it is exact
    assert answer.same


@given(SETTINGS, st.sampled_from(DIAL_TIMES), st.sampled_from([Free.APERTURE, Free.ISO]))
def test_an_equivalent_aperture_or_speed_is_exact_or_says_by_how_much_not(
    first: Settings, time_s: Fraction, free: Free
) -> None:
    answer = _possible(first, exposure_s=time_s, free=free)
    second = Settings(answer.f_number, answer.exposure_s, answer.iso)
    there = ev100(first.f_number, first.exposure_s, first.iso)
    back = ev100(second.f_number, second.exposure_s, second.iso)
    assert answer.difference_stops == pytest.approx(there - back, abs=1e-9)
    assert answer.same == (abs(there - back) <= 1 / 3 + 1e-9)


@given(SETTINGS, WHOLE_STOP_FILTERS)
def test_adding_a_filter_and_its_stops_of_time_cancels(first: Settings, name: str) -> None:
    item = parse_filter(name)
    assert item.typical_stops is not None
    longer = time_value(first.exposure_s) - item.typical_stops
    assume(longer >= -16)
    second = Settings(first.f_number, dial_exposure(-longer), first.iso, (item,))
    assert compare(first, second).difference_stops == pytest.approx(0, abs=0.03)
    before, after = scene_light(first), scene_light(second)
    assert before.scene_ev100 == pytest.approx(after.scene_ev100, abs=0.03)


@given(SETTINGS, SETTINGS)
def test_a_comparison_turned_round_changes_sign(first: Settings, second: Settings) -> None:
    there, back = compare(first, second), compare(second, first)
    assert there.difference_stops is not None
    assert back.difference_stops == pytest.approx(-there.difference_stops, abs=1e-9)
    parts = there.aperture_stops + there.time_stops + there.iso_stops + (there.filter_stops or 0)
    assert parts == pytest.approx(there.difference_stops, abs=1e-9)


def test_more_light_is_a_positive_difference() -> None:
    base = Settings(8.0, Fraction(1, 60), 100)
    for brighter in (
        Settings(5.6, Fraction(1, 60)),
        Settings(8.0, Fraction(1, 30)),
        Settings(8.0, Fraction(1, 60), 200),
    ):
        assert compare(base, brighter).difference_stops == pytest.approx(1)
    darker = Settings(8.0, Fraction(1, 60), 100, parse_stack("nd8"))
    assert compare(base, darker).difference_stops == pytest.approx(-3)


def test_a_positive_bias_means_the_metered_light_was_higher() -> None:
    plain = scene_light(Settings(8.0, Fraction(1, 60)))
    biased = scene_light(Settings(8.0, Fraction(1, 60)), bias_stops=1)
    assert plain.scene_ev100 is not None
    assert biased.scene_ev100 == plain.scene_ev100 + 1
    assert biased.ev100 == plain.ev100


def test_unknown_filters_leave_the_scene_unknown_and_no_filter_does_not() -> None:
    unknown = scene_light(Settings(8.0, Fraction(1, 60), 100, None))
    assert unknown.scene_ev100 is None
    assert unknown.filter_stops is None
    assert unknown.transmission is None
    assert scene_light(Settings(8.0, Fraction(1, 60), 100, ())).scene_ev100 == pytest.approx(12)
    assert compare(Settings(8.0, Fraction(1)), Settings(8.0, Fraction(1), 100, None)).same is None


def test_a_polariser_leaves_the_scene_a_range() -> None:
    light = scene_light(Settings(8.0, Fraction(1, 60), 100, parse_stack("pol")))
    assert light.scene_low_ev100 is not None
    assert light.scene_high_ev100 is not None
    assert light.scene_low_ev100 == pytest.approx(13)
    assert light.scene_high_ev100 == pytest.approx(14.5)
    assert light.scene_ev100 == pytest.approx(13.5)


def test_the_scene_and_its_working_read_like_a_sum() -> None:
    light = scene_light(Settings(11.0, Fraction(4), 200, parse_stack("nd64 + nd8")))
    assert light.ev100 == pytest.approx(4)
    assert light.filter_stops == 9
    assert light.transmission == pytest.approx(1 / 512)
    assert light.working == (
        "f/11 (Av 7) + 4 s (Tv −2) − ISO 200 (1) = EV100 4; nd64 + nd8: 6 + 3 = 9 stops; scene EV100 13"
    )


def test_the_time_is_worked_out_first_then_the_aperture_then_the_speed() -> None:
    base = Settings(8.0, Fraction(1, 60), 100)
    assert equivalent(base, f_number=4).exposure == "1/250 s"
    assert equivalent(base, exposure_s=Fraction(1, 250)).f_number == 4
    assert equivalent(base, exposure_s=Fraction(1, 250), f_number=8).iso == 400
    assert equivalent(base, filters=parse_stack("nd1024")).exposure == "15 s"
    assert equivalent(base, filters=parse_stack("nd8 + nd1024")).exposure == "2 min 8 s"


def test_a_result_that_a_lens_cannot_give_says_how_far_off_it_is() -> None:
    answer = equivalent(Settings(1.4, Fraction(1, 60)), exposure_s=Fraction(1, 250))
    assert answer.f_number == 1.0  # f/0.7 is what it would take
    assert answer.difference_stops == pytest.approx(-1)
    assert not answer.same


@pytest.mark.parametrize(
    ("first", "wanted"),
    [
        (Settings(8.0, Fraction(1)), {"f_number": 8.0, "exposure_s": Fraction(1), "iso": 100}),
        (Settings(8.0, Fraction(1)), {"exposure_s": Fraction(1), "free": Free.EXPOSURE}),
        (Settings(8.0, Fraction(1), 100, None), {"f_number": 4.0}),
        (Settings(8.0, Fraction(1)), {"filters": parse_stack("fog")}),
        (Settings(8.0, Fraction(1)), {"filters": parse_stack("nd1000000 + nd1000000")}),
        (Settings(8.0, Fraction(1)), {"exposure_s": Fraction(1, 8000), "free": Free.APERTURE}),
        (Settings(8.0, Fraction(1)), {"exposure_s": Fraction(1, 1_000_000), "free": Free.ISO}),
        (Settings(8.0, Fraction(1)), {"f_number": math.nan}),
    ],
)
def test_what_cannot_be_worked_out_is_refused(first: Settings, wanted: dict[str, object]) -> None:
    with pytest.raises(CraftValueError, match=r"\.$"):
        equivalent(first, **wanted)  # type: ignore[arg-type]


@pytest.mark.parametrize("bad", [(0, 1, 100), (8, 0, 100), (8, 1, 0), (8, -1, 100), (math.nan, 1, 100)])
def test_impossible_settings_are_refused(bad: tuple[float, float, int]) -> None:
    with pytest.raises(CraftValueError):
        Settings(bad[0], bad[1], bad[2])  # type: ignore[arg-type]


def test_an_absurd_bias_is_refused() -> None:
    for bias in (math.nan, 11.0, -math.inf):
        with pytest.raises(CraftValueError):
            scene_light(Settings(8.0, Fraction(1)), bias_stops=bias)


def test_a_third_of_a_stop_is_the_same_and_half_a_stop_is_not() -> None:
    assert same(1 / 3)
    assert same(-1 / 3)
    assert not same(0.5)


def test_settings_read_as_people_write_them() -> None:
    assert Settings(11.0, Fraction(4), 200, parse_stack("nd64,nd8")).text == "f/11, 4 s, ISO 200, nd64 + nd8"
    assert Settings(8.0, Fraction(1), 100, None).text == "f/8, 1 s, ISO 100, filters unknown"


def _possible(
    first: Settings,
    *,
    f_number: float | None = None,
    exposure_s: Fraction | None = None,
    iso: int | None = None,
    free: Free | None = None,
) -> Equal:
    """The equivalent; an example that no camera can do is not tried."""
    try:
        return equivalent(first, f_number=f_number, exposure_s=exposure_s, iso=iso, free=free)
    except CraftValueError:
        assume(False)
        raise


def test_a_level_is_named_by_the_scenes_nearest_to_it() -> None:
    assert [scene.words for scene in scenes_like(16.2)] == ["light sand or snow in full or slightly hazy sun"]
    assert "open shade in clear sunlight" in [scene.words for scene in scenes_like(12)]


def test_a_level_far_from_any_scene_has_no_name() -> None:
    assert scenes_like(25) == ()
    assert scenes_like(-12) == ()


def test_a_hundredth_of_a_stop_hides_no_scene() -> None:
    """An ND1000 takes 9.97 stops, not 10; the guide's hazy sun with soft shadows is EV 14."""
    words = [scene.words for scene in scenes_like(13.97)]
    assert words == [
        "a typical scene in hazy sun with soft shadows",
        "a skyline just before sunset",
        "a rainbow against a cloudy sky",
    ]
