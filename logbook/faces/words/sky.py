"""The sky in words: where the sun stands, the hours of a day, and eclipses with what eyes and lens need.

Surprising decisions: a change of clocks is told by both times, since "02:00 back by an hour" may mean
either of them. What an eclipse takes of the light is told elsewhere (`craft/eclipsed`), as it is a part of
the expected light, which counts it.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.craft.minutes import MIDNIGHT, clock_text, length_text
from logbook.domain.position import compass_word
from logbook.faces.words.phrases import clock, whole_bearing
from logbook.sky.eclipses import Eclipse, EclipseKind
from logbook.sky.ephemeris import Body
from logbook.sky.phases import RISE_SET_DEG, PhaseKind

if TYPE_CHECKING:
    from logbook.services.light.day_light import ClockChange, LightDay
    from logbook.services.plans.sheets import ShotLight

CAUTION = "Unless an eclipsed sun is wholly covered, eyes and lens need a solar filter."
_OF = {Body.SUN: "solar", Body.MOON: "lunar"}
_CENTRAL = {EclipseKind.TOTAL: "totality", EclipseKind.ANNULAR: "the ring"}


def towards(bearing_deg: float) -> str:
    """Return a bearing as `225° SW`."""
    return f"{whole_bearing(bearing_deg)} {compass_word(bearing_deg)}"


def height_text(altitude_deg: float) -> str:
    """Return an altitude as `4° up`, `on the horizon` or `3° below the horizon`."""
    degrees = whole_degrees(altitude_deg)
    if not degrees:
        return "on the horizon"
    return f"{abs(degrees)}° {'up' if degrees > 0 else 'below the horizon'}"


def whole_degrees(altitude_deg: float) -> int:
    """Return an altitude in whole degrees: 0 as long as a level horizon still shows a part of the sun."""
    return 0 if RISE_SET_DEG <= altitude_deg < 0 else round(altitude_deg)


def sun_text(lit: "ShotLight") -> str:
    """Return `side light, golden hour at 17:45: sun 4° up, 262° W`."""
    altitude_deg = max(0.0, lit.altitude_deg) if lit.is_in_sight else lit.altitude_deg
    sun = f"sun {height_text(altitude_deg)}, {towards(lit.azimuth_deg)}"
    if lit.hidden_by is not None:
        sun += f", behind {lit.hidden_by}"
    if lit.direction is not None:
        return f"{lit.direction} light, {lit.phase} at {clock(lit.at)}: {sun}"
    return f"{lit.phase} at {clock(lit.at)}: {sun}"


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
