"""A day's strip shows the light where it may be known, and the day as it was."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.horizon import Horizon
from logbook.domain.words import Audience, Disclosure
from logbook.faces.report.drawings.day_strip import day_strip, light_of, light_words, span_words
from logbook.faces.report.drawings.svg import width_of
from logbook.faces.report.models import Drawing
from logbook.faces.report.observed import drawn_on
from logbook.faces.report.order import put_in_order
from logbook.sky.events import EventName, local_day, sky_day
from logbook.sky.observer import Observer
from logbook.sky.phases import LightLimits, PhaseKind

DAY = date(2031, 10, 14)
VIENNA = ZoneInfo("Europe/Vienna")


def drawn(account: TripAccount, audience: Audience = Audience.STUDENTS) -> tuple[Drawing, ...]:
    order = put_in_order(account_for(account, audience))
    return day_strip(order, DAY, tuple(order.visits_on(DAY)), drawn_on(order, DAY))


def strip(account: TripAccount, audience: Audience = Audience.STUDENTS) -> Drawing:
    (one,) = drawn(account, audience)
    return one


def everything(drawing: Drawing) -> str:
    return "\n".join([str(drawing.wide), str(drawing.narrow), drawing.note, *drawing.said])


def test_the_golden_hours_are_those_of_the_sky(account: TripAccount) -> None:
    light, zone = light_of(put_in_order(account_for(account, Audience.STUDENTS)), DAY)
    assert light is not None
    assert zone == VIENNA
    sky = sky_day(Observer(47.12345, 12.73456, 1140), *local_day(DAY, VIENNA, time(4)))
    golden = [one for one in light.phases if one.kind is PhaseKind.GOLDEN]
    begins = [sky.first(EventName.MORNING_GOLDEN_BEGINS), sky.first(EventName.EVENING_GOLDEN_BEGINS)]
    ends = [sky.first(EventName.MORNING_GOLDEN_ENDS), sky.first(EventName.EVENING_GOLDEN_ENDS)]
    edges = [(one.start, one.end) for one in golden]
    for (start, end), first, last in zip(edges, begins, ends, strict=True):
        assert first is not None
        assert last is not None
        # The place is rounded to a hundredth of a degree: 2.4 s of longitude and less of latitude.
        assert abs(start - first.at) < timedelta(seconds=8)
        assert abs(end - last.at) < timedelta(seconds=8)


def test_chosen_limits_move_the_bands(account: TripAccount) -> None:
    shown = account_for(account, Audience.STUDENTS)
    order = put_in_order(shown, limits=LightLimits(-2, 8, -8, -5))
    (chosen,) = day_strip(order, DAY, tuple(order.visits_on(DAY)), ())
    usual, moved = (golden_begins(one) for one in (strip(account), chosen))
    assert moved > usual
    assert 'class="band civil"' in str(chosen.wide)
    assert "civil twilight" in " ".join(chosen.said)


def golden_begins(drawn: Drawing) -> str:
    return next(line for line in drawn.said if "golden hour" in line)[:5]


def test_bands_are_drawn_where_their_times_lie(account: TripAccount) -> None:
    drawn = strip(account)
    root = ElementTree.fromstring(str(drawn.wide))
    hours: dict[str, float] = {
        str(one.text): float(one.attrib["x"])
        for one in root
        if one.tag == "text" and re.fullmatch(r"\d\d:00", one.text or "")
    }
    per_hour = (hours["18:00"] - hours["08:00"]) / 10
    golden = next(one for one in root if one.attrib.get("class") == "band golden")
    light, _ = light_of(put_in_order(account_for(account, Audience.STUDENTS)), DAY)
    assert light is not None
    first = next(one for one in light.phases if one.kind is PhaseKind.GOLDEN)
    eight = datetime(2031, 10, 14, 8, tzinfo=VIENNA).astimezone(UTC)
    expected = hours["08:00"] + (first.start - eight) / timedelta(hours=1) * per_hour
    assert float(golden.attrib["x"]) == pytest.approx(expected, abs=0.2)
    lasts = (first.end - first.start) / timedelta(hours=1)
    assert float(golden.attrib["width"]) == pytest.approx(lasts * per_hour, abs=0.2)


def test_the_words_say_what_is_drawn(account: TripAccount) -> None:
    said = strip(account).said
    assert "Quarry ledge, Quarry bridge: 17:20–18:45." in said
    assert "17:20 dozens of people, Boardwalk bend, Lauter gorge." in said
    assert "Place withheld: time not noted." in said
    assert any("golden hour" in line for line in said)


def test_a_day_at_withheld_places_alone_has_no_strip(account: TripAccount) -> None:
    hidden = replace(
        account,
        visits=tuple(visit for visit in account.visits if visit.id == "hidden"),
        keepers=tuple(one for one in account.keepers if one.viewpoint_id == "shelf"),
        conditions=(),
    )
    assert drawn(hidden) == ()


def test_a_day_whose_places_have_no_position_has_no_strip(account: TripAccount) -> None:
    nowhere = {key: replace(one, latitude_deg=None, longitude_deg=None) for key, one in account.sites.items()}
    assert drawn(replace(account, sites=nowhere)) == ()


def test_every_light_has_its_colour_its_pattern_and_its_word(account: TripAccount) -> None:
    shown = strip(account)
    for svg in (shown.wide, shown.narrow):
        root = ElementTree.fromstring(str(svg))
        said = {one.text for one in root if one.tag == "text"}
        bands = [one.attrib["class"] for one in root if one.attrib.get("class", "").startswith("band ")]
        hatched = {one.attrib["class"] for one in root if one.attrib.get("class", "").startswith("hatch")}
        names = {"night", "astronomical", "nautical", "blue", "golden", "day-light"}
        assert {one.removeprefix("band ") for one in bands} == names
        assert {one.removeprefix("hatch on-") for one in hatched} == names - {"night", "day-light"}
        assert said >= {
            "night",
            "astronomical twilight",
            "nautical twilight",
            "blue hour",
            "golden hour",
            "day",
        }


def test_the_key_stays_within_the_drawing_and_no_word_on_another(account: TripAccount) -> None:
    for svg in (strip(account).wide, strip(account).narrow):
        root = ElementTree.fromstring(str(svg))
        width, height = map(float, root.attrib["viewBox"].split()[2:])
        key = [one for one in root if one.tag == "text" and (one.text or "").endswith(("twilight", " hour"))]
        spots = [(float(one.attrib["x"]), float(one.attrib["y"]), width_of(str(one.text))) for one in key]
        assert len(spots) == 4
        assert all(x + wide <= width and y <= height for x, y, wide in spots)
        for (x, y, wide), (after, below, _) in pairwise(spots):
            assert below > y or after > x + wide


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_moving_a_withheld_place_changes_no_byte(
    account: TripAccount, changed: Callable[..., Any], audience: Audience
) -> None:
    moved = changed(account, "sites", "withheld", latitude_deg=10.0, longitude_deg=100.0)
    assert everything(strip(moved, audience)) == everything(strip(account, audience))


def test_moving_an_area_within_its_cell_changes_no_byte(
    account: TripAccount, changed: Callable[..., Any]
) -> None:
    area = changed(account, "sites", "quarry", location_shown=Disclosure.AREA)
    moved = changed(area, "sites", "quarry", latitude_deg=47.0801, longitude_deg=12.6601)
    assert everything(strip(moved)) == everything(strip(area))


def test_a_visit_past_midnight_runs_to_the_right(account: TripAccount, changed: Callable[..., Any]) -> None:
    late = changed(account, "visits", "visit", arrived_at=time(23, 10), departed_at=time(1, 30))
    root = ElementTree.fromstring(str(strip(late).wide))
    bar = next(one for one in root if one.attrib.get("class") == "bar")
    assert float(bar.attrib["width"]) > 40


def test_a_day_without_visits_and_pictures_has_no_strip(account: TripAccount) -> None:
    order = put_in_order(account_for(replace(account, visits=(), keepers=()), Audience.ARCHIVE))
    assert day_strip(order, DAY, (), ()) == ()


def test_hostile_names_stay_words(account: TripAccount, changed: Callable[..., Any]) -> None:
    hostile = changed(account, "viewpoints", "ledge", title="<script>alert(1)</script>" + "x" * 150)
    drawn = strip(hostile)
    for svg in (drawn.wide, drawn.narrow):
        assert "<script" not in str(svg)
        ElementTree.fromstring(str(svg))


def test_the_same_day_gives_the_same_bytes(account: TripAccount) -> None:
    assert strip(account) == strip(account)


def test_a_visit_that_lasts_past_the_end_of_its_day_is_drawn_to_the_edge(account: TripAccount) -> None:
    visit = replace(account.visits[0], arrived_at=time(23), departed_at=time(5))
    root = ElementTree.fromstring(str(strip(replace(account, visits=(visit,), keepers=())).wide))
    (bar,) = [one for one in root if one.attrib.get("class") == "bar"]
    right = float(root.attrib["viewBox"].split()[2]) - 1
    assert float(bar.attrib["x"]) + float(bar.attrib["width"]) == pytest.approx(right, abs=0.2)
    assert float(bar.attrib["width"]) > 20


def test_a_viewpoints_own_horizon_is_told_with_its_hours_and_only_where_it_is_shown_exactly(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    assert "skyline" not in everything(strip(account))
    over = changed(account, "viewpoints", "ledge", horizon=Horizon(7.0))
    told = strip(over)
    (line,) = [one for one in told.said if "skyline" in one]
    assert line in told.note
    said = re.search(r"sun over the 7° skyline (\d\d:\d\d)–(\d\d:\d\d)", line)
    assert said
    level = sky_day(Observer(47.12345, 12.73456), *local_day(DAY, VIENNA, time(4)))
    rise, set_ = level.first(EventName.SUNRISE), level.first(EventName.SUNSET)
    assert rise
    assert set_
    assert said[1] > f"{rise.at.astimezone(VIENNA):%H:%M}"
    assert said[2] < f"{set_.at.astimezone(VIENNA):%H:%M}"
    for shown in (Disclosure.AREA, Disclosure.WITHHELD):
        hidden = changed(over, "viewpoints", "ledge", location_shown=shown)
        assert "skyline" not in everything(strip(hidden))


def test_a_polar_noon_of_twilight_is_not_called_night() -> None:
    """At 78.2 north on 21 December the sun comes to -11.6 degrees (90 - 78.2 - 23.4): nautical twilight."""
    begins, ends = local_day(date(2031, 12, 21), ZoneInfo("Arctic/Longyearbyen"))
    sky = sky_day(Observer(78.2, 15.6), begins, ends)
    said = light_words(sky.phases, ZoneInfo("Arctic/Longyearbyen"))
    assert said.startswith("nautical twilight 10:56–12:55; astronomical twilight 07:37–10:56 and 12:55–16:14")
    deep = sky_day(Observer(89.0, 15.6), begins, ends)
    assert light_words(deep.phases, ZoneInfo("Arctic/Longyearbyen")) == "night throughout"


def test_a_light_that_lasts_all_day_is_not_said_to_end_as_it_begins() -> None:
    zone = ZoneInfo("Arctic/Longyearbyen")
    begins, ends = local_day(date(2031, 6, 21), zone, time(4))
    assert light_words(sky_day(Observer(78.2, 15.6), begins, ends).phases, zone) == "day throughout"
    assert span_words(begins, ends - timedelta(hours=3), zone) == "04:00–01:00"
    assert span_words(begins, ends - timedelta(minutes=20), zone) == "04:00–03:40"
    short = local_day(date(2031, 3, 29), zone, time(4))  # clocks go forward in its night
    assert short[1] - short[0] == timedelta(hours=23)
    assert span_words(*short, zone) == "throughout"
