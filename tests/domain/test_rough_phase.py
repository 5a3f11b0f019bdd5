"""A local moment is the instant that its zone's clocks mean, also on the days when they change."""

from datetime import datetime
from zoneinfo import ZoneInfo

import astronomy
import pytest

from logbook.domain.rough_phase import phase_there, posix_s


@pytest.mark.parametrize(
    ("local", "zone"),
    [
        ("2031-10-14T17:20", "Asia/Kathmandu"),
        ("2031-03-30T01:30", "Europe/Oslo"),  # clocks go forward at 02:00 (IANA time zone database)
        ("2031-03-30T03:30", "Europe/Oslo"),
        ("2031-10-26T01:30", "Europe/Oslo"),  # and back at 03:00
        ("2031-10-26T23:30", "Europe/Oslo"),
        ("2031-09-28T03:00", "Pacific/Chatham"),
    ],
)
def test_a_local_moment_is_the_instant_of_its_zone(local: str, zone: str) -> None:
    assert posix_s(local, zone) == datetime.fromisoformat(local).replace(tzinfo=ZoneInfo(zone)).timestamp()


def test_the_light_before_a_change_of_clocks_is_that_of_the_old_clock() -> None:
    """01:30 by the old clock is 00:30 UTC; by the new one it would be an hour earlier (astronomy-engine)."""
    place = astronomy.Observer(73.3, 15.0, 0.0)
    right_deg, wrong_deg = (
        astronomy.Horizon(at, place, seen.ra, seen.dec, astronomy.Refraction.Airless).altitude
        for at in (astronomy.Time.Make(2031, 3, 30, 0, 30, 0), astronomy.Time.Make(2031, 3, 29, 23, 30, 0))
        for seen in (astronomy.Equator(astronomy.Body.Sun, at, place, True, True),)
    )
    assert wrong_deg < -12.0 < right_deg
    assert phase_there(73.3, 15.0, "Arctic/Longyearbyen", "2031-03-30T01:30") == "nautical twilight"
