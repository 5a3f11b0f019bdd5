"""Opens the packaged ephemeris and asks it where a body stands.

One surprising decision: skyfield's own downloader is never used. The ephemeris file is opened by its path
inside the installed package and the earth's rotation comes from the tables built into skyfield, so no
question can reach a network.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from logbook.sky.errors import SkyValueError
from logbook.sky.observer import Observer

if TYPE_CHECKING:
    from logbook.sky.crossings import Floats

FIRST_INSTANT = datetime(1899, 8, 1, tzinfo=UTC)  # DE421 begins 1899-07-29 (Folkner et al. 2008)
LAST_INSTANT = datetime(2053, 10, 1, tzinfo=UTC)  # DE421 ends 2053-10-09 (Folkner et al. 2008)
UTC_BEGINS_S = 63_072_000.0  # POSIX seconds of 1972-01-01, since when UTC has leap seconds (CCIR Rec. 460)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Body(StrEnum):
    """What is looked for in the sky."""

    SUN = "sun"
    MOON = "moon"


@dataclass(frozen=True, slots=True)
class Sight:
    """Azimuth and geometric altitude (degrees) and distance (km) of a body's centre; shapes (n,)."""

    azimuth_deg: Floats
    altitude_deg: Floats
    distance_km: Floats


@lru_cache(maxsize=1)
def _sky() -> tuple[Any, Any]:
    """Ephemeris and time scale, opened once."""
    import warnings

    # Not from skyfield.api: that also imports satellites and constellations, which takes as long again.
    from skyfield.iokit import Loader, load_file

    with warnings.catch_warnings():
        # The data package warns about the age of an earth-rotation file that is not used here.
        warnings.simplefilter("ignore")
        from skyfield_data import get_skyfield_data_path

        folder = get_skyfield_data_path()
    return load_file(f"{folder}/de421.bsp"), Loader(folder).timescale(builtin=True)


def to_seconds(at: datetime) -> float:
    """POSIX seconds of an aware instant; SkyValueError when it has no zone or is outside the ephemeris."""
    if at.tzinfo is None:
        raise SkyValueError(f"The instant {at.isoformat()} has no zone; give it with its offset from UTC.")
    if not FIRST_INSTANT <= at <= LAST_INSTANT:
        raise SkyValueError(
            f"The instant {at.isoformat()} is outside {FIRST_INSTANT:%Y-%m-%d} to {LAST_INSTANT:%Y-%m-%d}, "
            "for which sun and moon can be worked out; choose another date."
        )
    return (at - _EPOCH).total_seconds()


def to_datetime(seconds: float) -> datetime:
    """The instant in UTC of POSIX seconds."""
    return _EPOCH + timedelta(seconds=float(seconds))


def to_seconds_array(instants: Sequence[datetime]) -> Floats:
    """POSIX seconds of several aware instants."""
    import numpy as np

    return np.array([to_seconds(at) for at in instants], dtype=np.float64)


def sight(body: Body, observer: Observer, seconds: Floats) -> Sight:
    """Topocentric place of a body at POSIX seconds (n,), with parallax and aberration, without refraction."""
    return _sight(body, observer.latitude_deg, observer.longitude_deg, observer.elevation_m, seconds)


def sight_from_each(body: Body, observers: Sequence[Observer], seconds: Floats) -> Sight:
    """Topocentric place of a body as each of n observers sees it at their own of POSIX seconds (n,)."""
    import numpy as np

    stands = np.array([(one.latitude_deg, one.longitude_deg, one.elevation_m) for one in observers]).T
    return _sight(body, stands[0], stands[1], stands[2], seconds)


def _sight(
    body: Body,
    latitude_deg: float | Floats,
    longitude_deg: float | Floats,
    elevation_m: float | Floats,
    seconds: Floats,
) -> Sight:
    from skyfield.toposlib import wgs84

    kernel, scale = _sky()
    place = kernel["earth"] + wgs84.latlon(latitude_deg, longitude_deg, elevation_m=elevation_m)
    apparent = place.at(_time(scale, seconds)).observe(kernel[body.value]).apparent()
    altitude, azimuth, distance = apparent.altaz()
    return Sight(azimuth.degrees, altitude.degrees, distance.km)


def from_earths_centre(body: Body, seconds: Floats) -> tuple[Floats, Floats]:
    """Geocentric vector (3, n) in km and ecliptic longitude of date (n,) in degrees at POSIX seconds."""
    kernel, scale = _sky()
    time = _time(scale, seconds)
    apparent = kernel["earth"].at(time).observe(kernel[body.value]).apparent()
    _, longitude, _ = apparent.ecliptic_latlon(epoch=time)
    return apparent.position.km, longitude.degrees


def _time(scale: Any, seconds: Floats) -> Any:
    import numpy as np
    from skyfield.nutationlib import iau2000b_radians

    # Days and seconds of day apart: skyfield takes leap seconds from the date, before it adds the seconds.
    days = seconds // 86_400.0
    within = seconds - 86_400.0 * days
    time = scale.utc(1970, 1, 1 + days, 0, 0, within)
    if (seconds < UTC_BEGINS_S).any():  # clocks followed the earth then, and skyfield counts ten seconds
        earth = scale.ut1(1970, 1, 1 + days, 0, 0, within)
        time = scale.tt_jd(np.where(seconds < UTC_BEGINS_S, earth.tt, time.tt))
    # The short nutation series is within 0.001" of the long one (IAU 2000B) and halves the time of a day.
    time._nutation_angles_radians = iau2000b_radians(time)
    return time
