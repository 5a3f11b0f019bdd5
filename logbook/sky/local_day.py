"""When a date begins and ends at a place's own clock.

One surprising decision: a day is not 24 hours. Where clocks change it has 23 or 25, and a date that a zone
skipped altogether has none and is refused.
"""

from datetime import UTC, date, datetime, time, timedelta, tzinfo

from logbook.sky.errors import SkyValueError

MIDNIGHT = time(0)


def local_day(on: date, zone: tzinfo, begins: time = MIDNIGHT) -> tuple[datetime, datetime]:
    """Start and end (excluded), in UTC, of a local date; SkyValueError if the calendar there skipped it."""
    try:
        start, end = (
            datetime.combine(day, begins, tzinfo=zone).astimezone(UTC) for day in (on, on + timedelta(days=1))
        )
    except OverflowError:
        raise SkyValueError(
            f"{on.isoformat()} is at the edge of the calendar, beyond the years that sun and moon are "
            f"known for; choose another date."
        ) from None
    if end <= start:
        raise SkyValueError(f"There was no {on.isoformat()} in {zone}; its clocks skipped that date.")
    return start, end
