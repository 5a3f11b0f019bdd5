"""A clock's line of time as a drawing: where each picture stands, and the hours under it.

One surprising decision: places are numbers of a drawing's own, so that sliding a clock moves one group and
the page needs no style of its own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from logbook.domain.keeper import Keeper
from logbook.services.night.clocks import ClockLine, ClockMark

WIDE = 1000  # of the drawing
PICTURE = 40  # wide, of a picture in it
BESIDE_MIN = 75  # shown before the first and behind the last picture, to slide into
HOUR_MIN = 60


@dataclass(frozen=True, slots=True)
class DrawnTime:
    """A line of time as it is drawn; `a_minute` is how far a minute reaches.

    Each picture has its place, and whether it is shown there: one that would hide the one before is not.
    """

    line: ClockLine
    own: tuple[tuple[Keeper, float, bool], ...]
    trusted: tuple[tuple[Keeper, float, bool], ...]
    hours: tuple[tuple[str, float], ...]
    a_minute: float


def timeline(line: ClockLine) -> DrawnTime:
    """Return a line of time as it is drawn."""
    minutes = [one.minute for one in (*line.own, *line.trusted)] or [0]
    begin = (min(minutes) - BESIDE_MIN) // HOUR_MIN * HOUR_MIN
    end = -(-(max(minutes) + BESIDE_MIN) // HOUR_MIN) * HOUR_MIN
    a_minute = WIDE / (end - begin)

    def at(minute: int) -> float:
        return round((minute - begin) * a_minute, 1)

    def placed(marks: tuple[ClockMark, ...]) -> Iterator[tuple[Keeper, float, bool]]:
        free = -inf  # from where on there is room for a picture
        for one in sorted(marks, key=lambda mark: mark.minute):
            place = at(one.minute)
            is_shown = place >= free
            free = place + PICTURE if is_shown else free
            yield one.keeper, place, is_shown

    hours = tuple((f"{one // HOUR_MIN % 24:02d}", at(one)) for one in range(begin, end + 1, HOUR_MIN))
    return DrawnTime(line, tuple(placed(line.own)), tuple(placed(line.trusted)), hours, round(a_minute, 4))
