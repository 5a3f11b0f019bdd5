"""Dates, times of day, spans and zones as people write them.

Times: 17:20, 17.20, 1720, 7h05, 5:20 pm, 24:00. Dates: 2031-10-14, 14.10.2031, 14 Oct 2031, 14/10/2031.

One surprising decision: a date with slashes, or with hyphens and its year last, is read only where it can be
no other day.
"""

import re
from collections.abc import Iterable
from datetime import date, time
from difflib import get_close_matches
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from logbook.domain.dates import DAYS, MONTHS
from logbook.domain.errors import InvalidValueError
from logbook.domain.zones import offset_written

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


def time_written(text: str) -> time:
    """Return the time of day that a whole text means; InvalidValueError says how to write one."""
    if exact := _WITH_SECONDS.fullmatch(text.strip()):
        return time_written(f"{exact[1]}{exact[3] or ''}").replace(second=int(exact[2]))
    plain = _HOUR_NAMED.sub(r"\1:00", text.strip())
    plain = _HOURS.sub(r"\1", plain)
    if _PACKED.fullmatch(plain):
        plain = f"{plain[:2]}:{plain[2:]}"
    found = clock(plain) if re.fullmatch(DOTTED, plain, re.IGNORECASE) else None
    if found is None:
        raise InvalidValueError(f'"{text.strip()}" is not a time of day; write it as 17:20.')
    return found


def span_written(text: str) -> tuple[time | None, time | None]:
    """Return from when to when: `16:40-17:50`, `5-7 pm`, `10 to 12`; `16:40` and `-17:50` lack an end."""
    plain = re.sub(r"^\s*(?:from|between)\s+", "", text, flags=re.IGNORECASE)
    ends = _TO.split(plain.strip())
    if len(ends) > 2 or not any(ends):
        raise InvalidValueError(f'"{text.strip()}" is not a span of time; write it as 16:40-17:50.')
    begin, end = (ends[0], ends[1]) if len(ends) == 2 else (ends[0], "")
    half = re.search(rf"{_HALF}$", end, re.IGNORECASE)
    if half and re.fullmatch(r"[0-9:.h]+", begin):
        begin = _with_half(begin, half[0], end)
    first, last = (time_written(_HOUR_ALONE.sub(r"\1:00", one)) if one else None for one in (begin, end))
    return first, last


def _with_half(begin: str, half: str, end: str) -> str:
    """The beginning in the half of the day of the end, `5-7 pm`, or in the other one: `11-1 pm`."""
    other = half.lower().translate(str.maketrans("ap", "pa"))
    first, last = (clock(_HOUR_ALONE.sub(r"\1:00", one) + half) for one in (begin, end.removesuffix(half)))
    return begin + (other if first and last and first > last else half)


def clock_text(at: time) -> str:
    """The time as it is written: 17:20."""
    return f"{at:%H:%M}"


_WITH_SECONDS = re.compile(r"([0-9]{1,2}:[0-9]{2}):([0-5][0-9])(\s?[ap]\.?m\.?)?", re.IGNORECASE)
_PACKED = re.compile(r"(?:[01][0-9]|2[0-4])[0-5][0-9]")
_HOUR_NAMED = re.compile(r"^([01]?[0-9]|2[0-4])\s?(?:h|hrs)$", re.IGNORECASE)  # 17 h
_HOURS = re.compile(r"([0-9])\s?(?:h|hrs)$", re.IGNORECASE)  # 17:20 h
_HOUR_ALONE = re.compile(r"^([0-9]{1,2})$")
_TO = re.compile(r"\s*(?:–|—|−|-|\bto\b|\b(?:un)?till?\b)\s*", re.IGNORECASE)

WEEKDAY = (
    r"(?:(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\.?,?\s+(?:the\s+)?)?"
    r"(?:on\s+the\s+)?"
)
MONTH = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]{0,6}"
_DAYS_BEGIN = tuple(day[:3].lower() for day in DAYS)
_YEARLESS = re.compile(
    rf"(?:{WEEKDAY})?(?:[0-9]{{1,2}}\.\s?[0-9]{{1,2}}\.|[0-9]{{1,2}}(?:\.|st|nd|rd|th)?\s?(?:of\s)?{MONTH}\.?|{MONTH}\.?\s?[0-9]{{1,2}}(?:st|nd|rd|th)?)",
    re.IGNORECASE,
)
_YEAR_FIRST = re.compile(r"([0-9]{4})[-‐–/.]([0-9]{1,2})[-‐–/.]([0-9]{1,2})")
_DAY_FIRST = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})")
_SLASHED = re.compile(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4})")
_DAY_MONTH = re.compile(
    r"([0-9]{1,2})(?:\.|st|nd|rd|th|-)?\s*([a-z]{3,9})\.?[,-]?\s*([0-9]{4})", re.IGNORECASE
)
_MONTH_DAY = re.compile(r"([a-z]{3,9})\.?\s*([0-9]{1,2})(?:st|nd|rd|th)?,?\s+([0-9]{4})", re.IGNORECASE)
NEAR_ZONES = 3  # zones that a miss offers
NEAR = 0.8  # of difflib's ratio


def date_written(text: str) -> date | None:
    """Return the day that a text means; None where it means none or two, or names a wrong weekday."""
    plain = " ".join(text.split())
    found = _date_written(plain[len(_weekday_in(plain)) :])
    return None if found is None or names_another_weekday(plain, found) else found


def names_another_weekday(text: str, day: date) -> bool:
    """Whether a text begins with a day of the week that the day is not."""
    named = _weekday_in(text.strip()).lower()
    return named.startswith(_DAYS_BEGIN) and not named.startswith(_DAYS_BEGIN[day.weekday()])


def _weekday_in(plain: str) -> str:
    """What stands for the day of the week at the beginning of a text; empty where nothing does."""
    named = re.match(WEEKDAY, plain, re.IGNORECASE)
    return named[0] if named else ""


def _date_written(plain: str) -> date | None:
    try:
        if found := _YEAR_FIRST.fullmatch(plain):
            return date(int(found[1]), int(found[2]), int(found[3]))
        if found := _DAY_FIRST.fullmatch(plain):
            return date(int(found[3]), int(found[2]), int(found[1]))
        if found := _SLASHED.fullmatch(plain):
            first, second, year = map(int, found.group(1, 3, 4))
            if first > 12 or first == second:
                return date(year, second, first)
            return date(year, first, second) if second > 12 else None
        if found := _DAY_MONTH.fullmatch(plain):
            month = month_written(found[2])
            return date(int(found[3]), month, int(found[1])) if month else None
        if found := _MONTH_DAY.fullmatch(plain):
            month = month_written(found[1])
            return date(int(found[3]), month, int(found[2])) if month else None
        return date.fromisoformat(plain)
    except ValueError:
        return None


def has_no_year(text: str) -> bool:
    """Whether a text is a day of some year: `4 March`, `14.10.`."""
    return _YEARLESS.fullmatch(" ".join(text.split())) is not None


def month_written(text: str) -> int | None:
    """Return the number of the month that a text names or abbreviates; None where it names none or two."""
    word = text.strip().lower()
    fitting = [number for number, name in enumerate(MONTHS, 1) if name.lower().startswith(word)]
    return fitting[0] if len(fitting) == 1 and len(word) >= 3 else None


def zone_written(text: str) -> str:
    """Return the zone that a text means in any case, by its city or by its offset from UTC.

    Raises InvalidValueError, with near names, for a text that means none.
    """
    offset = offset_written(text)
    if offset is not None:
        return offset
    wanted = "_".join(text.split())
    try:
        return ZoneInfo(wanted).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        pass
    names = available_timezones()
    for fitting in (
        [name for name in names if name.casefold() == wanted.casefold()],
        [name for name in names if _city(name) == wanted.casefold()],
    ):
        if len(fitting) == 1:
            return fitting[0]
    near = _near_zones(wanted, names)
    meant = f" Did you mean {' or '.join(near)}?" if near else ""
    raise InvalidValueError(
        f'"{text}" is not a time zone; write one such as Asia/Dushanbe, +02:00 or UTC.{meant}'
    )


def _city(name: str) -> str:
    return name.rpartition("/")[2].casefold()


def _near_zones(wanted: str, names: Iterable[str]) -> list[str]:
    """Return the zones whose city is spelled nearly as the one that was typed."""
    cities: dict[str, str] = {}
    for name in sorted(names):
        cities.setdefault(_city(name), name)
    near = get_close_matches(_city(wanted), cities, NEAR_ZONES, NEAR)
    return [cities[city] for city in near]
