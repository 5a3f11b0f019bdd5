"""The light of the day and what it makes of a wish, in words and figures."""

from collections.abc import Sequence

from logbook.craft.light import FrameSpan, LightDirection, spans_text
from logbook.craft.marks import counted_stops
from logbook.craft.minutes import clock_text
from logbook.craft.settings_text import exposed_text
from logbook.faces.before.models import BriefSection, BriefTable, Item
from logbook.faces.words.glass import filters_text, readable
from logbook.faces.words.phrases import sentence
from logbook.faces.words.prose import line
from logbook.faces.words.shots import feasibility_words, off_text
from logbook.faces.words.sky import eclipses_said, towards
from logbook.services.before import Before, Fall, Hour, ViewLight

VIEWS_SHOWN = 2  # columns beside the sun; more do not fit a terminal of 80


def light_section(found: Before) -> BriefSection:
    """Return when the sun does what, and how it falls on the views."""
    if found.unknown_light:
        return BriefSection("light", "Light", (), found.unknown_light)
    items = [_view(one) for one in found.light]
    focus = f"At {line(found.focus.title)}" if found.focus else "Here"
    moon = ""
    if found.light:
        phase = found.light[0].light.moon
        moon = f" Moon: {phase.name}, {phase.illuminated_fraction:.0%} lit."
        moon += "".join(f" {said}" for said in eclipses_said(found.light[0].light))
    note = (
        f"{focus}, {_horizon(found)}. Front light comes over your shoulder, back light into the lens; "
        f"degrees are from the direction of view.{moon}"
    )
    return BriefSection("light", "Light of the day", tuple(items), note, _hours(found.hours))


def _horizon(found: Before) -> str:
    """The horizon that the hours hold for: the focus's own, else a level one."""
    focus = found.focus
    stand = next(
        (one.light.standpoint for one in found.light if focus and one.viewpoint.id == focus.id), None
    )
    if stand is None or stand.observer.horizon_deg is None:
        text = "a level horizon" if stand is None else stand.horizon_text
        return f"for {text}; hills hide the sun earlier"
    return f"over {stand.horizon_text}"


def _view(one: ViewLight) -> Item:
    """Whether the sun comes into the frame of a view, and when."""
    light, facing = one.light, one.viewpoint.facing_deg
    frame = f"a {light.frame.focal_mm:.0f} mm frame"
    if facing is None:
        text = "direction unknown, so how the light falls is unknown too"
    elif light.sun_in_frame:
        zone = light.standpoint.zone
        local = [
            FrameSpan(span.enters.astimezone(zone), span.leaves.astimezone(zone))
            for span in light.sun_in_frame
        ]
        text = f"the sun is in {frame} {readable(spans_text(local))}: compose on the screen"
    else:
        text = f"the sun never enters {frame}"
    faces = "" if facing is None else f" (faces {towards(facing)})"
    over = "" if light.standpoint.horizon is None else f", over {light.standpoint.horizon_text}"
    return Item(line(one.viewpoint.title), sentence(text + faces + over), f"viewpoint {one.viewpoint.slug}")


def _hours(hours: Sequence[Hour]) -> BriefTable | None:
    if not hours:
        return None
    shown = hours[0].falls[:VIEWS_SHOWN]
    heads = ("", "at", "sun", *(line(fall.viewpoint.title) for fall in shown))
    rows = tuple(
        (
            str(one.name),
            clock_text(one.at),
            towards(one.azimuth_deg),
            *(_falls(fall) for fall in one.falls[:VIEWS_SHOWN]),
        )
        for one in hours
    )
    return BriefTable(heads, rows)


def _falls(fall: Fall) -> str:
    """How the light falls on a view: from where, and how far off its axis."""
    if fall.direction is None:
        return "sun down"
    if fall.direction is LightDirection.TOP:
        return str(fall.direction)
    side = "left" if fall.off_axis_deg < 0 else "right"
    return f"{fall.direction}, {abs(fall.off_axis_deg):.0f}° {side}"


def wish_sections(found: Before) -> tuple[BriefSection, ...]:
    """Return what the owned filters make of the wish, hour by hour; nothing where none was named."""
    wish = found.wish
    if wish is None:
        return ()
    heading = f"Your wish: {exposed_text(wish)}"
    if found.reached is None:
        return (BriefSection("wish", heading, (), found.no_reach or ""),)
    reached = found.reached
    items = [
        Item("verdict", f"{feasibility_words(reached.feasibility)}: {reason_words(found)}"),
        Item("possible", f"With what you own: {readable(spans_text(reached.possible)) or 'at no time'}."),
        Item("working", sentence(readable(reached.feasibility.working))),
    ]
    rows = tuple(_wish_row(one) for one in found.hours)
    owned = "; ".join(line(item.title) for item in found.owned if item.kind == "filter")  # titles hold commas
    note = f"Filters owned: {owned or 'none'}. Worked out for a clear sky; meter the light there."
    return (
        BriefSection(
            "wish",
            heading,
            tuple(items),
            note,
            BriefTable(("", "at", "needs", "with", "shutter speed"), rows),
        ),
    )


def reason_words(found: Before) -> str:
    """Why a wish is judged so; without a stated support nobody has judged how steady it is."""
    assert found.reached is not None
    assert found.wish is not None
    reason = readable(found.reached.feasibility.reason)
    if found.wish.support is not None:
        return sentence(reason)
    steady = "Add support and focal length to judge how steady it would be."
    return f"{sentence(reason.removesuffix(', any support'))} {steady}"


def _wish_row(one: Hour) -> tuple[str, ...]:
    reached = one.reached
    assert reached is not None
    best = reached.best
    needs = _stops(reached.needed_stops)
    if reached.needed_stops < 0:
        needs = f"{_stops(-reached.needed_stops)} too dark"
    with_it = filters_text(one.name for one in best.filters) if best.filters else "no filter"
    short = "" if reached.choices else f", {off_text(reached.short_stops)}"
    return (str(one.name), clock_text(one.at), needs, with_it, f"{best.time_text}{short}")


def _stops(stops: float) -> str:
    return counted_stops(round(stops, 1))
