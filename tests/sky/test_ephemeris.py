import subprocess
import sys
from datetime import UTC, datetime

import numpy as np

from logbook.sky.ephemeris import to_datetime, to_seconds

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
    """TT - UTC: 32.184 s + 14 s at the end of 1975, + 37 s since 2017 (IERS Bulletin C); 1e-4 s."""
    from logbook.sky.ephemeris import _sky, _time

    _, scale = _sky()
    instants = [datetime(1975, 6, 1, tzinfo=UTC), datetime(2024, 6, 1, tzinfo=UTC)]
    time = _time(scale, np.array([to_seconds(at) for at in instants]))
    unix_epoch_jd = 2_440_587.5  # Julian date of 1970-01-01
    apart_s = [
        (tt - unix_epoch_jd) * 86_400.0 - to_seconds(at) for tt, at in zip(time.tt, instants, strict=True)
    ]
    assert np.allclose(apart_s, [46.184, 69.184], atol=1e-4)
