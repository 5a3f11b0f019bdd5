"""What the sheet says is so, checked by hand and against published times."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from logbook.craft.filters import parse_filter
from logbook.domain.account import TripAccount
from logbook.domain.horizon import Horizon
from logbook.faces.sheet.builder import build_sheet
from logbook.faces.sheet.models import Paper, Sheet
from logbook.faces.sheet.stacks import filter_table
from logbook.services.plans.sheets import day_in
from logbook.sky.phases import CUSTOMARY, LightLimits

TRUTH = Path(__file__).parents[2] / "truth" / "sun_events.json"
Make = Callable[..., Sheet]


def test_a_filter_of_factor_eight_makes_every_bare_time_three_stops_longer() -> None:
    """Three doublings on the dial's marks, counted by hand: 1/60, 1/30, 1/15, 1/8."""
    table = filter_table((parse_filter("nd8"), parse_filter("nd8")))
    assert [(one.name, one.stops) for one in table.stacks] == [("nd8", "3"), ("nd8 + nd8", "6")]
    times = {row.bare: row.times for row in table.rows}
    assert times["1/60 s"] == ("1/8 s", "1 s")
    assert times["1/1000 s"] == ("1/125 s", "1/15 s")
    assert times["1/4 s"] == ("2 s", "15 s")
    assert times["1 s"] == ("8 s", "1 min 4 s")


def test_what_no_column_can_say_is_said_below() -> None:
    table = filter_table([parse_filter(name) for name in ("gnd8", "pol", "old brown glass", "nd2-400")])
    assert [one.name for one in table.stacks] == ["pol"]
    notes = " ".join(table.notes)
    for words in (
        "3 stops in its dark part",
        "as it turns",
        "old brown glass: its stops",
        "not in this table",
    ):
        assert words in notes


def test_the_suns_times_are_the_published_ones(account: TripAccount, sheet_of: Make) -> None:
    """Entry sunevent-05 (DE421; almanac definitions of rise, set and twilight), to the printed minute."""
    entry = json.loads(TRUTH.read_text(encoding="utf-8"))["entries"]["sunevent-05"]
    crossings = entry["expected"]["crossings"]
    sky = sheet_of(account).sky
    assert sky is not None
    (column,) = sky.columns
    assert column.zone == "Asia/Kathmandu, UTC+05:45"
    shown = dict(zip(sky.events, column.times, strict=True))
    for event, level, way in (
        ("sunrise", "-0.8333", "up"),
        ("sunset", "-0.8333", "down"),
        ("civil dawn, blue (−6°)", "-6", "up"),
        ("civil dusk (−6°)", "-6", "down"),
        ("night begins (−18°)", "-18", "down"),
    ):
        (text,) = crossings[level][way]
        local = datetime.fromisoformat(text).astimezone(ZoneInfo(entry["inputs"]["tz"]))
        near = {f"{local + timedelta(seconds=off):%H:%M}" for off in (27, 30, 33)}  # 3 s, as the entry states
        assert shown[event].split()[0] in near, event


def test_the_sheet_says_which_light_is_golden_and_blue_and_obeys_the_limits_chosen(
    account: TripAccount,
) -> None:
    custom, chosen = (
        build_sheet(day_in(account, date(2032, 10, 10), (), limits=limits), Paper.A4).sky
        for limits in (CUSTOMARY, LightLimits(-2, 8, -8, -5))
    )
    assert custom is not None
    assert chosen is not None
    assert custom.limits == "Golden, blue: by custom; there is no standard."
    assert "chosen by you" in chosen.limits
    shown = dict(zip(chosen.events, chosen.columns[0].times, strict=True))
    usual = dict(zip(custom.events, custom.columns[0].times, strict=True))
    assert "blue begins (−8°)" not in usual
    assert shown["blue begins (−8°)"] < usual["civil dawn, blue (−6°)"] == shown["civil dawn (−6°)"]
    assert shown["golden ends (8°)"] > usual["golden ends (6°)"]


def test_a_shot_shows_its_light_its_verdict_and_its_fallback(account: TripAccount, sheet_of: Make) -> None:
    silk, rough = sheet_of(account).shots
    assert silk.window == "16:00–17:00"
    assert silk.light.startswith("front light")  # the sun stands in the west, the view is to the east
    assert silk.tripod == "tripod FORBIDDEN"
    assert silk.verdict.startswith("doubtful, ")  # two ND8 are six stops, and the sun may take a little more
    assert "needs 6." in silk.reason
    assert silk.settings == "35 mm, f/11, 1 s, ISO 100, nd8 + nd8, tripod"
    assert silk.fallbacks == ("Rough water, from 18:30, Ledge",)
    assert rough.fallback_for == "Silk water"
    assert "filters unknown" in rough.settings
    assert "below the horizon" in rough.light


def test_an_observation_of_any_trip_says_when_and_who(account: TripAccount, sheet_of: Make) -> None:
    (one,) = sheet_of(account).observed  # neither younger than the day, nor elsewhere, nor the wind
    assert (one.kind, one.text, one.place) == ("closure", "The lower path, rockfall.", "Ledge")
    assert one.seen == "2 May 2030, the warden"


def test_what_stays_home_says_why_and_is_in_no_column(account: TripAccount, sheet_of: Make) -> None:
    sheet = sheet_of(account)
    assert [(one.title, one.why) for one in sheet.left] == [("Dense filter", "too dense")]
    assert [one.title for one in sheet.pack] == ["First ND8", "Second ND8", "Tripod"]
    assert sheet.filters is not None
    assert not any("nd1000" in one.name for one in sheet.filters.stacks)


def test_the_cautions_follow_the_place(account: TripAccount, sheet_of: Make) -> None:
    assert any("Water rises" in one for one in sheet_of(account).cautions)


def test_a_place_without_position_is_unknown_and_never_guessed(account: TripAccount, sheet_of: Make) -> None:
    river = replace(account.sites["river"], latitude_deg=None, longitude_deg=None, walk_min=None)
    sheet = sheet_of(replace(account, sites={"river": river}))
    assert sheet.sky is None
    assert "unknown" in str(sheet.sky_unknown)
    assert sheet.shots[0].light == "light unknown: the place has no position"
    assert sheet.places[0].stands[0].position == "position unknown"
    assert "walk unknown" in sheet.places[0].facts


def test_a_day_without_shots_still_has_its_sky_and_places(account: TripAccount, sheet_of: Make) -> None:
    sheet = sheet_of(account, on=date(2032, 10, 12))
    assert sheet.shots == ()
    assert "No shot is planned" in str(sheet.sentence)
    assert sheet.sky is not None
    assert [one.title for one in sheet.places] == ["River"]


def test_a_trip_without_anything_packed_says_that_filters_are_unknown(
    account: TripAccount, sheet_of: Make
) -> None:
    sheet = sheet_of(replace(account, packed=(), kit={}))
    assert sheet.filters is None
    assert "unknown" in str(sheet.filters_unknown)


def test_the_sheet_says_over_which_horizon_the_sun_rises(account: TripAccount, sheet_of: Make) -> None:
    plain = sheet_of(account)
    assert plain.sky is not None
    assert plain.sky.horizon == "For a level horizon; hills hide the sun earlier and show it later."
    ledge = account.viewpoints["ledge"]
    deep = replace(ledge, horizon=Horizon(40.0))
    over = sheet_of(replace(account, viewpoints={"ledge": deep}))
    assert over.sky is not None
    assert over.sky.horizon == "Sun and moon rise and set over the 40° skyline."
    assert "40° skyline" in over.places[0].stands[0].facts
    assert "behind the 40° skyline" in over.shots[0].light
    two = replace(
        account,
        viewpoints={"ledge": ledge, "deep": replace(deep, id="deep")},
        shots=(*account.shots, replace(account.shots[0], id="more", viewpoint_id="deep")),
    )
    both = sheet_of(two)
    assert both.sky is not None
    assert [one.places for one in both.sky.columns] == ["River, level horizon", "River, 40° skyline"]
    assert "over the 40° skyline at River, 40° skyline" in both.sky.horizon


def far_away(account: TripAccount, latitude_deg: float, longitude_deg: float, zone: str) -> TripAccount:
    """The same trip at another river."""
    there = replace(account.sites["river"], latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    return replace(account, trip=replace(account.trip, zone=zone), sites={"river": there})


def test_a_sheet_ends_with_the_night_after_its_day(account: TripAccount, sheet_of: Make) -> None:
    """The sun of 20 June sets at 01:01 of the 21st there, by astronomy-engine; tolerance 2 minutes, as
    the sun grazes the horizon and the library's disc is 0.3' smaller in June than the almanacs' 16'.

    Of the dawn before the day, which belongs to the sheet of the 19th, nothing is told.
    """
    import astronomy

    begin = astronomy.Time.Make(2031, 6, 20, 12, 0, 0)
    observer = astronomy.Observer(65.7, -18.1, 0.0)
    found = {
        name: astronomy.SearchRiseSet(astronomy.Body.Sun, observer, way, begin, 1).Utc()
        for name, way in (("sunset", astronomy.Direction.Set), ("sunrise", astronomy.Direction.Rise))
    }
    assert found["sunset"].date() == date(2031, 6, 21)
    sky = sheet_of(far_away(account, 65.7, -18.1, "Atlantic/Reykjavik"), date(2031, 6, 20)).sky
    assert sky is not None
    shown = dict(zip(sky.events, sky.columns[0].times, strict=True))
    for name, at in found.items():
        told = time.fromisoformat(shown[name].split()[0])
        assert abs(datetime.combine(at.date(), told) - at) <= timedelta(minutes=2), name
    assert "Times before 04:00 are those of the night that follows." in sky.horizon


def test_a_sheet_says_when_clocks_change_and_which_of_two_like_times_is_meant(
    account: TripAccount, sheet_of: Make
) -> None:
    """In Europe/Berlin 03:00 of 26 October 2031 becomes 02:00 (IANA time zone database).

    The moon sets at 01:01 UTC then (astronomy-engine; tolerance 1 minute), which clocks there show as 02:01
    for the second time.
    """
    import astronomy

    begin = astronomy.Time.Make(2031, 10, 25, 20, 0, 0)
    observer = astronomy.Observer(52.5, 13.4, 0.0)
    sets = astronomy.SearchRiseSet(astronomy.Body.Moon, observer, astronomy.Direction.Set, begin, 1).Utc()
    assert abs(sets - datetime(2031, 10, 26, 1, 1)) <= timedelta(minutes=1)  # noqa: DTZ001
    sky = sheet_of(far_away(account, 52.5, 13.4, "Europe/Berlin"), date(2031, 10, 25)).sky
    assert sky is not None
    (column,) = sky.columns
    assert "Clocks go back from 03:00 to 02:00." in column.notes
    assert column.times[sky.events.index("moonset")].startswith("02:01 (second) ")


@pytest.mark.slow
def test_a_sheet_tells_of_an_eclipse_and_a_verdict_counts_it(account: TripAccount, sheet_of: Make) -> None:
    """At 43 N 3 W the sun is totally eclipsed on 12 August 2026 about 18:28 UTC (astronomy-engine)."""
    on = date(2026, 8, 12)
    there = far_away(account, 43.0, -3.0, "Europe/Madrid")
    late = (replace(there.shots[0], on_date=on, window_from=time(20, 20), window_to=time(20, 30)),)
    early = (replace(late[0], window_from=time(17), window_to=time(18)),)
    sheet = sheet_of(replace(there, shots=late), on)
    assert sheet.sky is not None
    (column,) = sheet.sky.columns
    assert any(
        re.match(r"Solar eclipse 19:3\d–21:\d\d, greatest at 20:2\d: total for 1 min", one)
        for one in column.notes
    )
    assert "eyes and lens need a solar filter" in " ".join(column.notes)
    assert re.search(r"at 20:\d\d the moon covers .* less light, already counted", sheet.shots[0].reason)
    assert "eclipse" not in sheet_of(replace(there, shots=early), on).shots[0].reason


@pytest.mark.slow
def test_a_place_beside_the_path_of_totality_has_a_column_of_its_own(
    account: TripAccount, sheet_of: Make
) -> None:
    """On 12 August 2026 the sun is totally eclipsed at 40.6 N 3.7 W, not at 40.4 N (astronomy-engine)."""
    import astronomy

    begin, on = astronomy.Time.Make(2026, 8, 1, 0, 0, 0), date(2026, 8, 12)
    kinds = {
        latitude: astronomy.SearchLocalSolarEclipse(begin, astronomy.Observer(latitude, -3.7, 0.0)).kind
        for latitude in (40.6, 40.4)
    }
    assert list(kinds.values()) == [astronomy.EclipseKind.Total, astronomy.EclipseKind.Partial]
    there = far_away(account, 40.6, -3.7, "Europe/Madrid")
    beside = replace(there.sites["river"], id="beside", slug="beside", title="Beside", latitude_deg=40.4)
    bank = replace(there.viewpoints["ledge"], id="bank", slug="bank", site_id="beside")
    shots = [replace(there.shots[0], on_date=on), replace(there.shots[1], on_date=on, viewpoint_id="bank")]
    both = replace(
        there,
        sites={**there.sites, "beside": beside},
        viewpoints={**there.viewpoints, "bank": bank},
        shots=tuple(shots),
    )
    sky = sheet_of(both, on).sky
    assert sky is not None
    told = [next(note for note in one.notes if "eclipse" in note) for one in sky.columns]
    assert ["total for" in one for one in told] == [True, False]
    assert [one.places for one in sky.columns] == ["River", "Beside"]


@pytest.mark.slow
def test_a_verdict_counts_an_eclipsed_moon_and_says_nothing_of_it_in_twilight(
    account: TripAccount, sheet_of: Make
) -> None:
    """On 7 September 2025 the moon is total to 20:53 at 47 N 11 E; civil dusk is 20:14 (astronomy-engine)."""
    on = date(2025, 9, 7)
    there = far_away(account, 47.0, 11.0, "Europe/Vienna")
    reasons = [
        sheet_of(
            replace(there, shots=(replace(there.shots[0], on_date=on, window_from=at, window_to=at),)), on
        )
        .shots[0]
        .reason
        for at in (time(19, 50), time(20, 50))
    ]
    assert ["the moon is in the earth's shadow" in one for one in reasons] == [False, True]
