"""A planned day as a strip: its kinds of light, and the windows of its shots under them."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from markupsafe import Markup

from logbook.domain.day import instants_on
from logbook.faces.report.drawings.day_strip import HOUR, ROW, hour_marks, light_words
from logbook.faces.report.drawings.light_band import BAND, light_band, light_key
from logbook.faces.report.drawings.svg import NARROW, TEXT_PX, WIDE, drawing, rect, shortened, width_of, words
from logbook.faces.report.models import Drawing
from logbook.faces.words.phrases import counted, date_text, sentence
from logbook.faces.words.prose import line
from logbook.services.light.day_light import DayPhases
from logbook.services.plans.planned_days import PlannedDay
from logbook.sky.phases import LightPhase, PhaseKind

GAP = 5.0  # between a window and its name
SHORTEST = 3.0  # width of the bar of a moment

_Window = tuple[str, datetime, datetime | None]  # name, from, to


def plan_strip(day: PlannedDay) -> Drawing | None:
    """Return the strip of a planned day; None where its light is not known."""
    if day.on_date is None or day.phases is None:
        return None
    light = day.phases
    windows = _windows(day, light)
    start, end = _ends(light, windows)
    shown = DayPhases(start, end, light.zone, tuple(_within(light.phases, start, end)))
    anchor = f"light-of-{day.on_date}"
    note = sentence(light_words(shown.phases, light.zone))
    title = f"The light of {date_text(day.on_date)}"
    said = f"{note} {sentence(counted(len(windows), 'planned window'))}"
    wide, narrow = (
        drawing(f"{anchor}-{word}", title, said, *_drawn(shown, windows, width), class_=f"strip {word}")
        for word, width in (("wide", WIDE), ("narrow", NARROW))
    )
    return Drawing(anchor, title, wide, narrow, note, ())


def _windows(day: PlannedDay, light: DayPhases) -> list[_Window]:
    assert day.on_date is not None
    found = []
    for shot in day.shots:
        ends_at = day.account.trip.day_ends_at
        zone = day.account.zone_on(day.on_date, shot.viewpoint_id) or light.zone
        first, last = instants_on(day.on_date, shot.window_from, shot.window_to, ends_at, zone)
        if (known := first or last) is not None:
            found.append((line(shot.title), known, last if first else None))
    return found


def _ends(light: DayPhases, windows: Sequence[_Window]) -> tuple[datetime, datetime]:
    """From shortly before to shortly after the day's twilights and all that is planned."""
    bright = [one for one in light.phases if one.kind is not PhaseKind.NIGHT]
    moments = [edge for one in bright for edge in (one.start, one.end)]
    moments += [at for _, first, last in windows for at in (first, last) if at is not None]
    if not moments:
        return light.start, light.end
    return max(min(moments) - HOUR / 2, light.start), min(max(moments) + HOUR / 2, light.end)


def _within(phases: Sequence[LightPhase], start: datetime, end: datetime) -> list[LightPhase]:
    return [
        LightPhase(one.kind, max(one.start, start), min(one.end, end))
        for one in phases
        if one.start < end and one.end > start
    ]


def _drawn(
    light: DayPhases, windows: Sequence[_Window], width: float
) -> tuple[tuple[float, float], list[Markup]]:
    left, right = 1.0, width - 1.0
    span = (light.end - light.start) / timedelta(seconds=1)

    def x(at: datetime) -> float:
        return min(left + (right - left) * ((at - light.start) / timedelta(seconds=1)) / span, right)

    marks = [*light_band(light.phases, x, 0), rect(left, 0, right - left, BAND, "frame")]
    top = BAND + ROW
    for name, first, last in windows:
        begin, end = x(first), max(x(last or first), x(first) + SHORTEST)
        marks.append(rect(begin, top + 3, end - begin, 8, "bar" if last else "bar open"))
        room_after = right - end - GAP
        if room_after >= min(width_of(name), begin - GAP):
            marks.append(words(shortened(name, room_after), end + GAP, top + TEXT_PX, "name"))
        else:
            marks.append(words(shortened(name, begin - GAP), begin - GAP, top + TEXT_PX, "name", "end"))
        top += ROW
    bottom = top
    key, depth = light_key(light.phases, left, right, top + 4)
    hours = hour_marks(light.start, light.end, light.zone, x, BAND, bottom, width)
    return (width, top + 4 + depth), [*hours, *marks, *key]
