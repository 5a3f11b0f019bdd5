"""Sunrise, sunset, twilights and noon against almanac definitions and an independent library.

Facts and their sources are in sun_events.json; tolerances stand beside each check.
"""

import json
import math
import random
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from logbook.sky import phases
from logbook.sky.events import EventName, local_day, sky_day, sun_crossings
from logbook.sky.observer import Observer
from logbook.sky.position import sun_position
from tests.examples import first

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("sun_events.json").read_text())["entries"]
DAYS = [name for name in FACTS if name.startswith("sunevent-")]
NAMED = {
    "+6": (EventName.MORNING_GOLDEN_ENDS, EventName.EVENING_GOLDEN_BEGINS),
    "-0.8333": (EventName.SUNRISE, EventName.SUNSET),
    "-4": (EventName.MORNING_GOLDEN_BEGINS, EventName.EVENING_GOLDEN_ENDS),
    "-6": (EventName.CIVIL_DAWN, EventName.CIVIL_DUSK),
    "-12": (EventName.NAUTICAL_DAWN, EventName.NAUTICAL_DUSK),
    "-18": (EventName.ASTRONOMICAL_DAWN, EventName.ASTRONOMICAL_DUSK),
}


def instants(texts: list[str]) -> list[datetime]:
    return [datetime.fromisoformat(text) for text in texts]


def assert_close(ours: list[datetime], theirs: list[datetime], within_s: float) -> None:
    assert len(ours) == len(theirs)
    for our, their in zip(ours, theirs, strict=True):
        assert abs((our - their).total_seconds()) <= within_s


def test_the_altitudes_are_the_almanacs() -> None:
    """USNO, Rise, Set, and Twilight Definitions; exact to the four decimals given."""
    wanted = FACTS["alm-sun-definition"]["expected"]
    assert round(phases.RISE_SET_DEG, 4) == wanted["rise_set_alt_deg"]
    assert wanted["civil_deg"] == phases.CIVIL_DEG
    assert wanted["nautical_deg"] == phases.NAUTICAL_DEG
    assert wanted["astronomical_deg"] == phases.ASTRONOMICAL_DEG


def test_golden_and_blue_light_divide_at_the_customary_altitudes() -> None:
    """Time and Date AS, "Goldene Stunde" (to 6 degrees) and "Blaue Stunde" (from -4); exact, a custom."""
    assert FACTS["alm-golden-blue-note"]["expected"]["alt_deg"] == [
        phases.GOLDEN_TOP_DEG,
        phases.BLUE_TOP_DEG,
    ]


@pytest.mark.parametrize("name", DAYS)
def test_a_local_day_begins_and_ends_where_its_zone_says(name: str) -> None:
    """IANA zones; exact, days of 23 and 25 hours included."""
    given = FACTS[name]["inputs"]
    window = [given["window_start_utc"], given["window_end_utc"]]
    assert list(local_day(date.fromisoformat(given["date"]), ZoneInfo(given["tz"]))) == instants(window)


@pytest.mark.parametrize("name", first(DAYS, 8))
def test_the_sun_crosses_each_altitude_when_the_ephemeris_says(name: str) -> None:
    """27 local days from DE421, sampled every 30 s; the seconds each entry allows (the time for 0.01 deg)."""
    given, wanted, allowed = (FACTS[name][key] for key in ("inputs", "expected", "tolerance"))
    observer = Observer(given["lat_deg"], given["lon_deg"], given["elev_m"])
    start, end = instants([given["window_start_utc"], given["window_end_utc"]])
    day = sky_day(observer, start, end)
    for level, (up, down) in NAMED.items():
        crossings = wanted["crossings"][level]
        assert_close([e.at for e in day.every(up)], instants(crossings["up"]), allowed["time_s"])
        assert_close([e.at for e in day.every(down)], instants(crossings["down"]), allowed["time_s"])
        [ours] = sun_crossings(observer, start, end, [float(level)])
        assert ours.stays == crossings.get("none")
    assert day.sun_stays == wanted["crossings"]["-0.8333"].get("none")
    noons = day.every(EventName.SOLAR_NOON)
    assert_close([e.at for e in noons], instants(wanted["transit_utc"]), allowed["time_s"])
    top_deg = max(sun_position(observer, noon.at).altitude_deg for noon in noons)
    assert top_deg == pytest.approx(wanted["max_alt_deg"], abs=allowed["alt_deg"])


@pytest.mark.slow
def test_random_days_agree_with_an_independent_library() -> None:
    """astronomy-engine's altitude search; 60 random places and days, 2000 to 2035; 30 s away from grazing.

    Grazing is an altitude that changes by less than 2 deg an hour: there 0.01 deg is 18 s and more.
    """
    outside = pytest.importorskip(
        "astronomy", reason="astronomy-engine is not installed: nothing to compare with"
    )
    chance = random.Random(20310914)
    compared = 0
    for _ in range(60):
        latitude = math.degrees(math.asin(chance.uniform(-1.0, 1.0)))
        observer = Observer(latitude, chance.uniform(-180.0, 180.0))
        start = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(days=chance.randrange(35 * 365))
        end = start + timedelta(days=1)
        there = outside.Observer(latitude, observer.longitude_deg, 0.0)
        levels = [6.0, phases.RISE_SET_DEG, -4.0, -6.0, -12.0, -18.0]
        for level, ours in zip(levels, sun_crossings(observer, start, end, levels), strict=True):
            for direction, found in (
                (outside.Direction.Rise, ours.rising),
                (outside.Direction.Set, ours.falling),
            ):
                theirs = outside.SearchAltitude(
                    outside.Body.Sun,
                    there,
                    direction,
                    outside.Time.Make(start.year, start.month, start.day, 0, 0, 0),
                    1.0,
                    level,
                )
                if theirs is None or not found:
                    assert theirs is None or is_grazing(observer, theirs.Utc().replace(tzinfo=UTC))
                    assert not found or is_grazing(observer, found[0])
                elif not is_grazing(observer, found[0]):
                    compared += 1
                    assert abs((theirs.Utc().replace(tzinfo=UTC) - found[0]).total_seconds()) <= 30.0
    assert compared > 400


def is_grazing(observer: Observer, at: datetime) -> bool:
    before, after = (sun_position(observer, at + timedelta(minutes=m)).altitude_deg for m in (-5, 5))
    return abs(after - before) * 6.0 < 2.0
