"""The calendar's names, and which dates can be those of a picture or a trip; others are kept as written.

One surprising decision: nothing is refused. A date that cannot be is somebody's slip or an unset clock, and
the picture behind it is real; it is only left out of drawings and of light.
"""

from datetime import date

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip
FIRST_DAY = date(1826, 1, 1)  # the oldest photograph that is left is of 1826 or 1827 (recalled from memory)
YEARS_AHEAD = 10  # years; nobody plans further, and a clock that is off by more is not set (own convention)


def last_day(today: date) -> date:
    """Return the last day that can be meant: so many years from today."""
    year = min(today.year + YEARS_AHEAD, date.max.year)
    is_leap_day = (today.month, today.day) == (2, 29)
    return date(year, 2, 28) if is_leap_day else today.replace(year=year)


def counts(day: date, last: date) -> bool:
    """Tell whether a day can be that of a picture or a trip; `last` is the last that can (`last_day`)."""
    return FIRST_DAY <= day <= last


def outside_words(day: date, last: date) -> str:
    """Return why a day does not count, as a clause."""
    return f"{day.isoformat()} is not between {FIRST_DAY.year} and {last.year}"
