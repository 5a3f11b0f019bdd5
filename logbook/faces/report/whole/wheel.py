"""The year as a wheel: which days of it the trips took, and on which of them pictures were kept.

One surprising decision: one ring a year, the latest outside, because what a photographer asks of it is "what
was I doing at this time of the year?", and that is one direction on the wheel.
"""

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, cos, pi, sin

from markupsafe import Markup

from logbook.faces.report.drawings.svg import NARROW, TEXT_PX, drawing, element, line, number, words
from logbook.faces.report.models import Drawing
from logbook.faces.words.phrases import counted, date_text, sentence

MIDDLE = NARROW / 2
OUTER, INNER = 128.0, 34.0  # radii between which the rings lie, in units of the drawing
MOST_RING = 20.0  # a single year does not fill the wheel
YEAR_DAYS = 366  # a leap year, so that the same date is the same direction in every year


@dataclass(frozen=True, slots=True)
class WheelTrip:
    """What the wheel shows of one trip."""

    number: int
    title: str
    starts_on: date
    ends_on: date
    kept_on: tuple[date, ...]  # days on which pictures were kept


def year_wheel(stays: Sequence[WheelTrip]) -> tuple[Drawing, ...]:
    """Return the wheel, or () where no trip has a date."""
    if not stays:
        return ()
    years = sorted({year for stay in stays for year in range(stay.starts_on.year, stay.ends_on.year + 1)})
    ring = min((OUTER - INNER) / len(years), MOST_RING)
    radii = {year: OUTER - ring * (len(years) - place - 0.5) for place, year in enumerate(years)}
    marks = [*_months()]
    marks += [element("circle", cx=MIDDLE, cy=MIDDLE, r=radii[year], class_="ring") for year in years]
    for stay in stays:
        marks += _stay(stay, radii, ring)
    for year in years[:: -ceil((TEXT_PX + 1) / ring)]:  # from the outside inwards, as many as have room
        marks.append(words(str(year), MIDDLE + 3, MIDDLE - radii[year] + TEXT_PX / 3, "quiet"))
    said = tuple(sentence(_said(stay)) for stay in stays)
    description = sentence(
        f"{counted(len(stays), 'trip')} in {counted(len(years), 'year')}; described in words below"
    )
    svg = drawing("year-wheel", "The year", description, (NARROW, NARROW), marks, "wheel")
    note = "January begins at the top and the year runs clockwise; the latest year is on the outside. " + (
        "Each band is a trip with its number; a tick across it is a day with pictures."
    )
    return (Drawing("year-wheel", "The year", svg, None, note, said),)


def turn_of(day: date) -> float:
    """Return the direction of a date on the wheel, in radians clockwise from the top."""
    return 2 * pi * (date(2000, day.month, day.day).timetuple().tm_yday - 1) / YEAR_DAYS


def _months() -> Iterable[Markup]:
    for month in range(1, 13):
        begin = turn_of(date(2000, month, 1))
        yield line(*_at(begin, INNER - 8), *_at(begin, OUTER + 6), "grid")
        x, y = _at(turn_of(date(2000, month, 15)), OUTER + 18)
        yield words(calendar.month_abbr[month], x, y + TEXT_PX / 3, "quiet", "middle")


def _stay(stay: WheelTrip, radii: dict[int, float], ring: float) -> Iterable[Markup]:
    for year in range(stay.starts_on.year, stay.ends_on.year + 1):
        first, last = max(stay.starts_on, date(year, 1, 1)), min(stay.ends_on, date(year, 12, 31))
        begin, end = turn_of(first), turn_of(last) + 2 * pi / YEAR_DAYS
        radius, half = radii[year], max(ring * 0.32, 1.0)
        yield element("path", d=_band(begin, end, radius - half, radius + half), class_="stay")
    middle = turn_of(stay.starts_on)
    x, y = _at(middle - 9 / radii[stay.starts_on.year], radii[stay.starts_on.year])
    yield words(str(stay.number), x, y + TEXT_PX / 3, "word", "middle")
    for day in stay.kept_on:
        at, radius = turn_of(day) + pi / YEAR_DAYS, radii[day.year]
        yield line(*_at(at, radius - ring * 0.42), *_at(at, radius + ring * 0.42), "tick")


def _band(begin: float, end: float, inner: float, outer: float) -> str:
    """A piece of a ring between two directions."""
    way = int(end - begin > pi)
    points = [_at(begin, outer), _at(end, outer), _at(end, inner), _at(begin, inner)]
    a, b, c, d = (f"{x:.1f} {y:.1f}" for x, y in points)
    there, back = (f"A{number(r)} {number(r)} 0 {way}" for r in (outer, inner))
    return f"M{a} {there} 1 {b} L{c} {back} 0 {d} Z"


def _at(turn: float, radius: float) -> tuple[float, float]:
    return MIDDLE + radius * sin(turn), MIDDLE - radius * cos(turn)


def _said(stay: WheelTrip) -> str:
    until = f" to {date_text(stay.ends_on)}" if stay.ends_on != stay.starts_on else ""
    kept = counted(len(stay.kept_on), "day")
    return f"{stay.number}, {stay.title}: {date_text(stay.starts_on)}{until}, pictures on {kept}"
