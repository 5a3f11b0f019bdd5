"""A day's light as a strip of characters, with the hours below it and, if any, its pictures."""

import sys
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta, tzinfo
from itertools import groupby
from typing import TYPE_CHECKING

from logbook.domain.day import span_of_day
from logbook.domain.zones import zone_of
from logbook.faces.drawn import undrawn
from logbook.faces.light_limits import light_limits
from logbook.faces.terminal import answer, answer_unbroken, columns_of
from logbook.sky.phases import PhaseKind, phase_at
from logbook.sky.rough import rough_sun

if TYPE_CHECKING:
    from logbook.services.days import DayShown

SIGNS = {
    PhaseKind.NIGHT: ".",
    **dict.fromkeys((PhaseKind.ASTRONOMICAL, PhaseKind.NAUTICAL, PhaseKind.CIVIL), ":"),
    PhaseKind.BLUE: "=",
    PhaseKind.GOLDEN: "+",
    PhaseKind.DAY: "#",
}
LEGEND = ". night  : twilight  = blue hour  + golden hour  # day"
PICTURE, PICTURES = "^", "  ^ pictures"
WIDTHS = (72, 48, 24)  # characters: of an ordinary day 20, 30 or 60 minutes each
HOURS = 3  # between two hours that are named
LOOKS = 5  # at each stretch: every four minutes of an ordinary day, where it is widest


def answer_strip(
    start: datetime,
    end: datetime,
    zone: tzinfo,
    kind_at: Callable[[datetime], PhaseKind],
    pictures: Iterable[datetime] = (),
) -> None:
    """Print the light from `start` to `end` (UTC), where drawings are wanted."""
    width = next((one for one in WIDTHS if one <= columns_of(sys.stdout)), None)
    if undrawn.get() or width is None:
        return
    made = list(pictures)
    answer("")
    answer_unbroken("\n".join(strip_lines(start, end, zone, kind_at, made, width)))
    answer(f"{LEGEND}{PICTURES if made else ''}")


def answer_day_light(day: "DayShown") -> None:
    """Print the light of a day of a trip and its pictures, where its place and its zone are known."""
    trip, place = day.account.trip, day.observer
    if day.zone is None or place is None or not day.account.counts(day.on_date):
        return
    zone, limits = zone_of(day.zone), light_limits()
    start, end = span_of_day(day.on_date, zone, trip.day_ends_at)

    def kind_at(at: datetime) -> PhaseKind:
        sun = rough_sun(place.latitude_deg, place.longitude_deg, at.timestamp())
        return phase_at(sun.altitude_deg, limits)

    made = [one.taken_utc for one in day.account.keepers if one.taken_utc is not None]
    answer_strip(start, end, zone, kind_at, made)


def strip_lines(
    start: datetime,
    end: datetime,
    zone: tzinfo,
    kind_at: Callable[[datetime], PhaseKind],
    pictures: Iterable[datetime] = (),
    width: int = WIDTHS[0],
) -> list[str]:
    """Return the strip, a line of pictures if there are any in the span, and the hours of the place."""
    step = (end - start) / width
    light = "".join(_signs(start, step, width, kind_at))
    cells = {int((one - start) / step) for one in pictures if start <= one < end}
    made = "".join(PICTURE if at in cells else " " for at in range(width)).rstrip()
    hours, last = "", None
    for at in range(width):
        hour = (start + step * at).astimezone(zone).hour
        if hour != last and hour % HOURS == 0:
            hours = f"{hours:<{at}}{hour}"
        last = hour
    return [light, *([made] if made else []), hours]


def _signs(
    start: datetime, step: timedelta, width: int, kind_at: Callable[[datetime], PhaseKind]
) -> list[str]:
    """The sign of the light at the middle of each stretch; one too short for any middle takes its nearest.

    In the tropics a blue hour lasts eight minutes, and the strip would show none. No light loses its only
    sign to another.
    """
    looks = [SIGNS[kind_at(start + step * (at + 0.5) / LOOKS)] for at in range(width * LOOKS)]
    signs = looks[LOOKS // 2 :: LOOKS]
    at = 0
    for sign, run in groupby(looks):
        long = len(list(run))
        if sign not in signs[at // LOOKS : (at + long - 1) // LOOKS + 1]:
            cell = (at + long // 2) // LOOKS
            if signs[cell] in (*signs[max(0, cell - 1) : cell], *signs[cell + 1 : cell + 2]):
                signs[cell] = sign
        at += long
    return signs
