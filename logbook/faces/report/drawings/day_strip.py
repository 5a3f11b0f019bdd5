"""A day as a strip: the kinds of light, the visits, how many people were there, and when pictures were kept.

One surprising decision: the strip reaches from shortly before to shortly after what happened and the day's
twilights, not over 24 hours, so that the golden hours are wide enough to be read.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from markupsafe import Markup

from logbook.craft.minutes import clock_text
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import day_of, in_utc, instants_on, moment_on
from logbook.domain.horizon import horizon_text
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind
from logbook.faces.report.drawings.light_band import BAND, light_band, light_key
from logbook.faces.report.drawings.svg import (
    NARROW,
    TEXT_PX,
    WIDE,
    Rows,
    drawing,
    line,
    rect,
    shortened,
    width_of,
    words,
)
from logbook.faces.report.models import Drawing
from logbook.faces.report.order import Order
from logbook.faces.report.where import place_name
from logbook.faces.words.phrases import (
    clock,
    condition_text,
    counted,
    date_text,
    listed,
    sentence,
    window_text,
)
from logbook.services.light.day_light import DayPhases, day_light, sun_up
from logbook.services.light.stands import observer_at
from logbook.sky.phases import LightPhase, PhaseKind

HOUR = timedelta(hours=1)
WHOLE_DAY = 23 * HOUR  # the shortest that clocks make
THROUGHOUT = "throughout"
_DARK = (PhaseKind.NIGHT,)
_BRIGHT = (PhaseKind.DAY, PhaseKind.GOLDEN, PhaseKind.BLUE)
_TWILIGHTS = (PhaseKind.CIVIL, PhaseKind.NAUTICAL, PhaseKind.ASTRONOMICAL)
_SHORT = {PhaseKind.NIGHT: "night", PhaseKind.GOLDEN: "golden", PhaseKind.DAY: "day"}
ROW = 20.0  # height


@dataclass(frozen=True, slots=True)
class _Day:
    """What one strip shows, in instants (UTC)."""

    on_date: date
    zone: tzinfo
    start: datetime
    end: datetime
    phases: tuple[LightPhase, ...]
    visits: tuple[tuple[str, str, datetime | None, datetime | None], ...]  # name, times in words, from, to
    met: tuple[tuple[datetime | None, ConditionKind, str, str], ...]  # when, what, its level, where
    taken: tuple[tuple[datetime, int], ...]  # when, the picture's number
    suns: tuple[str, ...] = ()  # when the sun showed where a viewpoint's own horizon is known, in words


def day_strip(
    order: Order, day: date, visits: Sequence[Visit], met: Iterable[Condition]
) -> tuple[Drawing, ...]:
    """Return the strip of a day with its visits and what was met; () without any, or without known light."""
    keepers = [keeper for keeper in order.keepers if _on(order, keeper, day)]
    if (not visits and not keepers) or not order.account.counts(day):
        return ()
    shown = _gathered(order, day, visits, list(met), keepers)
    if not shown.phases:
        return ()
    anchor = f"light-of-day-{order.days.index(day) + 1}"
    title = f"The light of {date_text(day)}"
    said = tuple(_said(shown))
    note = " ".join(map(sentence, (light_words(shown.phases, shown.zone), *shown.suns)))
    description = sentence(
        f"{note} {counted(len(shown.visits), 'visit')}, {counted(len(shown.taken), 'picture')}; "
        "described in words below"
    )
    wide, narrow = (
        drawing(f"{anchor}-{word}", title, description, *_drawn(shown, width), class_=f"strip {word}")
        for word, width in (("wide", WIDE), ("narrow", NARROW))
    )
    return (Drawing(anchor, "Light and visits", wide, narrow, note, said),)


def light_of(order: Order, day: date) -> tuple[DayPhases | None, tzinfo]:
    """Return the light of a day at the first of its places that may be shown, and the clock it is read by."""
    trip = order.account.trip
    for viewpoint_id in _used(order, day):
        if found := order.account.position_at(viewpoint_id):
            clock = order.account.clock_on(day, viewpoint_id)
            zone = clock.zone if clock else None
            light = day_light(day, _rounded(found[0]), zone, trip.day_ends_at, order.limits)
            if light:
                return light, light.zone
    return None, order.account.zone_on(day) or UTC


def _used(order: Order, day: date) -> list[str]:
    """The viewpoints of a day's visits and pictures."""
    used = [visit.viewpoint_id for visit in order.visits_on(day)]
    return used + [one.viewpoint_id for one in order.keepers if one.viewpoint_id and _on(order, one, day)]


def _rounded(position: Position) -> Position:
    """A hundredth of a degree is seconds of light: enough here, and less than is drawn on any map."""
    return Position(round(position.latitude_deg, 2), round(position.longitude_deg, 2))


def _gathered(
    order: Order,
    day: date,
    visits: Sequence[Visit],
    met: list[Condition],
    keepers: list[Keeper],
) -> _Day:
    light, zone = light_of(order, day)
    ends_at = order.account.trip.day_ends_at
    told = [
        (
            place_name(order.account, visit.viewpoint_id) or "Somewhere",
            window_text(visit.arrived_at, visit.departed_at) or "time not noted",
            *instants_on(
                day,
                visit.arrived_at,
                visit.departed_at,
                ends_at,
                order.account.zone_on(day, visit.viewpoint_id) or zone,
            ),
        )
        for visit in visits
    ]
    levels = sorted(
        (
            (
                in_utc(
                    moment_on(day, one.at, ends_at),
                    order.account.zone_on(day, one.viewpoint_id, one.site_id) or zone,
                )
                if one.at
                else None,
                one.kind,
                one.level,
                place_name(order.account, one.viewpoint_id, one.site_id),
            )
            for one in met
            if one.level
        ),
        key=lambda one: str(one[0] or ""),
    )
    taken = [
        (one.taken_utc or in_utc(moment, zone), order.keeper_numbers[one.id])
        for one in keepers
        if (moment := one.place_time)
    ]
    moments = [at for one in told for at in one[2:] if at] + [at for at, _ in taken]
    moments += [at for at, *_ in levels if at]
    if light:
        bright = [one for one in light.phases if one.kind not in _DARK]
        moments += [edge for one in bright for edge in (one.start, one.end)]
    if not moments:
        six = in_utc(datetime.combine(day, time(6)), zone)
        moments = [six, six + 12 * HOUR]
    start, end = min(moments) - HOUR / 2, max(moments) + HOUR / 2
    if light:
        start, end = max(start, light.start), min(end, light.end)
    phases = tuple(
        LightPhase(one.kind, max(one.start, start), min(one.end, end))
        for one in (light.phases if light else ())
        if one.start < end and one.end > start
    )
    suns = tuple(_suns(order, day, zone))
    return _Day(day, zone, start, end, phases, tuple(told), tuple(levels), tuple(sorted(taken)), suns)


def _suns(order: Order, day: date, zone: tzinfo) -> Iterator[str]:
    """When the sun showed at each viewpoint of the day that has a horizon of its own and is shown exactly."""
    for viewpoint_id in dict.fromkeys(_used(order, day)):
        viewpoint, found = order.account.viewpoints.get(viewpoint_id), order.account.position_at(viewpoint_id)
        site = order.account.site_of(viewpoint_id)
        observer = observer_at(viewpoint, site)
        if viewpoint is None or found is None or found[1] or observer is None or observer.horizon_deg is None:
            continue
        begins = order.account.trip.day_ends_at
        spans = sun_up(day, _rounded(found[0]), observer.horizon_deg, zone, begins)
        if spans is None:
            continue
        over = horizon_text(viewpoint.horizon, observer.elevation_m)
        when = listed([span_words(a, b, zone) for a, b in spans])
        yield f"{place_name(order.account, viewpoint_id)}: sun over {over} {when or 'at no time'}"


def _drawn(day: _Day, width: float) -> tuple[tuple[float, float], list[Markup]]:
    left, right = 1.0, width - 1.0
    span = (day.end - day.start) / timedelta(seconds=1)

    def x(at: datetime) -> float:
        return left + (right - left) * ((at - day.start) / timedelta(seconds=1)) / span

    marks: list[Markup] = []
    rows = Rows(left, right)
    for phase in day.phases:
        if text := _SHORT.get(phase.kind):
            told, start, row = rows.place(text, (x(phase.start) + x(phase.end)) / 2)
            marks.append(words(told, start, TEXT_PX + row * rows.height, "quiet"))
    top = rows.depth + 3
    marks += light_band(day.phases, x, top)
    marks.append(rect(left, top, right - left, BAND, "frame"))
    top += BAND
    hours_at = top
    top += ROW
    for name, when, start_at, end_at in day.visits:
        marks += _visit(name, when, start_at, end_at, x, (left, right), top)
        top += 2 * ROW - 6
    for kind in dict.fromkeys(kind for _, kind, *_ in day.met):
        of = KINDS[kind]
        marks.append(words(of.drawn, left, top + TEXT_PX, "head"))
        top += ROW - 3
        rows = Rows(left, right)
        for at, met, level, _ in day.met:
            if at and met is kind:
                told, start, row = rows.place(of.drawn_as.get(level, level), x(at))
                marks.insert(0, line(x(at), top - 1, x(at), top + 3 + row * rows.height, "mark"))
                marks.append(words(told, start, top + TEXT_PX + 3 + row * rows.height, "word"))
        top += rows.depth + 6
    if day.taken:
        marks.append(words(f"Pictures kept: {len(day.taken)}", left, top + TEXT_PX, "head"))
        top += ROW - 2
        marks += [line(x(at), top, x(at), top + 12, "tick") for at, _ in day.taken]
        top += 16
    bottom = top
    key, depth = light_key(day.phases, left, right, top + 6)
    marks += key
    top += 6 + depth
    marks = [*hour_marks(day.start, day.end, day.zone, x, hours_at, bottom, width), *marks]
    return (width, top), marks


def _visit(
    name: str,
    when: str,
    start: datetime | None,
    end: datetime | None,
    x: Callable[[datetime], float],
    sides: tuple[float, float],
    top: float,
) -> Iterator[Markup]:
    left, right = sides
    known = start or end
    room = right - left
    tail = f" {when}"
    label = shortened(name, room - width_of(tail)) + tail
    middle = x(known) if known else left
    at = min(max(middle, left), right - width_of(label))
    yield words(label, at, top + TEXT_PX, "name")
    if known:
        first = x(start or known)
        last = min(x(end or known), right)  # a visit may last past the end of the day
        yield rect(first, top + TEXT_PX + 5, max(last - first, 3), 8, "bar" if start and end else "bar open")


def hour_marks(
    start: datetime,
    end: datetime,
    zone: tzinfo,
    x: Callable[[datetime], float],
    top: float,
    bottom: float,
    width: float,
) -> Iterator[Markup]:
    """Yield lines at full hours of the place's own clock, as many as have room, each with its word."""
    step = next(s for s in (1, 2, 3, 4, 6, 8, 12) if width / ((end - start) / HOUR) * s >= 44 or s == 12)
    at = start.replace(minute=0, second=0, microsecond=0)
    while at <= end:
        local = at.astimezone(zone)
        if at >= start and local.minute == 0 and local.hour % step == 0:
            yield line(x(at), top, x(at), bottom, "grid")
            if 16 <= x(at) <= width - 16:
                yield words(clock(local), x(at), top + TEXT_PX + 2, "quiet", "middle")
        at += HOUR / 4


def light_words(phases: Iterable[LightPhase], zone: tzinfo) -> str:
    """Return day, golden and blue hours as times of the place's clock; without any, the twilights."""
    said: dict[PhaseKind, list[str]] = {}
    for one in phases:
        said.setdefault(one.kind, []).append(span_words(one.start, one.end, zone))
    for order in (_BRIGHT, _TWILIGHTS):
        if told := "; ".join(f"{kind} {listed(said[kind])}" for kind in order if kind in said):
            return told
    return f"night {THROUGHOUT}"


def _said(day: _Day) -> Iterator[str]:
    for phase in day.phases:
        when = span_words(phase.start, phase.end, day.zone)
        yield sentence(f"{phase.kind} {when}" if when == THROUGHOUT else f"{when} {phase.kind}")
    yield from map(sentence, day.suns)
    for name, when, _, _ in day.visits:
        yield sentence(f"{name}: {when}")
    for at, kind, level, where in day.met:
        when = f"{clock(at.astimezone(day.zone))} " if at else ""
        yield sentence(f"{when}{condition_text(kind, level, None)}{f', {where}' if where else ''}")
    for at, number in day.taken:
        yield sentence(f"{clock(at.astimezone(day.zone))} picture {number}")


def span_words(start: datetime, end: datetime, zone: tzinfo) -> str:
    """Return a span to the nearest minutes of a clock: `17:20–18:45`; a whole day is not `04:00–04:00`."""
    begins, ends = (clock_text(at.astimezone(zone)) for at in (start, end))
    is_whole = end - start >= WHOLE_DAY and begins == ends  # 23 hours of a summer's day are no whole one
    return THROUGHOUT if is_whole else f"{begins}–{ends}"


def _on(order: Order, keeper: Keeper, day: date) -> bool:
    return keeper.place_time is not None and day_of(keeper.place_time, order.account.trip.day_ends_at) == day
