"""The kind of light at a place at a local moment, roughly and at once: for thousands of moments."""

from datetime import date, datetime, time, timedelta
from functools import lru_cache

from logbook.domain.zones import zone_of
from logbook.sky.phases import phase_at
from logbook.sky.rough import rough_sun

_EPOCH = date(1970, 1, 1).toordinal()


def phase_there(latitude_deg: float, longitude_deg: float, zone: str, local: str) -> str:
    """Return the kind of light at a place (degrees) at its own ISO time such as 2031-10-14T17:20."""
    return str(phase_at(rough_sun(latitude_deg, longitude_deg, posix_s(local, zone)).altitude_deg))


def posix_s(local: str, zone: str) -> float:
    """Return the POSIX seconds of a local moment such as 2031-10-14T17:20.

    Near a change of clocks it may be an hour off.
    """
    midnight, offset = _day_and_offset(local[:10], zone)
    return midnight + int(local[11:13]) * 3600 + int(local[14:16]) * 60 - offset


@lru_cache(maxsize=16384)
def _day_and_offset(day: str, zone: str) -> tuple[float, float]:
    on = date.fromisoformat(day)
    offset = datetime.combine(on, time(12), tzinfo=zone_of(zone)).utcoffset() or timedelta(0)
    return (on.toordinal() - _EPOCH) * 86_400.0, offset.total_seconds()
