import subprocess
import sys
from datetime import UTC, datetime
from warnings import catch_warnings

import numpy as np
from skyfield.iokit import Loader, load_file
from skyfield_data import get_skyfield_data_path

from logbook.sky.ephemeris import Body, from_earths_centre, to_datetime, to_seconds

ASK_OFFLINE = """
import socket
def refuse(*args, **kwargs):
    raise AssertionError("the network was asked")
socket.socket.connect = refuse
socket.create_connection = refuse
socket.getaddrinfo = refuse
import logbook.sky.events, logbook.sky.moon, sys
assert not {"numpy", "skyfield"} & set(sys.modules), "a heavy import at module level"
from datetime import UTC, datetime, timedelta
from logbook.sky.observer import Observer
start = datetime(2050, 6, 1, tzinfo=UTC)
day = logbook.sky.events.sky_day(Observer(35.0, 139.0), start, start + timedelta(days=1))
logbook.sky.moon.moon_phase(start)
print(len(day.events))
"""


def test_the_sky_is_asked_offline_without_a_warning_and_imported_for_nothing() -> None:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", ASK_OFFLINE], capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    assert done.returncode == 0
    assert int(done.stdout) > 10


def test_an_instant_survives_the_way_to_seconds_and_back() -> None:
    at = datetime(2016, 12, 31, 23, 59, 59, 250_000, tzinfo=UTC)
    assert to_datetime(to_seconds(at)) == at


def test_leap_seconds_are_those_of_the_instants_own_date() -> None:
    """TT - UTC: 32.184 s + 14 s at the end of 1975, + 37 s since 2017 (IERS Bulletin C).

    The moon moves half a second of arc in a second of time, so 0.005" is a hundredth of a second.
    """
    with catch_warnings(action="ignore"):  # of the age of a file that is not used here
        folder = get_skyfield_data_path()
    kernel, scale = load_file(f"{folder}/de421.bsp"), Loader(folder).timescale(builtin=True)
    unix_epoch_jd = 2_440_587.5  # Julian date of 1970-01-01
    for year, ahead_s in ((1975, 46.184), (2024, 69.184)):
        at = datetime(year, 6, 1, tzinfo=UTC)
        time = scale.tt_jd(unix_epoch_jd + (at.timestamp() + ahead_s) / 86_400.0)
        moon = kernel["earth"].at(time).observe(kernel["moon"]).apparent()
        _, longitude_deg = from_earths_centre(Body.MOON, np.array([to_seconds(at)]))
        apart_deg = longitude_deg[0] - moon.ecliptic_latlon(epoch=time)[1].degrees
        assert abs(apart_deg) * 3600 < 0.005
