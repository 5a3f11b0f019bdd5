"""Times of day as people write them: 17:20, 17.20, 7h05, 5:20 pm, 24:00."""

import re
from datetime import time

_HOUR = r"(?<![0-9:.,])(?:[01]?[0-9]|2[0-4])"
_HALF = r"\s?[ap]\.?m\b\.?"
_END = r"(?![0-9]|[:.][0-9])"
_UNIT = r"(?!\s?(?:[mck]?m\b|ft\b|%|°))"
CLOCK = rf"{_HOUR}(?:[:h][0-5][0-9](?:{_HALF})?|{_HALF}){_END}"  # a time wherever it stands
# only where a number with a point is hardly meant
DOTTED = rf"{_HOUR}(?:[:h.][0-5][0-9](?:{_HALF})?|{_HALF}){_END}{_UNIT}"

_PARTS = re.compile(r"([0-9]{1,2})(?:[:h.]([0-9]{2}))?\s?([ap]?)", re.IGNORECASE)


def clock(text: str) -> time | None:
    """The time a text matching CLOCK or DOTTED stands for; None where there is no such time (24:30)."""
    parts = _PARTS.match(text)
    if parts is None:
        return None
    hour, minute, half = int(parts[1]), int(parts[2] or 0), parts[3].lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    if (hour, minute) == (24, 0):
        hour = 0
    return time(hour, minute) if hour < 24 and minute < 60 else None


def clock_text(at: time) -> str:
    """The time as it is written: 17:20."""
    return f"{at:%H:%M}"
