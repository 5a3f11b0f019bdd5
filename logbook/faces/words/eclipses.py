"""Eclipses in words: what happens when, how much is covered, and what eyes and lens need.

One surprising decision: what an eclipse takes of the light is told elsewhere (`craft/eclipsed`), as it is a
part of the expected light, which counts it.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.craft.minutes import length_text
from logbook.faces.words.hours import clock_of
from logbook.sky.eclipses import Eclipse, EclipseKind
from logbook.sky.ephemeris import Body

if TYPE_CHECKING:
    from logbook.services.light.day_light import LightDay

CAUTION = "Unless an eclipsed sun is wholly covered, eyes and lens need a solar filter."
_OF = {Body.SUN: "solar", Body.MOON: "lunar"}
_CENTRAL = {EclipseKind.TOTAL: "totality", EclipseKind.ANNULAR: "the ring"}


def eclipse_events(eclipse: Eclipse) -> Iterator[tuple[datetime, str]]:
    """Yield what happens when: begin, greatest, end, and the central phase between."""
    of = _OF[eclipse.body]
    yield eclipse.begins, f"{eclipse.body} rises eclipsed" if eclipse.rises else f"{of} eclipse begins"
    if eclipse.central_from and eclipse.central_to:
        if eclipse.central_from > eclipse.begins:
            yield eclipse.central_from, f"{_CENTRAL[eclipse.kind]} begins"
        if eclipse.central_to < eclipse.ends:
            yield eclipse.central_to, f"{_CENTRAL[eclipse.kind]} ends"
    yield eclipse.greatest, f"greatest {of} eclipse, {covered_text(eclipse)}"
    yield eclipse.ends, f"{eclipse.body} sets eclipsed" if eclipse.sets else f"{of} eclipse ends"


def covered_text(eclipse: Eclipse) -> str:
    """Return how much is covered: `total for 6 min 23 s`, or the share of the diameter.

    Almost total is not total.
    """
    share = f"{min(99, round(100 * eclipse.covered))}% of the diameter"
    if not eclipse.central_from or not eclipse.central_to:
        return share
    lasts = f"{eclipse.kind} for {length_text((eclipse.central_to - eclipse.central_from).total_seconds())}"
    return lasts if eclipse.kind is EclipseKind.TOTAL else f"{lasts}, {share}"


def eclipses_said(day: "LightDay") -> list[str]:
    """Return the eclipses of a day in sentences, and what a solar one asks of eyes and lens."""
    caution = eclipse_caution(day)
    return [*(eclipse_text(day, one) for one in day.eclipses), *([caution] if caution else [])]


def eclipse_caution(day: "LightDay") -> str | None:
    """Return what a solar eclipse asks of eyes and lens; None on a day without one."""
    return CAUTION if any(one.body is Body.SUN for one in day.eclipses) else None


def eclipse_text(day: "LightDay", eclipse: Eclipse) -> str:
    """Return an eclipse in one sentence: `Solar eclipse 19:28–21:20, greatest at 20:27: total for 6 min.`

    Times before the day say so, as one would look for them in the evening to come.
    """
    begins, greatest, ends = (
        f"{clock_of(day, at)}{' (the day before)' if at < day.sky.start else ''}"
        for at in (eclipse.begins, eclipse.greatest, eclipse.ends)
    )
    of = _OF[eclipse.body].title()
    return f"{of} eclipse {begins}–{ends}, greatest at {greatest}: {covered_text(eclipse)}."
