"""`logbook expose`: the arithmetic through its JSON, its tables, and its refusals."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]

FILTERED = ("--f-number", "11", "--exposure", "4s", "--iso", "200", "--filters", "nd64,nd8")
THIRD = 1 / 3 + 1e-9  # stops; one click of a dial


def test_two_filters_hide_their_stops_of_the_scene(logbook: Run) -> None:
    """By hand: EV 7 - 2 - 1 in the camera at ISO 100, and 6 + 3 stops of filters."""
    data = logbook("expose", "ev", *FILTERED, "--json").data
    assert (data["ev100"], data["scene_ev100"], data["filter_stops"]) == pytest.approx((4, 13, 9))
    assert data["transmission"] == pytest.approx(1 / 512)
    assert data["working"].endswith("scene EV100 13")


@pytest.mark.parametrize(("f_number", "exposure"), [("9", "1/200"), ("7.1", "1/320")])
def test_without_the_filters_wider_apertures_and_shorter_times_are_the_same(
    logbook: Run, f_number: str, exposure: str
) -> None:
    """By hand, EV 14 at ISO 200; within a third of a stop."""
    change = ("--to-f-number", f_number, "--to-exposure", exposure, "--to-filters", "none")
    for named in (change, (*change, "--to-iso", "200")):
        data = logbook("expose", "equal", *FILTERED, *named, "--json").data
        assert abs(data["difference_stops"]) <= THIRD
        assert (data["iso"], data["filters"], data["same"]) == (200, [], True)


def test_the_time_is_worked_out_when_it_is_not_named(logbook: Run) -> None:
    """By hand: f/11, 4 s with 9 stops of filters is f/9, 1/200 s without."""
    data = logbook("expose", "equal", *FILTERED, "--to-f-number", "9", "--to-filters", "none", "--json").data
    assert (data["f_number"], data["exposure"], data["exposure_s"]) == (9, "1/200 s", 0.005)


def test_settings_that_differ_are_called_different(logbook: Run) -> None:
    answer = logbook(
        "expose", "equal", "--f-number", "8", "--exposure", "1/125", "--to-f-number", "8",
        "--to-exposure", "1/30", "--to-iso", "100",
    )  # fmt: skip
    assert "not the same: 2 stops brighter" in answer.out


@pytest.mark.parametrize(("wish", "short"), [("4s", 1), ("15s", 3), ("2s", 0)])
def test_a_wish_beyond_the_filters_is_short_by_the_stops_it_adds(
    logbook: Run, wish: str, short: float
) -> None:
    """By hand: a scene of EV 12, so 2 s at f/8 and ISO 200 take 8 stops, as many as factors 64 and 4 give."""
    data = logbook(
        "expose", "reach", "--f-number", "8", "--exposure", "1/125", "--iso", "200", "--wish", wish,
        "--owned", "nd64,nd4", "--json",
    ).data  # fmt: skip
    assert data["short_stops"] == pytest.approx(short)
    assert data["needed_stops"] == pytest.approx(8 + short)
    assert data["scene_limit_ev100"] == pytest.approx(12 - short)
    assert bool(data["choices"]) is (short == 0)
    assert data["nearest"]["filters"] == ["nd64", "nd4"]
    assert set(data["nearest"]) >= {"filters", "stops", "exposure_s"}


def test_a_wish_may_be_for_another_aperture_than_the_reading(logbook: Run) -> None:
    data = logbook(
        "expose", "reach", "--f-number", "5.6", "--exposure", "1/250", "--iso", "200", "--to-f-number", "8",
        "--wish", "8s", "--owned", "nd64,nd4", "--json",
    ).data  # fmt: skip
    assert data["short_stops"] == pytest.approx(2)


def test_a_quarter_of_a_second_at_32_mm_is_three_stops_slower_than_the_guide(logbook: Run) -> None:
    """Common practice, no source: the guide is 1/focal length on 36x24 mm."""
    data = logbook(
        "expose", "steady", "--exposure", "1/4", "--focal", "32", "--sensor", "36x24", "--json"
    ).data
    assert (data["guide_s"], data["margin_stops"]) == pytest.approx((1 / 32, -3))
    assert data["verdict"] == "unlikely"


def test_a_smaller_sensor_shortens_the_guide_by_its_crop(logbook: Run) -> None:
    data = logbook(
        "expose", "steady", "--exposure", "1/30", "--focal", "20", "--sensor", "18x12", "--json"
    ).data
    assert data["guide_s"] == pytest.approx(1 / 40)


def test_a_subject_and_the_stars_move_meanwhile(logbook: Run) -> None:
    data = logbook(
        "expose", "steady", "--exposure", "1/4", "--focal", "32", "--speed", "5.4 km/h", "--distance", "10 m",
        "--pixels", "6000", "--declination", "0", "--json",
    ).data  # fmt: skip
    assert data["subject"]["shift_mm"] == pytest.approx(1.5 / 4 * 32 / 9.968)  # thin lens
    assert data["subject"]["pixels"] == pytest.approx(200 * 10 / 9.968)
    # 15.041 arcsec/s (Capitaine et al. 2003, the sidereal rate) at 32 mm is 2.3335 um/s
    assert data["stars"]["per_minute_um"] == pytest.approx(60 * 2.33346, rel=1e-4)


def test_depth_tells_what_is_sharp_and_what_the_lens_sees(logbook: Run) -> None:
    """Angles by 2 atan(d / 2f), 2.44 lambda N: Ray, Applied Photographic Optics; Born and Wolf, 8.5.2."""
    data = logbook("expose", "depth", "--focal", "24", "--f-number", "16", "--json").data
    assert data["horizontal_deg"] == pytest.approx(73.74, abs=0.01)
    assert data["vertical_deg"] == pytest.approx(53.13, abs=0.01)
    assert data["diagonal_deg"] == pytest.approx(84.06, abs=0.01)
    assert data["airy_um"] == pytest.approx(21.5, abs=0.1)
    assert data["focus_m"] == data["hyperfocal_m"]
    assert (data["far_m"], data["near_m"]) == (None, pytest.approx(data["hyperfocal_m"] / 2, rel=1e-6))


def test_stopping_down_is_told_apart_as_time_or_depth(logbook: Run) -> None:
    common = (
        "expose",
        "depth",
        "--focal",
        "24",
        "--f-number",
        "8",
        "--distance",
        "3m",
        "--to-f-number",
        "16",
    )
    assert logbook(*common, "--nearest", "2", "--json").data["stopping_down"]["bought"] == "time"
    assert logbook(*common, "--nearest", "1", "--json").data["stopping_down"]["bought"] == "depth"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("ev --f-number f/0 --exposure 1/2", "Aperture f/0 is not possible"),
        ("ev --f-number 8 --exposure 1/0s", "divides by zero"),
        ("ev --exposure 1/2", "needs --f-number"),
        ("ev --f-number 8 --exposure 1/2 --filters foo", 'The strength of the filter "foo" is unknown'),
        ("ev --f-number 8 --exposure 1/2 --filters nd1", "blocks no light"),
        ("ev --f-number 8 --exposure 1/2 --bias lots", '"lots" is not a number of stops'),
        ("ev --f-number 8 --exposure 1/2 --bias 1/0", "is not a number of stops"),
        ("ev --f-number 8 --exposure 1/2 --iso 0", "ISO 0 is not possible"),
        ("equal --f-number 8 --exposure 1/2", "Say what changes"),
        ("equal --f-number 8 --exposure 1/2 --filters unknown --to-f-number 11", "strength is unknown"),
        ("reach --f-number 8 --exposure 1/30 --owned nd8", "needs --wish"),
        ("reach --f-number 8 --exposure 1/30 --wish 2s", "needs --owned"),
        ("reach --shot bridge --wish 2s", "leave out --wish"),
        ("steady --exposure 1/2", "needs --focal"),
        ("steady --exposure 1/2 --focal 24 --sensor 36", '"36" is not a sensor size'),
        ("steady --exposure 1/2 --focal 24 --speed fast", '"fast" is not a speed'),
        ("steady --exposure 1/2 --focal 24 --speed 3", "both --speed and --distance"),
        ("steady --exposure 1/2 --focal 0", "Focal length 0 mm is not possible"),
        ("depth --focal 24 --f-number 8 --distance far", '"far" is not a distance'),
        ("depth --focal 24 --f-number 8 --distance 0", "Distance 0 m is not possible"),
    ],
)
def test_a_slip_gets_one_sentence_that_says_what_to_write(logbook: Run, line: str, says: str) -> None:
    answer = logbook("expose", *line.split())
    assert (answer.status, answer.out) == (2, "")
    assert says in answer.err
    assert len(answer.err.splitlines()) == 1
    assert "Traceback" not in answer.err


def test_unknown_filters_leave_the_scene_unknown(logbook: Run) -> None:
    line = ("expose", "ev", "--f-number", "8", "--exposure", "1/125", "--filters", "unknown")
    data = logbook(*line, "--json").data
    assert (data["scene_ev100"], data["filter_stops"], data["filters"]) == (None, None, None)
    assert "unknown, because the filters are" in logbook(*line).out


def test_a_bias_of_the_meter_raises_the_light_it_saw(logbook: Run) -> None:
    common = ("expose", "ev", "--f-number", "8", "--exposure", "1/125")
    plain, brighter, darker = (
        logbook(*common, *bias, "--json").data["scene_ev100"]
        for bias in ((), ("--bias", "+1"), ("--bias", "-2/3"))
    )
    assert (brighter - plain, darker - plain) == pytest.approx((1, -2 / 3))


@pytest.mark.parametrize(
    "line",
    [
        "ev --f-number 11 --exposure 4s --filters nd64,nd8",
        "equal --f-number 11 --exposure 4s --filters nd64,nd8 --to-f-number 9 --to-filters none",
        "reach --f-number 8 --exposure 1/125 --wish 4s --owned nd64,nd8,pol --focal 20",
        "steady --exposure 1/4 --focal 35 --support braced --speed 3 --distance 4",
        "depth --focal 24 --f-number 8 --distance 3 --subject-width 2 --to-f-number 16 --nearest 2",
    ],
)
def test_every_answer_shows_its_working(logbook: Run, line: str) -> None:
    answer = logbook("expose", *line.split())
    assert (answer.status, answer.err) == (0, "")
    assert "working" in answer.out


def plan(stocked: Run, *settings: str) -> None:
    """Give the stocked book's shot a window, settings and a filter in the bag."""
    stocked("shot", "edit", "bridge-flow", *settings)
    stocked(
        "kit", "add", "ND eight", "--kind", "filter", "--filter", "nd8", "--trip", "high", "--state", "taken"
    )


def test_a_planned_shot_is_judged_with_the_kit_packed_and_the_hours_of_its_light(stocked: Run) -> None:
    plan(
        stocked, "--window", "12:00-14:00", "--focal", "24", "--f-number", "32", "--exposure", "4s",
        "--iso", "100", "--support", "tripod",
    )  # fmt: skip
    data = stocked("expose", "reach", "--shot", "bridge", "--json").data
    assert set(data) >= {"needed_stops", "short_stops", "scene_limit_ev100", "choices"}
    # looking north at midday, EV 14.2 (ANSI PH2.7: side light, EV 14): 6.2 stops, of which an ND8 takes 3
    assert data["feasibility"]["verdict"] == "too bright"
    assert data["short_stops"] == data["feasibility"]["off_stops"] == pytest.approx(3.2, abs=0.3)
    light = data["feasibility"]
    assert light["expected_ev100_low"] < light["expected_ev100"] < light["expected_ev100_high"]
    assert light["met"] is None
    assert data["scene_limit_ev100"] == pytest.approx(11)
    morning, evening = data["low_enough"]
    assert morning["from"] == "2031-10-14T00:00:00+05:00"
    # the limit is EV 11 and a third, reached half an hour before the sun sets at 17:31
    assert "2031-10-14T16:50" < evening["from"] < "2031-10-14T17:20"
    assert evening["to"] == "2031-10-15T00:00:00+05:00"
    shown = stocked("expose", "reach", "--shot", "bridge").out
    assert "3.2 stops too bright" in shown
    assert "Asia/Dushanbe" in shown
    assert "24:00" in shown


def test_the_caution_stands_where_the_plan_looks_into_the_sun(stocked: Run) -> None:
    settings = (
        "--focal",
        "24",
        "--f-number",
        "8",
        "--exposure",
        "1/125",
        "--iso",
        "100",
        "--support",
        "tripod",
    )
    stocked("viewpoint", "edit", "quarry-ledge", "--facing", "250")
    plan(stocked, "--window", "16:00-17:00", *settings)
    answer = stocked("expose", "reach", "--shot", "bridge")
    assert answer.out.startswith("bridge-flow: the sun is in the frame ")
    assert "Never look at the sun" in answer.out
    stocked("viewpoint", "edit", "quarry-ledge", "--facing", "N")
    assert "Never look at the sun" not in stocked("expose", "reach", "--shot", "bridge").out


def test_a_plan_without_settings_or_light_is_refused_with_what_to_add(stocked: Run) -> None:
    answer = stocked("expose", "reach", "--shot", "bridge")
    assert answer.status == 1
    assert "does not give the aperture, shutter speed and ISO" in answer.err
    plan(stocked, "--f-number", "8", "--exposure", "1/125", "--iso", "100", "--clear", "on_date")
    answer = stocked("expose", "reach", "--shot", "bridge")
    assert answer.status == 1
    assert "needs a date" in answer.err


def test_a_verdict_counts_stops_where_the_light_decides(stocked: Run) -> None:
    settings = ("--focal", "24", "--f-number", "32", "--exposure", "4s", "--iso", "100")
    plan(stocked, "--window", "12:00-14:00", "--support", "tripod", *settings)
    assert stocked("expose", "reach", "--shot", "bridge").out.startswith(
        "bridge-flow: 3.2 stops too bright; "
    )
    stocked("viewpoint", "edit", "quarry-ledge", "--tripod", "forbidden")
    plan(stocked, "--window", "17:30-17:45")
    assert stocked("expose", "reach", "--shot", "bridge").out.startswith("bridge-flow: doubtful; ")


def test_filters_that_are_packed_but_not_planned_are_offered_and_nothing_says_out_of_reach(
    stocked: Run,
) -> None:
    settings = ("--focal", "24", "--f-number", "16", "--exposure", "4s", "--iso", "100", "--filters", "nd2")
    plan(stocked, "--window", "12:00-14:00", "--support", "tripod", *settings)
    stocked(
        "kit", "add", "Dark", "--kind", "filter", "--filter", "nd512", "--trip", "high", "--state", "taken"
    )
    shown = stocked("expose", "reach", "--shot", "bridge")
    assert "the packed nd512" in " ".join(shown.out.split())
    assert "out of reach" not in shown.out
    assert "though not with those planned" in shown.out
    assert stocked("expose", "reach", "--shot", "bridge", "--json").data["instead"]["choices"]


def test_a_steady_camera_does_not_keep_stars_from_trailing(logbook: Run) -> None:
    """20 mm x 2 pi / 86164 s is 1.458 um a second, so two pixels of 6 um take 8.2 s (sidereal day)."""
    line = (
        "expose",
        "steady",
        "--focal",
        "20",
        "--declination",
        "0",
        "--pixels",
        "6000",
        "--support",
        "tripod",
    )
    long = " ".join(logbook(*line, "--exposure", "20s").out.split())
    assert long.startswith("20 s, tripod: steady; the stars trail 4.9 pixels")
    assert "2 pixels on the axis after 8.2 s" in long
    short = " ".join(logbook(*line, "--exposure", "8s").out.split())
    assert short.startswith("8 s, tripod: steady; in a corner the stars trail up to 4.2 pixels")
    assert logbook(*line, "--exposure", "3s").out.startswith("3 s, tripod: steady\n")


@pytest.mark.slow
def test_a_plan_for_totality_is_judged_in_its_light(stocked: Run) -> None:
    """13:02 to 13:09 at 25.7 N 32.65 E, 2 August 2027 (astronomy-engine); f/2.8 and 2 s ask for EV 2."""
    stocked("viewpoint", "edit", "quarry-ledge", "--lat", "25.7", "--lon", "32.65", "--facing", "N")
    stocked("site", "edit", "quarry", "--zone", "Africa/Cairo")
    settings = (
        "--focal",
        "24",
        "--f-number",
        "2.8",
        "--exposure",
        "2s",
        "--iso",
        "100",
        "--support",
        "tripod",
    )
    plan(stocked, "--on", "2027-08-02", "--window", "13:03-13:06", *settings)
    shown = stocked("expose", "reach", "--shot", "bridge")
    words = " ".join(shown.out.split())
    assert words.startswith("bridge-flow: doubtful, 1.")
    assert "at 13:03 the moon covers the whole sun: about 14 stops less light, already counted" in words
    assert "13:02-13:09" in words
    feasible = next(
        one["feasibility"] for one in stocked("shot", "list", "--json").data if one["slug"] == "bridge-flow"
    )
    assert feasible["verdict"] == "doubtful"
    assert feasible["expected_ev100_low"] < 2 < feasible["expected_ev100_high"]
    stocked("shot", "edit", "bridge-flow", "--on", "2027-08-01")
    assert "stops too bright" in stocked("expose", "reach", "--shot", "bridge").out


def test_a_range_without_a_distance_is_focused_on_the_range(logbook: Run) -> None:
    """35 mm, 2 to 5 m: focused at 2.86 m f/5.6 holds 2.1 to 4.6 m and f/11 1.6 to 11.4 m (Ray)."""
    line = ("expose", "depth", "--focal", "35", "--f-number", "5.6", "--farthest", "5")
    data = logbook(*line, "--nearest", "2", "--to-f-number", "11", "--json").data
    assert data["focus_m"] == pytest.approx(20 / 7)
    assert (data["near_m"], data["far_m"]) == pytest.approx((2.08, 4.56), abs=0.01)
    assert data["stopping_down"]["bought"] == "depth"
    assert "both ends" in logbook(*line, "--nearest", "2", "--to-f-number", "11").out
    assert "swap the two" in logbook(*line, "--nearest", "6", "--to-f-number", "11").err
    assert "give both" in logbook(*line).err


def test_dark_corners_are_foretold_of_the_stack_that_is_shown_first(logbook: Run) -> None:
    """nd1000 + pol + nd8 lies nearer to the wish, but faster; two filters reach it."""
    line = ("expose", "reach", "--f-number", "8", "--exposure", "1/125", "--wish", "4min", "--focal", "24")
    shown = logbook(*line, "--iso", "100", "--owned", "nd1000,nd64,pol,nd8").out
    assert "nd1000 + nd64 " in shown
    assert "2 filters at 24 mm" in shown
