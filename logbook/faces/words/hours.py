"""The hours of a day in words: what a clock shows, and how it is put forward or back.

One surprising decision: a change of clocks is told by both times, since "02:00 back by an hour" may mean
either of them.
"""

from datetime import datetime
from typing import TYPE_CHECKING

from logbook.craft.minutes import MIDNIGHT, clock_text
from logbook.faces.words.phrases import clock
from logbook.sky.phases import PhaseKind

if TYPE_CHECKING:
    from logbook.services.light.day_light import ClockChange, LightDay


def clock_of(day: "LightDay", at: datetime) -> str:
    """Return what a place's clocks show at the nearest minute of its day; midnight at its end is 24:00."""
    return clock_text(at.astimezone(day.standpoint.zone), ends=at > day.sky.start and _is_last(day, at))


def change_words(change: "ClockChange") -> str:
    """Return how clocks are put: `clocks go back from 03:00 to 02:00`."""
    if change.clocks_from == change.clocks_to:
        return "clocks skip a day"
    way = "forward" if change.minutes > 0 else "back"
    is_end = way == "back" and change.clocks_from == MIDNIGHT
    before = "24:00" if is_end else clock(change.clocks_from)
    return f"clocks go {way} from {before} to {clock(change.clocks_to)}"


def extremes_said(day: "LightDay") -> list[str]:
    """Return how dark a day gets that has no night, and how bright one that has no day, in sentences."""
    kinds = list(PhaseKind)
    shown = sorted({kinds.index(phase.kind) for phase in day.sky.phases})
    darkest, brightest = kinds[shown[0]], kinds[shown[-1]]
    ways = [("darker", darkest), ("brighter", brightest)]
    said = [(way, kind) for way, kind in ways if kind not in (PhaseKind.NIGHT, PhaseKind.DAY)]
    if said and darkest is brightest:
        return [f"It is {darkest} throughout."]
    return [f"It gets no {way} than {kind}." for way, kind in said]


def _is_last(day: "LightDay", at: datetime) -> bool:
    return (day.sky.end - at).total_seconds() <= 30
