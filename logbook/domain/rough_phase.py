"""The kind of light at a place at a local moment, roughly and at once: for thousands of moments."""

from datetime import date, datetime, time, timedelta
from functools import lru_cache

from logbook.domain.zones import zone_of
from logbook.sky.phases import phase_at
from logbook.sky.rough import rough_sun

_EPOCH = date(1970, 1, 1).toordinal()


def phase_there(latitude_deg: float, longitude_deg: float, zone: str, local: str) -> str:
    """Return the kind of light at a place (degrees) at its own ISO time such as 2031-10-14T17:20."""
    return phase_at_instant(latitude_deg, longitude_deg, posix_s(local, zone))


def phase_at_instant(latitude_deg: float, longitude_deg: float, posix: float) -> str:
    """Return the kind of light at a place (degrees) at an instant in POSIX seconds."""
    return str(phase_at(rough_sun(latitude_deg, longitude_deg, posix).altitude_deg))


def posix_s(local: str, zone: str) -> float:
    """Return the POSIX seconds of a local moment such as 2031-10-14T17:20, the first of two such."""
    midnight, offset = _day_and_offset(local[:10], zone)
    if offset is None:
        return datetime.fromisoformat(local[:16]).replace(tzinfo=zone_of(zone)).timestamp()
    return midnight + int(local[11:13]) * 3600 + int(local[14:16]) * 60 - offset


@lru_cache(maxsize=16384)
def _day_and_offset(day: str, zone: str) -> tuple[float, float | None]:
    """A date's midnight as if it were in UTC, and its zone's offset in seconds; None where clocks change."""
    on = date.fromisoformat(day)
    ends = (datetime.combine(on, at, tzinfo=zone_of(zone)).utcoffset() for at in (time(0), time.max))
    first, last = (offset or timedelta(0) for offset in ends)
    return (on.toordinal() - _EPOCH) * 86_400.0, first.total_seconds() if first == last else None
