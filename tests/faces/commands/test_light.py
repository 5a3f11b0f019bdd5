"""`logbook light`: a day's events, its clock, the light on a view, and the caution about the sun."""

import json
import re
from collections.abc import Callable
from datetime import datetime
from math import log2, radians, tan
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

# USNO definitions; skyfield 1.55 with DE421 by root finding agreed with its own almanac (see the file)
FACTS: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "truth" / "sun_events.json").read_text(encoding="utf-8")
)["entries"]
NAMED = {
    "-0.8333": ("sunrise", "sunset"),
    "-6": ("civil dawn", "civil dusk"),
    "-12": ("nautical dawn", "nautical dusk"),
    "-18": ("astronomical dawn", "astronomical dusk"),
}
HIGH_VALLEY = ("light", "--lat", "38.2", "--lon", "73.4", "--on", "2031-10-14")


def of_day(logbook: Run, entry: dict[str, Any], *more: str) -> Any:
    """The command's JSON for a day of the reference."""
    place = entry["inputs"]
    line = ("light", "--lat", str(place["lat_deg"]), "--lon", str(place["lon_deg"]), "--on", place["date"])
    answer = logbook(*line, "--zone", place["tz"], *more, "--json")
    assert answer.status == 0, answer.err
    return answer.data


@pytest.mark.parametrize("name", ["sunevent-01", "sunevent-08", "sunevent-09", "sunevent-15", "sunevent-23"])
def test_the_days_events_are_the_references(logbook: Run, name: str) -> None:
    """Sunrise, sunset and twilights of sun_events.json; tolerance as stated there, plus 1 s of rounding.

    Two of the days have 23 hours, one has 25, and one sees the sun set before it rises.
    """
    entry = FACTS[name]
    events = of_day(logbook, entry)["events"]
    for altitude, (up, down) in NAMED.items():
        for word, wanted in ((up, "up"), (down, "down")):
            ours = [datetime.fromisoformat(one["at"]) for one in events if one["name"] == word]
            theirs = [datetime.fromisoformat(at) for at in entry["expected"]["crossings"][altitude][wanted]]
            assert len(ours) == len(theirs), (word, altitude)
            for our, their in zip(ours, theirs, strict=True):
                assert abs((our - their).total_seconds()) <= entry["tolerance"]["time_s"] + 1


def test_times_carry_the_offset_that_holds_on_either_side_of_a_clock_change(logbook: Run) -> None:
    """A day of 23 hours: clocks go from UTC-5 to UTC-4 at 02:00 (IANA time zone database)."""
    data = of_day(logbook, FACTS["sunevent-09"])
    assert data["clock_change"] == {"at": "2024-03-10T03:00:00-04:00", "minutes": 60}
    assert data["phases"][0]["from"] == "2024-03-10T00:00:00-05:00"
    assert data["phases"][-1]["to"] == "2024-03-11T00:00:00-04:00"
    assert [one["to"] for one in data["phases"][:-1]] == [one["from"] for one in data["phases"][1:]]


def test_the_clock_change_stands_in_the_timeline(logbook: Run) -> None:
    line = ("light", "--lat", "40.7", "--lon", "-74", "--zone", "America/New_York")
    assert "03:00  clocks go forward from 02:00 to 03:00" in logbook(*line, "--on", "2024-03-10").out
    assert "01:00  clocks go back from 02:00 to 01:00" in logbook(*line, "--on", "2024-11-03").out


@pytest.mark.parametrize(
    ("on", "told"),
    [
        ("2031-09-06", None),  # ends as its clocks show 24:00, and the next day begins at 01:00
        ("2031-09-07", "01:00  clocks go forward from 00:00 to 01:00"),
        ("2031-04-05", "23:00  clocks go back from 24:00 to 23:00"),
        ("2031-04-06", None),
    ],
)
def test_a_clock_change_at_midnight_is_told_on_the_one_day_that_it_changes(
    logbook: Run, on: str, told: str | None
) -> None:
    """America/Santiago turns its clocks at 24:00 of a Saturday (IANA time zone database)."""
    out = logbook("light", "--lat", "-33.45", "--lon", "-70.66", "--on", on).out
    assert told in out if told else "clocks go" not in out


def test_north_is_never_told_as_360_degrees(logbook: Run) -> None:
    """The sun culminates at 359.9 degrees there, which is 0 in whole degrees."""
    out = logbook("light", "--lat", "-33.45", "--lon", "-70.66", "--on", "2031-04-05").out
    assert re.search(r"solar noon +0° N", out)


def test_a_time_that_clocks_skip_is_refused_and_one_that_comes_twice_says_so(logbook: Run) -> None:
    line = ("light", "--lat", "40.7", "--lon", "-74", "--zone", "America/New_York")
    skipped = logbook(*line, "--on", "2024-03-10", "--at", "02:30")
    assert skipped.status == 2
    assert "There is no 02:30 on 2024-03-10 in America/New_York" in skipped.err
    twice = logbook(*line, "--on", "2024-11-03", "--at", "01:30", "--json").data["at"]
    assert (twice["at"], twice["happens_twice"]) == ("2024-11-03T01:30:00-04:00", True)


@pytest.mark.parametrize(
    ("name", "stays", "says"),
    [
        ("sunevent-18", "below", "The sun does not rise on this day."),
        ("sunevent-17", "above", "The sun does not set on this day."),
    ],
)
def test_polar_day_and_night_say_so(logbook: Run, name: str, stays: str, says: str) -> None:
    entry = FACTS[name]
    data = of_day(logbook, entry)
    assert data["sun_stays"] == stays
    assert not [one for one in data["events"] if one["name"] in ("sunrise", "sunset")]
    place = entry["inputs"]
    line = ("light", "--lat", str(place["lat_deg"]), "--lon", str(place["lon_deg"]), "--on", place["date"])
    assert says in logbook(*line).out


@pytest.mark.parametrize(
    ("latitude", "on", "says"),
    [
        ("52", "2031-06-21", ["It gets no darker than astronomical twilight."]),  # 52 + 23.4 - 90 = -14.6
        ("60", "2031-06-21", ["It gets no darker than nautical twilight."]),  # -6.6
        ("69.65", "2031-12-21", ["It gets no brighter than golden hour."]),  # 90 - 69.65 - 23.4 = -3.1
        ("78.2", "2031-12-21", ["It gets no brighter than nautical twilight."]),  # -11.6
        ("78.2", "2031-06-21", []),  # day throughout, as is said of the sun
        ("40", "2031-06-21", []),
    ],
)
def test_a_day_without_night_or_without_day_says_how_far_it_gets(
    logbook: Run, latitude: str, on: str, says: list[str]
) -> None:
    """The sun's lowest and highest altitude follow from latitude and declination (Meeus, ch. 13)."""
    out = logbook("light", "--lat", latitude, "--lon", "15", "--on", on).out
    assert [line for line in out.splitlines() if line.startswith("It gets no ")] == says


@pytest.mark.parametrize(
    ("place", "on", "at", "asked"),
    [
        (("-31.55", "159.08"), "2031-10-05", "02:15", "02:45"),  # half an hour forward (IANA database)
        (("-72.01", "2.53"), "2031-03-30", "01:30", "03:30"),  # two hours
        (("52.5", "13.4"), "2031-03-30", "02:30", "03:30"),
    ],
)
def test_a_time_that_clocks_skip_is_refused_with_the_one_they_show(
    logbook: Run, place: tuple[str, str], on: str, at: str, asked: str
) -> None:
    answer = logbook("light", "--lat", place[0], "--lon", place[1], "--on", on, "--at", at)
    assert answer.status == 2
    assert f"There is no {at} on {on}" in answer.err
    assert f"the clocks skip it; ask for {asked}." in answer.err


def test_json_names_stay(logbook: Run) -> None:
    data = logbook(*HIGH_VALLEY, "--facing", "250", "--at", "16:00", "--json").data
    assert set(data) >= {"events", "phases", "at", "moon_phase", "moon_illuminated_fraction", "caution"}
    assert all({"name", "at"} <= set(event) for event in data["events"])
    assert set(data["at"]) >= {
        "sun_azimuth_deg",
        "sun_altitude_deg",
        "angle_to_view_deg",
        "direction",
        "polarisation",
        "bow",
        "moon_azimuth_deg",
        "moon_altitude_deg",
        "moon_phase",
        "moon_illuminated_fraction",
    }
    assert set(data["at"]["bow"]) >= {"centre_azimuth_deg", "top_altitude_deg", "in_frame"}


@pytest.mark.parametrize(
    ("facing", "direction"), [(250, "back"), (70, "front"), (340, "side"), (160, "side")]
)
def test_light_falls_from_where_the_sun_stands(logbook: Run, facing: int, direction: str) -> None:
    """At 16:00 the sun stands about 244 degrees from north."""
    at = logbook(*HIGH_VALLEY, "--facing", str(facing), "--at", "16:00", "--json").data["at"]
    assert at["direction"] == direction
    turned = abs((at["sun_azimuth_deg"] - facing + 180) % 360 - 180)
    assert at["angle_to_view_deg"] == pytest.approx(turned)


def test_the_bow_stands_opposite_the_sun_at_42_degrees_from_the_antisolar_point(logbook: Run) -> None:
    """Newton, Opticks, I.II Prop. IX: the bow's top is at 42 degrees less the sun's apparent altitude."""
    at = logbook(*HIGH_VALLEY, "--facing", "70", "--at", "16:00", "--json").data["at"]
    assert at["bow"]["centre_azimuth_deg"] == pytest.approx((at["sun_azimuth_deg"] + 180) % 360)
    seen = logbook(*HIGH_VALLEY, "--facing", "70", "--at", "16:00", "--refraction", "--json").data["at"]
    assert at["bow"]["top_altitude_deg"] == pytest.approx(42 - seen["sun_altitude_deg"])
    assert at["bow"]["in_frame"] is True
    away = logbook(*HIGH_VALLEY, "--facing", "250", "--at", "16:00", "--json").data["at"]
    assert away["bow"]["in_frame"] is False
    anywhere = logbook(*HIGH_VALLEY, "--at", "16:00", "--json").data["at"]
    assert anywhere["bow"]["in_frame"] is None
    assert logbook(*HIGH_VALLEY, "--at", "22:00", "--json").data["at"]["bow"] is None


def test_altitudes_say_whether_refraction_is_included(logbook: Run) -> None:
    """Near the horizon the air lifts by about 0.5 degrees (Meeus, Astronomical Algorithms, ch. 16)."""
    line = (*HIGH_VALLEY, "--at", "17:25")
    bare, lifted = logbook(*line, "--json").data, logbook(*line, "--refraction", "--json").data
    assert (bare["refraction"], lifted["refraction"]) == (False, True)
    lift_deg = lifted["at"]["sun_altitude_deg"] - bare["at"]["sun_altitude_deg"]
    assert lift_deg == pytest.approx(0.5, abs=0.15)
    assert "without refraction" in logbook(*line).out
    assert "with refraction" in logbook(*line, "--refraction").out


@pytest.mark.slow
def test_the_caution_stands_wherever_the_sun_is_in_or_near_the_frame(logbook: Run) -> None:
    towards = logbook(*HIGH_VALLEY, "--facing", "250")
    assert "Never look at the sun" in towards.out.replace("\n", " ")
    assert "sun enters the frame" in towards.out
    away = logbook(*HIGH_VALLEY, "--facing", "340", "--focal", "85")
    assert "Never look at the sun" not in away.out.replace("\n", " ")
    # The sun rises at 100 degrees: outside the 40-degree frame of 50 mm round 70, but within 10 of its edge.
    near = logbook(*HIGH_VALLEY, "--facing", "70", "--focal", "50", "--json").data
    assert (near["sun_in_frame"], bool(near["sun_near_frame"])) == ([], True)
    assert "Never look at the sun" in near["caution"]


def test_the_usual_cautions_stand_in_one_line(logbook: Run) -> None:
    shown = " ".join(logbook(*HIGH_VALLEY).out.split())
    assert "Local rules, wardens and licensed guides decide." in shown


def test_an_assumed_lens_is_called_assumed(logbook: Run) -> None:
    assert "24 mm on 36x24 mm (assumed)" in logbook(*HIGH_VALLEY, "--facing", "W").out
    assert "(assumed)" not in logbook(*HIGH_VALLEY, "--facing", "W", "--focal", "35").out


@pytest.mark.slow
def test_the_zone_is_the_sites_else_the_trips_and_says_which(stocked: Run) -> None:
    data = stocked("light", "quarry", "--on", "2031-10-14", "--json").data
    assert (data["zone"], data["zone_from"]) == ("Asia/Dushanbe", "trip")
    stocked("site", "edit", "quarry", "--zone", "Asia/Tashkent")
    data = stocked("light", "quarry", "--on", "2031-10-14", "--json").data
    assert (data["zone"], data["zone_from"], data["facing_deg"]) == ("Asia/Tashkent", "site", 315)
    data = stocked("light", "quarry", "--on", "2031-10-14", "--zone", "UTC", "--facing", "90", "--json").data
    assert (data["zone"], data["zone_from"], data["facing_deg"]) == ("UTC", "stated", 90)
    assert "the site's zone" in stocked("light", "quarry", "--on", "2031-10-14").out


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("--lat 95 --lon 0 --on 2031-10-14", "Latitude 95 is outside"),
        ("--lat 45 --on 2031-10-14", "both --lat and --lon"),
        ("--on 2031-10-14", "Say where"),
        ("--lat 45 --lon 7", "needs --on"),
        ("--lat 45 --lon 7 --on someday", '"someday" is not a date'),
        ("--lat 45 --lon 7 --on 2031-10-14 --at teatime", '"teatime" is not a time of day'),
        ("--lat 45 --lon 7 --on 2031-10-14 --zone Mars/Olympus", "is not a time zone"),
        ("--lat 45 --lon 7 --on 2131-10-14", "choose another date"),
        ("--lat 45 --lon 7 --on 2031-10-14 --facing up", "is not a bearing"),
        ("--lat 45 --lon 7 --on 2031-10-14 --focal 0", "Focal length 0 mm is not possible"),
        ("ledge --lat 45 --lon 7 --on 2031-10-14", "either a viewpoint or --lat"),
    ],
)
def test_a_slip_gets_one_sentence(logbook: Run, line: str, says: str) -> None:
    answer = logbook("light", *line.split())
    assert (answer.status, answer.out) == (2, "")
    assert says in answer.err
    assert len(answer.err.splitlines()) == 1


def test_a_viewpoint_nobody_placed_says_how_to_place_it(stocked: Run) -> None:
    stocked("site", "edit", "quarry", "--clear", "latitude_deg", "--clear", "longitude_deg")
    answer = stocked("light", "quarry", "--on", "2031-10-14")
    assert answer.status != 0
    assert "logbook viewpoint edit quarry-ledge --lat DEG --lon DEG" in answer.err


def test_a_low_suns_shadow_is_as_long_as_the_air_lets_it_be(logbook: Run) -> None:
    """Refraction by astronomy-engine ("Normal"), an oracle; tolerance 2 %, of a tenth that refraction takes.

    The shadow is the same whether or not altitudes are asked for with refraction, and its working adds up.
    """
    import astronomy

    lines = [(*HIGH_VALLEY, "--at", "17:15", *more) for more in ((), ("--refraction",))]
    plain, lifted = (logbook(*line, "--json").data["at"] for line in lines)
    true_deg = plain["sun_altitude_deg"]
    assert 1.5 < true_deg < 3.5
    seen_deg = true_deg + astronomy.RefractionAngle(astronomy.Refraction.Normal, true_deg)
    assert plain["shadow"]["length_per_metre"] == pytest.approx(1 / tan(radians(seen_deg)), rel=0.02)
    assert plain["shadow"] == lifted["shadow"]
    shines = re.search(r"its light comes from ([\d.]+)° up", plain["working"])
    assert shines
    assert f"shadow 1 / tan {shines[1]}° = " in plain["working"]
    assert "its light" not in lifted["working"]


def test_a_sun_whose_rim_still_shows_is_not_called_below_the_horizon(logbook: Run) -> None:
    at = logbook(*HIGH_VALLEY, "--at", "17:28", "--json").data["at"]
    assert (at["sun_in_sight"], at["sun_altitude_deg"] < 0) == (True, True)
    assert "below level (without refraction)" in logbook(*HIGH_VALLEY, "--at", "17:28").out
    assert "below the horizon (without refraction)" in logbook(*HIGH_VALLEY, "--at", "17:33").out


def test_a_sun_that_the_horizon_cuts_still_casts_a_shadow_and_a_bow(logbook: Run) -> None:
    """USNO: the sun is up until its centre stands at -50 arcmin; 17:28 lies between 0 and that."""
    at = logbook(*HIGH_VALLEY, "--at", "17:28", "--json").data["at"]
    assert -0.83 < at["sun_altitude_deg"] < 0
    assert at["shadow"]["length_per_metre"] > 50
    assert 41.5 < at["bow"]["top_altitude_deg"] < 42
    gone = logbook(*HIGH_VALLEY, "--at", "17:33", "--json").data["at"]
    assert (gone["shadow"], gone["bow"]) == (None, None)


@pytest.mark.slow
def test_a_horizon_of_ones_own_moves_sunset_and_is_said(logbook: Run) -> None:
    """From 3715 m above the sea, whose horizon is seen 1.79 degrees down, the sun sets 11 minutes later.

    astronomy-engine, `SearchRiseSet` with that height above the ground: 12:41:43 UTC.
    """
    level = logbook(*HIGH_VALLEY, "--json").data
    sea = logbook(*HIGH_VALLEY, "--elevation", "3715", "--horizon", "sea", "--json").data
    hills = logbook(*HIGH_VALLEY, "--horizon", "6", "--json").data
    sunset = [next(e["at"] for e in day["events"] if e["name"] == "sunset") for day in (hills, level, sea)]
    assert sunset == sorted(sunset)
    assert sunset[1][11:16] == "17:30"
    assert sunset[2][11:16] == "17:41"
    assert sea["horizon_deg"] == pytest.approx(-1.79, abs=0.01)
    assert level["horizon_deg"] is None
    assert "Horizon: sun and moon over the 6° skyline." in logbook(*HIGH_VALLEY, "--horizon", "6").out
    assert "Horizon: level" in logbook(*HIGH_VALLEY).out
    refused = logbook(*HIGH_VALLEY, "--horizon", "85")
    assert (refused.status, "between -45 and 80" in refused.err) == (2, True)


@pytest.mark.slow
def test_both_of_two_times_that_clocks_show_can_be_asked(logbook: Run) -> None:
    berlin = ("light", "--lat", "52.5", "--lon", "13.4", "--on", "2031-10-26", "--at", "02:30")
    first, second = (logbook(*berlin, *more, "--json").data["at"]["at"] for more in ((), ("--later",)))
    assert (first[-6:], second[-6:]) == ("+02:00", "+01:00")
    assert "the second of two such times" in logbook(*berlin, "--later").out
    once = logbook(*berlin[:-1], "04:30", "--later")
    assert (once.status, "comes only once" in once.err) == (2, True)


def test_which_light_is_golden_and_blue_is_said_and_may_be_chosen(
    logbook: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "Golden light: sun at −4° to 6°; blue light: −6° to −4° (by custom; there is no standard)." in (
        logbook(*HIGH_VALLEY).out
    )
    typed = (*HIGH_VALLEY, "--golden", "-2,8", "--blue", "−8° to -5°", "--at", "18:00")
    shown = " ".join(logbook(*typed).out.split())
    assert "sun at −2° to 8°; blue light: −8° to −5° (chosen by you)." in shown
    assert "evening blue hour begins" in shown
    data = logbook(*typed, "--json").data
    assert (data["golden_deg"], data["blue_deg"]) == ([-2, 8], [-8, -5])
    assert -8 < data["at"]["sun_altitude_deg"] < -5
    assert data["at"]["phase"] == "blue hour"
    monkeypatch.setenv("LOGBOOK_GOLDEN", "-1..10")
    monkeypatch.setenv("LOGBOOK_BLUE", "-9;-3")
    data = logbook(*HIGH_VALLEY, "--golden", "-3,7", "--json").data
    assert (data["golden_deg"], data["blue_deg"]) == ([-3, 7], [-9, -3]), "an option before a setting"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("--golden 6,-4", "give the lower height first"),
        ("--golden warm", '--golden "warm" cannot be read'),
        ("--golden -4,5,6", "such as -4,6"),
        ("--golden -4,20", "from -18° to 15°"),
        ("--blue -6,-3", "blue ends below golden"),
        ("--golden -5,6", "blue ends below golden"),
    ],
)
def test_light_that_cannot_be_golden_or_blue_is_refused(logbook: Run, line: str, says: str) -> None:
    answer = logbook(*HIGH_VALLEY, *line.split())
    assert (answer.status, answer.out) == (2, "")
    assert says in answer.err
    assert len(answer.err.splitlines()) == 1


def test_a_setting_that_makes_no_light_is_named(logbook: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOGBOOK_GOLDEN", "evening")
    assert 'LOGBOOK_GOLDEN "evening" cannot be read' in logbook(*HIGH_VALLEY).err


def test_an_eclipse_is_told_with_its_times_and_its_caution_and_the_light_counts_it(logbook: Run) -> None:
    """Total for 6 min 2x s at 25.7 N 32.65 E on 2 August 2027 (astronomy-engine)."""
    line = ("light", "--lat", "25.7", "--lon", "32.65", "--on", "2027-08-02", "--at")
    out = " ".join(logbook(*line, "12:20").out.split())
    at = logbook(*line, "12:20", "--json").data["at"]
    taken = -log2(1 - at["sun_covered"])
    for told in (
        "13:02 totality begins",
        "greatest solar eclipse, total for 6 min 2",
        "13:09 totality ends",
        "Caution: Unless an eclipsed sun is wholly covered, eyes and lens need a solar filter.",
        f"eclipse the moon covers {at['sun_covered']:.0%} of the sun: {taken:.1f} stops less light, already",
    ):
        assert told in out
    assert at["eclipse"] == "sun"
    before = logbook("light", *line[1:6], "2027-08-01", "--at", "12:20", "--json").data["at"]
    assert before["eclipse_stops"] == before["sun_covered"] == 0.0
    assert at["eclipse_stops"] == pytest.approx(taken, abs=0.01)
    assert before["expected_ev100"] - at["expected_ev100"] == pytest.approx(taken, abs=0.05)
    assert before["ground_lx"] / at["ground_lx"] == pytest.approx(2**taken, rel=0.01)
    assert "the moon covers the whole sun: about 14 stops less light" in logbook(*line, "13:05").out
    total = logbook(*line, "13:05", "--json").data["at"]
    assert -2 < total["expected_ev100_low"] < total["expected_ev100"] < total["expected_ev100_high"] < 3
    plain = logbook("light", "--lat", "25.7", "--lon", "32.65", "--on", "2027-08-03", "--json").data
    assert plain["eclipses"] == []


def test_at_a_pole_bearings_say_what_they_count_from(logbook: Run) -> None:
    """From that one spot, the sun of 90 E stands a quarter turn left of that of 0 (spherical geometry)."""
    told = "So near a pole, bearings hold for this longitude only."
    line = ("light", "--zone", "UTC", "--on", "2031-12-21", "--at", "12:00", "--lat", "-90", "--lon")
    assert told in logbook(*line, "0").out
    here, there = (logbook(*line, one, "--json").data["at"]["sun_azimuth_deg"] for one in ("0", "90"))
    assert (here - there) % 360 == pytest.approx(90.0, abs=0.1)
    assert told not in logbook("light", "--lat", "89", "--lon", "0", "--on", "2031-06-21").out
