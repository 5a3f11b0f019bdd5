"""What stands for itself in a line of a plan: dates, times, focal lengths, apertures, shutter speeds, ISO.

One surprising decision: minutes and hours are no shutter speed by themselves, for `10 min walk` is none; they
are where nothing else stands beside them.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from logbook.craft.series import ISOS
from logbook.domain.dates import DAYS
from logbook.domain.errors import InvalidValueError
from logbook.domain.kinds import APERTURE, FOCAL, ISO, RATIONAL
from logbook.domain.written.moments import (
    ABOUT,
    ISH,
    MONTH,
    PACKED,
    UNIT,
    WEEKDAY,
    are_years,
    date_written,
    has_no_year,
    names_another_weekday,
    span_written,
    time_written,
)
from logbook.domain.written.understanding import NotUnderstoodError

TIMES = frozenset(("on_date", "window_from", "window_to"))  # what may stand in prose as well

_NUMBER = r"[0-9]{1,4}(?:[.,][0-9]{1,2})?"
_CLOCK = (
    r"(?:[01]?[0-9]|2[0-4])(?:[:h][0-5][0-9](?:\s?[ap]\.?m\b\.?|[ap]\b)?|(?:\.[0-5][0-9])?\s?[ap]\.?m\b\.?)"
)
_DOTTED = r"(?:[01]?[0-9]|2[0-4])(?:[:h.][0-5][0-9](?:\s?[ap]\.?m\b\.?|[ap]\b)?|\s?[ap]\.?m\b\.?)"
_HOUR = r"(?:[01]?[0-9]|2[0-4])\s?h"  # 18h, where it can be no length of time
_LATE = r"(?:0?[5-9]|1[0-9]|2[0-4])"  # hours that hardly any exposure lasts
_DASH = r"\s?(?:-|–|—|−|\bto\b|\b(?:un)?till?\b)\s?"
_EDGE = r"(?![\w/]|[.,:][0-9])"
_BEFORE = r"(?<![\w/.:+])(?<![0-9],)"
_SECONDS = r"(?:s|secs?|seconds?|\"|″|''|”)"
_GROUPED = r"[0-9]{1,3}[.,'’\s][0-9]{3}"
_YEAR = r"(?:,?\s+[12][0-9]{3})"
_SHUTTER = r"(?:(?:shutter(?:\sspeed)?|exposure|exp\.)\s(?:of\s)?)?"


@dataclass(frozen=True, slots=True)
class Around:
    """The days of a trip, by which a date without a year and the number of a day are known."""

    starts_on: date | None = None
    ends_on: date | None = None


ANY_TIME = Around()


@dataclass(frozen=True, slots=True)
class Token:
    """What stands for itself between `begin` and `end` of a line, by field of a shot."""

    begin: int
    end: int
    told: Mapping[str, Any]

    def text_in(self, line: str) -> str:
        """What stands there in its line."""
        return line[self.begin : self.end]


def tokens(text: str, around: Around) -> list[Token]:
    """Return what stands for itself in a text, in its order; NotUnderstoodError where a date could be two."""
    found: list[Token] = []
    for pattern, read in _PATTERNS:
        for match in pattern.finditer(text):
            if any(match.start() < one.end and one.begin < match.end() for one in found):
                continue
            told = read(match, around)
            if told is not None:
                found.append(Token(match.start(), match.end(), told))
    return sorted((one for one in found if one.told), key=lambda one: one.begin)


def minutes_written(text: str) -> Mapping[str, Any] | None:
    """Return a shutter speed of minutes or hours that is all a text says; else None."""
    found = _LONG.fullmatch(text.strip())
    if found is None or re.fullmatch(rf"{_LATE}\s?h", text.strip(), re.IGNORECASE):
        return None  # 18h is rather a time of day
    return {"exposure_s": RATIONAL.typed(found[1])}


def day_written(text: str, around: Around) -> date | None:
    """Return the day that a text means, of the trip's year where it names none; None where it means none.

    Raises NotUnderstoodError where it could be two, names none that there is, or another day of the week.
    """
    found = _day_meant(text, around)
    if found is not None and names_another_weekday(text, found):
        raise NotUnderstoodError(
            f'{found} is a {DAYS[found.weekday()]}, but the text says "{text}"; write the date you mean'
        )
    return found


def _day_meant(text: str, around: Around) -> date | None:
    plain = re.sub(rf"^{WEEKDAY}", "", " ".join(text.split()), flags=re.IGNORECASE)
    plain = re.sub(r"[T ]00[:.]00(?:[:.]00)?$", "", plain)
    if (found := date_written(plain)) is not None:
        return found
    if number := re.fullmatch(r"day\s+([0-9]{1,3})", plain, re.IGNORECASE):
        if around.starts_on is None:
            raise NotUnderstoodError(f'"{text}" needs the first day of the trip; write the date')
        return around.starts_on + timedelta(days=int(number[1]) - 1)
    if short := _SHORT_YEAR.fullmatch(plain):
        return _in_the_century(short, around)
    if slashed := re.fullmatch(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4})", plain):
        first, second, year = slashed.group(1, 3, 4)
        either = [date_written(f"{year}-{month}-{day}") for day, month in ((first, second), (second, first))]
        if None in either:
            raise NotUnderstoodError(f'"{plain}" is not a date in the calendar; write it as 2031-10-14')
        raise NotUnderstoodError(f'"{plain}" could be {either[0]} or {either[1]}; write the one you mean')
    return _in_the_year(plain, around)


def _in_the_century(short: re.Match[str], around: Around) -> date | None:
    """The day of a date whose year has two figures, where the trip is in such a year."""
    ends = [one.year for one in (around.starts_on, around.ends_on) if one is not None]
    for year in ends:
        if year % 100 == int(short["year"]):
            return _day_meant(f"{short['day']}{year}", around)
    figures = sorted(map(int, re.findall("[0-9]+", short["day"])))
    if not (1 <= figures[0] <= 12 or len(figures) == 1) or figures[-1] > 31:
        return None  # 18.45.30
    why = "is not in a year of the trip" if ends else "has a two-digit year, and the trip has no dates"
    raise NotUnderstoodError(f'"{short[0]}" {why}; write the date as 2031-10-14')


def _in_the_year(plain: str, around: Around) -> date | None:
    """The day of a date without its year, nearest to the begin of the trip."""
    if not has_no_year(plain):
        return None
    near = around.starts_on
    if near is None:
        raise NotUnderstoodError(
            f'"{plain}" has no year, and the trip has no dates; write the date as 2031-10-14'
        )
    plain = re.sub(r"\bof\s", "", plain, flags=re.IGNORECASE)
    dot = "" if plain.endswith(".") and plain[-2].isdigit() else " "
    years = (near.year, near.year + 1, near.year - 1)
    days = [day for year in years if (day := date_written(f"{plain}{dot}{year}")) is not None]
    return min(days, key=lambda day: abs(day - near)) if days else None


def _day(match: re.Match[str], around: Around) -> Mapping[str, Any] | None:
    day = day_written(match[0].strip(), around)
    return None if day is None else {"on_date": day}


def _span(match: re.Match[str], _around: Around) -> Mapping[str, Any] | None:
    figures = re.findall(r"[0-9]+", match[0])
    if are_years(figures[0], figures[-1]) or _has_unit(match):
        return None
    try:
        first, last = span_written(re.sub(r"\band\b", "to", match[0], flags=re.IGNORECASE))
    except InvalidValueError:
        return None
    return {"window_from": first, "window_to": last}


def _has_unit(match: re.Match[str]) -> bool:
    """Whether figures have a unit behind them that no time has: `1200-1300 m`."""
    return match[0][-1:].isdigit() and not _NO_UNIT.match(match.string, match.end())


def _single(match: re.Match[str], _around: Around) -> Mapping[str, Any] | None:
    if _has_unit(match):
        return None
    try:
        at = time_written(match["at"])
    except InvalidValueError:
        return None
    is_end = re.match(r"(?:un)?til|before|by\b", match[0], re.IGNORECASE)
    return {"window_to" if is_end else "window_from": at}


def _of(field: str, typed: Callable[[str], Any]) -> Callable[[re.Match[str], Around], Mapping[str, Any]]:
    def read(match: re.Match[str], _around: Around) -> Mapping[str, Any]:
        try:
            return {field: typed(match["said"].replace("”", '"'))}
        except InvalidValueError as error:
            raise NotUnderstoodError(str(error).rstrip(".")) from None

    return read


def _grouped_iso(match: re.Match[str], _around: Around) -> Mapping[str, Any] | None:
    """A speed with a thousands sign, where that makes one that cameras have: 3.200, and not 50 125."""
    iso = ISO.typed(match["said"])
    return {"iso": iso} if iso in ISOS else None


def _seconds(match: re.Match[str], around: Around) -> Mapping[str, Any] | None:
    """A shutter speed of seconds, but for the eighties and the 1970s."""
    years = re.fullmatch(r"(?:[0-9]{2}|[0-9]{4})s", match["said"], re.IGNORECASE)
    if years and (_DECADE.fullmatch(years[0]) or _NAMES_DECADES.search(match.string[: match.start()])):
        return None
    return _of("exposure_s", RATIONAL.typed)(match, around)


def _nothing(_match: re.Match[str], _around: Around) -> Mapping[str, Any]:
    return {}


def _compiled() -> Iterator[
    tuple[re.Pattern[str], Callable[[re.Match[str], Around], Mapping[str, Any] | None]]
]:
    time, about = rf"(?:{_DOTTED}|{PACKED}|{_HOUR})", rf"(?:{ABOUT})?"
    for pattern, read in (
        (rf"{WEEKDAY}[0-9]{{4}}[-‐/.][0-9]{{1,2}}[-‐/.][0-9]{{1,2}}", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}\.\s?[0-9]{{1,2}}\.\s?[0-9]{{4}}", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}(?P<sign>[/-])[0-9]{{1,2}}(?P=sign)(?:[0-9]{{4}}|[0-9]{{2}})", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}\.[0-9]{{1,2}}\.[0-9]{{2}}", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}-{MONTH}-(?:[0-9]{{4}}|[0-9]{{2}})", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}(?:\.|st|nd|rd|th)?\s?(?:of\s)?{MONTH}\.?{_YEAR}?(?![a-z])", _day),
        (rf"{WEEKDAY}{MONTH}\.?\s?[0-9]{{1,2}}(?:st|nd|rd|th)?{_YEAR}?(?![0-9:/h])", _day),
        (rf"{WEEKDAY}[0-9]{{1,2}}\.[0-9]{{1,2}}\.(?=[\s,;:]|$)", _day),
        (rf"(?:between|btw\.?)\s{about}{time}\s(?:and|&)\s{about}{time}", _span),
        (rf"(?:from\s)?{about}{_DOTTED}\s?/\s?{_DOTTED}", _span),
        (rf"(?:from\s)?{about}{time}{ISH}?{_DASH}{about}{time}{ISH}?(?:\s?(?:h|hrs)\b)?", _span),
        (rf"(?:from\s)?(?:[01]?[0-9]|2[0-4])\s?[-–]\s?{_CLOCK}", _span),
        (rf"(?:from\s)?{_LATE}\s?(?:-|–|to)\s?{_LATE}\s?h", _span),
        (rf"(?:(?:at|from|since|after|until|till|before|by)\s|@\s?)(?P<at>{_HOUR})", _single),
        (r"(?:from\s)?[0-9]{1,2}\s?(?:-|–|to)\s?[0-9]{1,2}\s?[ap]\.?m\b\.?", _span),
        (
            rf"(?:(?:at|from|since|after|around|about|until|till|before|by)\s|@\s?|(?={ABOUT})){about}(?P<at>{_DOTTED}|{PACKED}){ISH}?(?:\s?(?:h|hrs)\b)?",
            _single,
        ),
        (rf"(?P<at>{_CLOCK}){ISH}?(?:\s?(?:h|hrs)\b)?", _single),
        (r"[0-9]{1,4}\s?(?:-|–)\s?[0-9]{1,4}\s?mm", _nothing),  # a lens, not the length that is set
        (
            r"(?:aperture\s(?:of\s)?)?(?P<said>[fƒ]\s?[/:]?\s?[0-9]{1,2}(?:[.,][0-9]{1,2})?)",
            _of("f_number", _aperture),
        ),
        (rf"iso\s?[:-]?\s?(?P<said>{_GROUPED})(?!\s?(?:{_SECONDS}|mm|min)\b)", _grouped_iso),
        (rf"(?P<said>{_GROUPED})\s?iso", _grouped_iso),
        (r"iso\s?[:-]?\s?(?P<said>[0-9]{1,8})", _of("iso", ISO.typed)),
        (r"(?P<said>[0-9]{2,8})\s?iso", _of("iso", ISO.typed)),
        (
            rf"(?:focal(?:\slength)?\s)?(?P<said>[1-4][.,][0-9]{{3}}|{_NUMBER})\s?(?:mm|millimet(?:er|re)s?)",
            _of("focal_mm", FOCAL.typed),
        ),
        (
            rf"{_SHUTTER}(?P<said>[0-9]{{1,3}}\s?(?:m|min|mins|minutes?)\s?[0-9]{{1,2}}\s?{_SECONDS})",
            _of("exposure_s", RATIONAL.typed),
        ),
        (
            rf"{_SHUTTER}(?P<said>1/(?:[4-9]|[0-9]{{2,5}})(?:\s?{_SECONDS})?|1/[1-9]\.[0-9](?:\s?{_SECONDS})?|1/[1-9],[0-9]\s?{_SECONDS}|[0-9]{{1,3}}/[0-9]{{1,5}}\s?{_SECONDS})(?:th)?",
            _of("exposure_s", RATIONAL.typed),
        ),
        (rf"{_SHUTTER}(?P<said>(?:{_NUMBER}\s?)?[½⅓¼⅕⅙⅛⅒]\s?{_SECONDS})", _of("exposure_s", RATIONAL.typed)),
        (rf"{_SHUTTER}(?P<said>(?:{_NUMBER}|\.[0-9]{{1,2}})\s?{_SECONDS})", _seconds),
    ):
        yield re.compile(f"{_BEFORE}{pattern}{_EDGE}", re.IGNORECASE), read


def _aperture(text: str) -> float:
    return APERTURE.typed(text.replace(":", "/"))


_LONG = re.compile(
    rf"(?:(?:exposure|shutter)\s(?:of\s)?)?({_NUMBER}\s?(?:min|mins|minutes?|h|hours?)(?:\s?[0-9]{{1,2}}\s?(?:min|mins|minutes?))?)(?:\s(?:exposure|long))?",
    re.IGNORECASE,
)
_SHORT_YEAR = re.compile(
    rf"(?P<day>[0-9]{{1,2}}(?P<sign>[./-])(?:[0-9]{{1,2}}|{MONTH})(?P=sign)|[0-9]{{1,2}}\s{MONTH}\s)(?P<year>[0-9]{{2}})",
    re.IGNORECASE,
)
_DECADE = re.compile(r"(?:1[89]|20)[0-9]0s", re.IGNORECASE)
_NAMES_DECADES = re.compile(r"(?:\b(?:the|early|mid|late)[\s-]+['’]?|(?<!\w)['’])$", re.IGNORECASE)
_NO_UNIT = re.compile(UNIT, re.IGNORECASE)
_PATTERNS = tuple(_compiled())
