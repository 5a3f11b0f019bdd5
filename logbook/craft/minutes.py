"""Instants as people read them off a clock, to the nearest minute, and lengths of time as they say them.

One surprising decision: a day's end at midnight is 24:00, since 00:00 is read as its begin.
"""

from datetime import UTC, datetime, time, timedelta

MIDNIGHT = time(0)


def nearest_minute(at: datetime) -> datetime:
    """Return the full minute nearest to an instant, in its own zone, also across a change of clocks."""
    if at.tzinfo is None:
        return (at + timedelta(seconds=30)).replace(second=0, microsecond=0)
    full = (at.astimezone(UTC) + timedelta(seconds=30)).replace(second=0, microsecond=0)
    return full.astimezone(at.tzinfo)


def clock_text(at: datetime, *, ends: bool = False) -> str:
    """Return what a clock shows at the minute nearest to a local instant; midnight that `ends` is 24:00."""
    shown = nearest_minute(at)
    return "24:00" if ends and shown.time() == MIDNIGHT else f"{shown:%H:%M}"


def length_text(seconds: float) -> str:
    """Return a length of time to the nearest second: `7 min 5 s`, `9 h`."""
    whole = round(seconds)
    parts = ((whole // 3600, "h"), (whole % 3600 // 60, "min"), (whole % 60, "s"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 s"
