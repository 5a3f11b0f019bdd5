"""Dates, times of day, spans and zones as people write them.

Times: 17:20, 17.20, 1720, 7h05, 5:20 pm, 5:20p, ~17:20, 24:00. Dates: 2031-10-14, 14.10.2031, 14 Oct 2031,
14/10/2031.

Two surprising decisions: a date with slashes, or with hyphens and its year last, is read only where it can be
no other day; and a time that is only about right is read as that time, by readers that say so or keep a note.
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
_SHORT_HALF = r"[ap]\b"  # 5:20p, where minutes stand before it
_END = r"(?![0-9]|[:.][0-9]|\s[0-9]{3}(?![0-9:.h]))"  # nor in 1:50 000
# behind figures that are no time: 17.20 m
UNIT = r"(?!\s?(?:(?:[mck]?m|masl|met(?:re|er)s?|ft|feet|yards?|miles?)\b|%|°))"
CLOCK = rf"{_HOUR}(?:[:h][0-5][0-9](?:{_HALF}|{_SHORT_HALF})?|{_HALF}){_END}"  # a time wherever it stands
# only where a number with a point is hardly meant
DOTTED = rf"{_HOUR}(?:[:h.][0-5][0-9](?:{_HALF}|{_SHORT_HALF})?|{_HALF}){_END}{UNIT}"
PACKED = r"(?:[01][0-9]|2[0-4])[0-5][0-9]"  # 1720
# Before and behind a time: it is only about right.
ABOUT = (
    r"(?:[~≈]|\b(?:ca|approx|abt|c)\.|\b(?:ca|about|abt|around|approximately|approx|roughly|circa|gegen|um|vers|hacia)"
    r"(?=[\s~]))\s*"
)
ISH = r"(?:\s?-?ish\b)"
HOURS = r"(?:Uhr|hrs|hours|h|o['’]clock)"  # behind a time, saying no more than it does
NAMED = {"noon": "12:00", "midday": "12:00", "midnight": "00:00"}

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
    plain = _AROUND.fullmatch(text.strip())
    said = plain["at"] if plain else text.strip()
    if exact := _WITH_SECONDS.fullmatch(said):
        return time_written(f"{exact[1]}{exact[3] or ''}").replace(second=int(exact[2]))
    said = _HOUR_NAMED.sub(r"\1:00", NAMED.get(said.lower(), said))
    said = _HOURS.sub(r"\1", said)
    if _PACKED.fullmatch(said):
        said = f"{said[:2]}:{said[2:]}"
    found = clock(said) if re.fullmatch(DOTTED, said, re.IGNORECASE) else None
    if found is None:
        raise InvalidValueError(f'"{text.strip()}" is not a time of day; write it as 17:20.')
    return found


def is_about(text: str) -> bool:
    """Whether a time or span that was read from a text is only about right: `~17:20`, `5-6ish pm`."""
    return _ABOUT.search(text) is not None


def are_years(begin: str, end: str) -> bool:
    """Whether two groups of four figures are rather years than a stay: `1914`, `1918`.

    Own choice: years are in order, and times are mostly rounded to 5 minutes and some minutes apart.
    """
    if not (_PACKED.fullmatch(begin) and re.fullmatch(r"[0-9]{4}", end)):
        return False
    first, last = int(begin), int(end)
    return 1000 <= first < last < 2100 and (last - first < 10 or bool(first % 5 or last % 5))


def span_written(text: str) -> tuple[time | None, time | None]:
    """Return from when to when: `16:40-17:50`, `16:40/17:50`, `5-7 pm`, `10 to 12`.

    `16:40`, `16:40-?`, `-17:50` and `until 17:50` lack an end.
    """
    plain = _ABOUT.sub("", text).strip()
    plain = re.sub(r"^from\s+", "", plain, flags=re.IGNORECASE)
    both = _BOTH.fullmatch(plain)
    ends = list(filter(None, both.groups())) if both else _TO.split(plain)
    if len(ends) > 2 or not any(ends):
        raise InvalidValueError(f'"{text.strip()}" is not a span of time; write it as 16:40-17:50.')
    begin, end = (ends[0], ends[1]) if len(ends) == 2 else (ends[0], "")
    half = re.search(rf"(?:{_HALF}|{_SHORT_HALF})$", end, re.IGNORECASE)
    if half and re.fullmatch(r"[0-9:.h]+", begin):
        begin = _with_half(begin, half[0], end)
    ends = ["" if one == "?" else one for one in (begin, end)]
    first, last = (time_written(_HOUR_ALONE.sub(r"\1:00", one)) if one else None for one in ends)
    if first is None and last is None:
        raise InvalidValueError(f'"{text.strip()}" is not a span of time; write it as 16:40-17:50.')
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
_PACKED = re.compile(PACKED)
_HOUR_NAMED = re.compile(r"^([01]?[0-9]|2[0-4])\s?(?:h|hrs|uhr)$", re.IGNORECASE)  # 17 h
_HOURS = re.compile(rf"([0-9])\s?{HOURS}$", re.IGNORECASE)  # 17:20 h
_AROUND = re.compile(rf"(?:{ABOUT})*(?P<at>.+?){ISH}?", re.IGNORECASE)
_ABOUT = re.compile(
    rf"{ABOUT}(?=[0-9]|{'|'.join(NAMED)})|(?:(?<=[0-9])|(?<=[ap]m)|(?<=noon)|(?<=midnight)|(?<=midday)){ISH}",
    re.IGNORECASE,
)
_HOUR_ALONE = re.compile(r"^([0-9]{1,2})$")
_TO = re.compile(r"\s*(?:–|—|−|-|\bto\b|\b(?:un)?till?\b)\s*", re.IGNORECASE)
# Two times about a slash, and between "between" and "and".
_BOTH = re.compile(
    rf"({DOTTED})\s*/\s*({DOTTED})|(?:between|btw\.?)\s+(\S.*?)\s*(?:&|\b(?:and|to)\b|-|–)\s*(\S.*)",
    re.IGNORECASE,
)

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
