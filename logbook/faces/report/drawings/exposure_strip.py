"""The light of the scene, picture by picture: what the camera was set for, and what the filters took.

One surprising decision: pictures stand side by side in their order and not on a scale of time, because a
day's pictures come in bunches; the times stand in the words below.
"""

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from math import ceil, floor

from markupsafe import Markup

from logbook.craft.marks import number_text
from logbook.domain.keeper import Keeper
from logbook.faces.report.drawings.svg import (
    NARROW,
    TEXT_PX,
    WIDE,
    Rows,
    drawing,
    element,
    line,
    rect,
    words,
)
from logbook.faces.report.frames import MeteredPicture, frames
from logbook.faces.report.models import Drawing
from logbook.faces.report.order import Order, day_of
from logbook.faces.words import prose
from logbook.faces.words.glass import filters_text
from logbook.faces.words.phrases import clock, counted, date_text, listed, sentence

LEFT, HIGH = 46.0, 112.0  # room for the scale; height of the scale
SLOT_LEAST, SLOT_MOST = 25.0, 52.0  # width of one picture; more pictures go on another row


def exposure_strip(order: Order, day: date) -> tuple[Drawing, ...]:
    """Return the strip of a day's exposures; () where fewer than two compare or none had a filter."""
    ends_at = order.account.trip.day_ends_at
    shown = [
        one
        for one in frames(order)
        if one.keeper.place_time and day_of(one.keeper.place_time, ends_at) == day
    ]
    if len(shown) < 2 or not any(one.keeper.filters for one in shown):
        return ()
    anchor = f"exposure-of-day-{order.days.index(day) + 1}"
    title = f"Exposure, {date_text(day)}"
    sets = _sets(order)
    said = tuple(_said(one, sets) for one in shown)
    unknown = [str(one.number) for one in shown if one.scene_ev100 is None]
    note = (
        "EV at ISO 100. A dot is the light of the scene; the bar below it is the light that the filters "
        "took. One more EV is twice the light."
    )
    if unknown:
        which = f"{'picture' if len(unknown) == 1 else 'pictures'} {listed(unknown)}"
        note += (
            f" A hollow dot shows the camera's setting alone: how much the filters took is unknown ({which})."
        )
    description = sentence(f"{counted(len(shown), 'picture')}; described in words below")
    wide, narrow = (
        drawing(f"{anchor}-{word}", title, description, *_drawn(shown, sets, width), class_=f"strip {word}")
        for word, width in (("wide", WIDE), ("narrow", NARROW))
    )
    return (Drawing(anchor, "Exposure and filters", wide, narrow, note, said),)


def _drawn(
    shown: Sequence[MeteredPicture], sets: dict[str, str], width: float
) -> tuple[tuple[float, float], list[Markup]]:
    values = [one.light.ev100 for one in shown]
    values += [one.scene_ev100 for one in shown if one.scene_ev100 is not None]
    low, high = floor(min(values) - 0.5), ceil(max(values) + 0.5)
    low, high = low - max(0, 4 - (high - low)), high  # pictures of one light still get a scale
    per_row = max(1, int((width - LEFT) // SLOT_LEAST))
    rows_needed = ceil(len(shown) / per_row)
    per_row = ceil(len(shown) / rows_needed)
    slot = min((width - LEFT) / per_row, SLOT_MOST)
    marks: list[Markup] = []
    top = 0.0
    for start in range(0, len(shown), per_row):
        panel, depth = _panel(shown[start : start + per_row], sets, (low, high), slot, width, top)
        marks += panel
        top += depth
    return (width, top), marks


def _panel(
    shown: Sequence[MeteredPicture],
    sets: dict[str, str],
    scale: tuple[int, int],
    slot: float,
    width: float,
    top: float,
) -> tuple[list[Markup], float]:
    low, high = scale
    begin = top
    marks: list[Markup] = []
    end = LEFT + slot * len(shown)
    told, depth = _runs([sets.get(one.keeper.id, "") for one in shown], slot, width, top, "set")
    marks += told
    top += depth + 6

    def y(ev100: float) -> float:
        return top + HIGH * (high - ev100) / (high - low)

    step = next(s for s in (1, 2, 4, 8, 16) if (high - low) / s <= 6 or s == 16)
    for ev100 in range(ceil(low / step) * step, high + 1, step):
        marks.append(line(LEFT, y(ev100), end, y(ev100), "grid"))
        marks.append(words(f"EV {ev100}".replace("-", "−"), LEFT - 6, y(ev100) + 4, "quiet", "end"))
    for index, one in enumerate(shown):
        x = LEFT + slot * (index + 0.5)
        if one.scene_ev100 is None:
            marks.append(element("circle", cx=x, cy=y(one.light.ev100), r=4.0, class_="hollow"))
        else:
            if abs(one.scene_ev100 - one.light.ev100) > 0.05:
                upper, lower = sorted((y(one.scene_ev100), y(one.light.ev100)))
                marks.append(rect(x - 2.5, upper, 5, lower - upper, "taken-off"))
            marks.append(element("circle", cx=x, cy=y(one.scene_ev100), r=4.0, class_="known"))
        marks.append(words(str(one.number), x, top + HIGH + TEXT_PX + 9, "word", "middle"))
    marks.append(words("Picture", 0, top + HIGH + TEXT_PX + 9, "quiet"))
    top += HIGH + TEXT_PX + 16
    told, depth = _runs([_filters(one.keeper) for one in shown], slot, width, top, "filters")
    marks += told
    return marks, top + depth + 10 - begin


def _runs(
    texts: Sequence[str], slot: float, width: float, top: float, class_: str
) -> tuple[list[Markup], float]:
    """Each run of equal words once, over a line that spans its pictures; "" draws nothing."""
    marks: list[Markup] = []
    rows = Rows(0, width)
    index = 0
    for text, run in groupby(texts):
        count = len(list(run))
        if text:
            left, right = LEFT + slot * index + 3, LEFT + slot * (index + count) - 3
            marks.append(line(left, top + 2, right, top + 2, class_))
            told, start, row = rows.place(text, (left + right) / 2)
            baseline = top + TEXT_PX + 5 + row * rows.height
            if row:
                marks.append(
                    line((left + right) / 2, top + 2, (left + right) / 2, baseline - TEXT_PX + 2, "lead")
                )
            marks.append(words(told, start, baseline, "word"))
        index += count
    return marks, rows.depth + 6 if marks else 0.0


def _sets(order: Order) -> dict[str, str]:
    """The word for the set that each picture belongs to, by keeper id."""
    return {key: str(one.kind) for one in order.account.sets for key in one.keeper_ids}


def _filters(keeper: Keeper) -> str:
    if keeper.filters is None:
        return "filters unknown"
    return filters_text(map(prose.line, keeper.filters)) or "no filter"


def _said(one: MeteredPicture, sets: dict[str, str]) -> str:
    at = f"{clock(one.keeper.place_time)}, " if one.keeper.place_time else ""
    origin = one.keeper.provenance_of("filters")
    guessed = f" ({origin})" if origin in ("assumed", "inferred") else ""
    held = f"set for EV {_ev(one.light.ev100)}, {_filters(one.keeper)}{guessed}"
    light = "" if one.scene_ev100 is None else f", so the scene had EV {_ev(one.scene_ev100)}"
    in_set = f"; part of a {sets[one.keeper.id]}" if one.keeper.id in sets else ""
    return sentence(f"{at}picture {one.number}: {held}{light}{in_set}")


def _ev(ev100: float) -> str:
    return number_text(ev100, 1).replace("-", "−")
