"""The time at a place from what a keeper's row holds, for those who read rows and build no keepers.

One surprising decision: the offset of a zone is looked up once for every ten minutes; no zone changes its
clock between them, and a hundred thousand rows are read at once.
"""

from datetime import datetime, timedelta
from functools import lru_cache

from logbook.domain.zones import zone_of


def place_time(local: str | None, utc: str | None, zone: str | None) -> datetime | None:
    """Return the wall time at the place (naive): from instant and zone, else the camera's own, else None.

    All are ISO texts as the book stores them; `Keeper.place_time` says the same of a keeper.
    """
    if utc is None or zone is None:
        return None if local is None else datetime.fromisoformat(local)
    instant = datetime.fromisoformat(utc).replace(tzinfo=None)
    try:
        return instant + _offset(zone, utc[:15])
    except OverflowError:  # at the edge of the calendar, where the zone's clocks end
        return instant


def place_time_text(local: str | None, utc: str | None, zone: str | None) -> str | None:
    """Return `place_time` as ISO text."""
    if utc is None or zone is None:
        return local
    at = place_time(local, utc, zone)
    return at.isoformat() if at else None


@lru_cache(maxsize=65_536)
def _offset(zone: str, ten_minutes: str) -> timedelta:
    return (
        datetime.fromisoformat(f"{ten_minutes}0+00:00").astimezone(zone_of(zone)).utcoffset() or timedelta()
    )
