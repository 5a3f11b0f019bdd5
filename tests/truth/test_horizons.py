"""Sunrise and sunset over a viewpoint's own horizon, against an independent library.

Oracle: astronomy-engine 2 (Don Cross): `SearchAltitude` finds when a body's centre crosses a geometric
altitude, `InverseRefractionAngle` undoes its own model of the air, `SearchRiseSet` takes a height above
the ground.
"""

import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import astronomy
import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.horizon import SEA, Horizon
from logbook.domain.place_clock import PlaceClock, ZoneFrom
from logbook.domain.viewpoint import Viewpoint
from logbook.services.light.day_light import LensAndSensor, light_of_day
from logbook.services.light.standpoints import Standpoint, at_viewpoint
from logbook.sky.events import EventName

SUN_RADIUS_DEG = 16 / 60  # USNO, Rise, Set, and Twilight Definitions
STAMP = datetime(2031, 1, 1, tzinfo=UTC)


def standpoint(latitude_deg: float, longitude_deg: float, horizon: Horizon, elevation_m: float) -> Standpoint:
    ledge = Viewpoint(
        id="v", created=STAMP, updated=STAMP, slug="ledge", title="Ledge", site_id="s",
        latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m, horizon=horizon,
    )  # fmt: skip
    found = at_viewpoint(ledge, None, clock=PlaceClock("UTC", ZoneFrom.STATED))
    assert found is not None
    return found


def ours(stand: Standpoint, on: date) -> dict[EventName, datetime]:
    day = light_of_day(stand, on, LensAndSensor(24.0, FULL_FRAME, stated=False))
    return {one.name: one.at for one in day.sky.events}


def places() -> Iterator[tuple[float, float, date]]:
    chance = random.Random(4417)
    for _ in range(12):
        day = date(2024, 1, 1) + timedelta(days=chance.randrange(3650))
        yield chance.uniform(-45, 45), chance.uniform(-30, 30), day


@pytest.mark.slow
@pytest.mark.parametrize("skyline_deg", [0.0, 2.5, 6.0, 15.0])
def test_the_sun_clears_a_skyline_when_the_oracle_says(skyline_deg: float) -> None:
    """Within 20 s, as far as the two models of the air lie apart near the horizon (0.03 degrees)."""
    lifted = -astronomy.InverseRefractionAngle(astronomy.Refraction.Normal, skyline_deg)
    if skyline_deg == 0.0:
        lifted = 34 / 60  # USNO, Rise, Set, and Twilight Definitions
    centre_deg = skyline_deg - lifted - SUN_RADIUS_DEG
    for latitude, longitude, on in places():
        seen = ours(standpoint(latitude, longitude, Horizon(skyline_deg), 0.0), on)
        who = astronomy.Observer(latitude, longitude, 0.0)
        start = astronomy.Time.Make(on.year, on.month, on.day, 0, 0, 0)
        for name, way in ((EventName.SUNRISE, "Rise"), (EventName.SUNSET, "Set")):
            crossed = astronomy.SearchAltitude(
                astronomy.Body.Sun, who, astronomy.Direction[way], start, 1.0, centre_deg
            )
            at = crossed.Utc().replace(tzinfo=UTC)
            assert abs((seen[name] - at).total_seconds()) <= 20, (name, latitude, longitude, on)


@pytest.mark.slow
@pytest.mark.parametrize(("height_m", "within_s"), [(12.0, 3), (300.0, 5), (900.0, 8), (4500.0, 20)])
def test_the_sun_leaves_the_sea_seen_from_a_height_when_the_oracle_says(
    height_m: float, within_s: float
) -> None:
    """Within seconds: the oracle works its own dip and refraction out from the height and the air's density.

    With the air below the level counted once (34' at any height) we lay 49 s off from 900 m.
    """
    for latitude, longitude, on in places():
        seen = ours(standpoint(latitude, longitude, SEA, height_m), on)
        who = astronomy.Observer(latitude, longitude, height_m)
        start = astronomy.Time.Make(on.year, on.month, on.day, 0, 0, 0)
        for name, way in ((EventName.SUNRISE, "Rise"), (EventName.SUNSET, "Set")):
            crossed = astronomy.SearchRiseSet(
                astronomy.Body.Sun, who, astronomy.Direction[way], start, 1.0, height_m
            )
            at = crossed.Utc().replace(tzinfo=UTC)
            assert abs((seen[name] - at).total_seconds()) <= within_s, (name, latitude, longitude, on)


def test_a_worked_example_of_a_skyline_and_a_height() -> None:
    """38.2 N 73.4 E on 2031-10-14, clock of UTC+5; astronomy-engine as above gives these, to the minute."""
    zone = ZoneInfo("Asia/Dushanbe")
    told = {}
    for horizon in (Horizon(0.0), Horizon(6.0)):
        sunset = ours(standpoint(38.2, 73.4, horizon, 0.0), date(2031, 10, 14))[EventName.SUNSET]
        told[horizon] = f"{sunset.astimezone(zone):%H:%M}"
    assert told == {Horizon(0.0): "17:30", Horizon(6.0): "16:57"}
