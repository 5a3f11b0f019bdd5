"""Angles as people write them in free text: decimal, in degrees, minutes and seconds, packed, with any marks.

One surprising decision: every reading of a number is offered, also unlikely ones, and neither sign nor
hemisphere is read. What is near a hidden place is found by measuring, and chance hardly ever hits both its
latitude and its longitude.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

_FIGURES = re.compile(r"\d+")
_UNITS = (
    r"(?:degrees?|deg|degr[ée]s?|grad[oi]?s?|graden|d|minut(?:e[ns]?|os?|i)|min|m|"
    r"seconds?|secondes?|sekund\w{0,2}|segundos?|sec|sek|s|and|und|et|y|e|"
    r"stup\w{1,4}|stopni\w{0,2}|vte[rř]in\w?|minut\w{0,2}|grade[nr]|astetta|sekuntia|"
    r"градус\w{0,2}|минут\w?|секунд\w?|北緯|北纬|東経|东经|西経|西经|南緯|南纬)"
)
_HEMISPHERES = r"(?:[NSEWO]|north|south|east|west|nord|s[uü]d|ost|oeste?|ouest|ovest|este?|norte|sur)"
_MARKS = r"[\s,;:.\-–—−/_°º˚∘'′’‘ʹ`´\"″”“ʺ·度分秒]"
_BETWEEN = re.compile(rf"{_MARKS}{{0,4}}(?:{_UNITS}\b{_MARKS}{{0,4}}){{0,2}}(?:[NSEW]\s?)?", re.IGNORECASE)
_POINT = re.compile(r"[°º˚]?\s?[.,·٫]|[.,][°º˚]")
_LOOSE_POINT = re.compile(r"\s?(?:[.,·٫]|point|dot|comma)\s?|[\s'’_:-]", re.IGNORECASE)
_BEFORE = re.compile(
    rf"(?:(?<![^\W\d_]){_HEMISPHERES}|lat(?:itude)?|lon(?:g(?:itude)?)?|lng|breite|l[äa]nge)[\s.:=\"'+\-−]{{0,4}}$",
    re.IGNORECASE,
)
_AFTER = re.compile(rf"[\s°º˚∘'′’‘ʹ\"″”ʺ]{{0,4}}{_HEMISPHERES}(?![^\W\d_])", re.IGNORECASE)
_DEGREE = re.compile(r"[°º˚∘]|deg|grad", re.IGNORECASE)
_TAIL = re.compile(
    r"\s?(?:[°º˚∘]|['′’ʹ\"″”ʺ]{1,2}(?=[\s,;)]*[NSEW\d]|\s*$)|degrees?\b|min(?:utes?)?\b|sec(?:onds?)?\b)?"
    r"(?:\s?(?:[NSEW]|north|south|east|west)(?![^\W\d_]))?"
)
_LONGEST_GAP = 24  # characters between degrees and minutes


@dataclass(frozen=True, slots=True)
class Angle:
    """One reading of one or more numbers: where it stands, unsigned degrees, one unit of its last place.

    `is_marked` where a degree sign or a hemisphere says that it is an angle; `parts` counts degrees, minutes
    and seconds; `is_packed` where they are written without a gap.
    """

    begin: int
    end: int
    degrees: float
    unit_deg: float
    parts: int
    is_marked: bool
    is_packed: bool = False


def angles(text: str, is_wanted: Callable[[float, float], bool]) -> Iterator[Angle]:
    """Yield every reading whose degrees, with one unit of their last place, are wanted; readings overlap."""
    found = list(_FIGURES.finditer(text))
    gaps = [text[one.end() : other.start()] for one, other in pairwise(found)]
    for at, one in enumerate(found):
        short = len(one[0].lstrip("0")) <= 3  # "0003.46" too
        readings = [(*reading, False) for reading in _readings(found, gaps, at)] if short else []
        if 4 <= len(one[0]) <= 7:
            readings += [(*reading, True) for reading in _packed(found, gaps, at)]
        if 6 <= len(one[0]) <= 10:
            readings += [(*reading, True) for reading in _without_point(one[0], at)]
        for last, degrees, unit_deg, parts, is_packed in readings:
            if is_wanted(degrees, unit_deg):
                end, is_marked = _around(text, one, found[last])
                yield Angle(one.start(), end, degrees, unit_deg, parts, is_marked, is_packed)


def _readings(
    found: Sequence[re.Match[str]], gaps: Sequence[str], at: int
) -> Iterator[tuple[int, float, float, int]]:
    """Yield the last number of each reading, degrees, one unit of their last place, and how many parts."""
    degrees = float(found[at][0])
    yield at, degrees, 1.0, 1
    for last, value, unit in _fraction(found, gaps, at, loose=True):
        yield last, value, unit, 1
    if not _is_part(found, gaps, at + 1):
        return
    with_minutes = degrees + float(found[at + 1][0]) / 60
    yield at + 1, with_minutes, 1 / 60, 2
    for last, value, unit in _fraction(found, gaps, at + 1):
        yield last, degrees + value / 60, unit / 60, 2
    if not _is_part(found, gaps, at + 2):
        return
    yield at + 2, with_minutes + float(found[at + 2][0]) / 3600, 1 / 3600, 3
    for last, value, unit in _fraction(found, gaps, at + 2):
        yield last, with_minutes + value / 3600, unit / 3600, 3


def _fraction(
    found: Sequence[re.Match[str]], gaps: Sequence[str], at: int, *, loose: bool = False
) -> Iterator[tuple[int, float, float]]:
    """Yield a number with the figures behind its point, and one unit of its last place."""
    if at >= len(gaps):
        return
    figures = found[at + 1][0]
    if _POINT.fullmatch(gaps[at]) or (loose and len(figures) > 2 and _LOOSE_POINT.fullmatch(gaps[at])):
        yield at + 1, float(f"{found[at][0]}.{figures}"), 10.0 ** -min(len(figures), 12)


def _is_part(found: Sequence[re.Match[str]], gaps: Sequence[str], at: int) -> bool:
    """Whether a number may be the minutes or seconds of the one before it."""
    if at >= len(found):
        return False
    gap = gaps[at - 1]
    fits = len(found[at][0]) <= 2 and int(found[at][0]) < 60
    return fits and 0 < len(gap) <= _LONGEST_GAP and _BETWEEN.fullmatch(gap) is not None


def _without_point(figures: str, at: int) -> Iterator[tuple[int, float, float, int]]:
    """Decimal degrees whose point was left out, and whole numbers of their ten millionths."""
    for whole in (1, 2, 3):
        unit_deg = 10.0 ** (whole - len(figures))
        yield at, int(figures) * unit_deg, unit_deg, 1


def _packed(
    found: Sequence[re.Match[str]], gaps: Sequence[str], at: int
) -> Iterator[tuple[int, float, float, int]]:
    """DDMM, DDDMM, DDMMSS and DDDMMSS, with a fraction (ISO 6709, NMEA 0183)."""
    figures = found[at][0]
    ends = [(at, 0.0, 1.0)]
    ends += [(last, float(f"0.{found[last][0]}"), unit) for last, _, unit in _fraction(found, gaps, at)]
    for seconds in (0, 2):
        whole = figures[: len(figures) - 2 - seconds]
        if not 1 <= len(whole) <= 3:
            continue
        minutes, rest = int(figures[len(whole) : len(whole) + 2]), figures[len(whole) + 2 :]
        if minutes >= 60 or int(rest or 0) >= 60:
            continue
        scale = 3600 if rest else 60
        for last, part, unit in ends:
            degrees = int(whole) + minutes / 60 + int(rest or 0) / 3600 + part / scale
            yield last, degrees, unit / scale, 3 if rest else 2


def _around(text: str, first: re.Match[str], last: re.Match[str]) -> tuple[int, bool]:
    """Return where an angle ends with its marks, and whether anything says that it is one."""
    end = last.end()
    is_marked = bool(
        _BEFORE.search(text[max(0, first.start() - 16) : first.start()])
        or _AFTER.match(text, end)
        or _DEGREE.search(text[first.end() : end + 5])
    )
    tail = _TAIL.match(text, end)
    return (tail.end() if tail and tail[0].strip() else end), is_marked
