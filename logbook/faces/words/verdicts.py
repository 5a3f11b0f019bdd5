"""How far light and filters are from what a picture needs, in words: for tables, pages and sheets alike."""

from typing import TYPE_CHECKING

from logbook.craft.marks import counted_stops, number_text

if TYPE_CHECKING:
    from logbook.craft.daylight import ExpectedLight
    from logbook.craft.feasible import Feasibility, Moment
    from logbook.craft.met_light import Witnesses
    from logbook.craft.reach import Reach


def feasibility_words(judged: "Feasibility") -> str:
    """A verdict as a table shows it: `feasible`, `2 stops too bright`, `doubtful, 1 stop too dark`."""
    word = str(judged.verdict)
    if not judged.off_stops:
        return word
    off = off_text(judged.off_stops)
    return f"{word}, {off}" if word == "doubtful" else off


def off_text(off_stops: float) -> str:
    """How far the light misses: `2 stops too bright`."""
    return f"{counted_stops(round(abs(off_stops), 1))} too {'bright' if off_stops > 0 else 'dark'}"


def range_text(light: "Moment | ExpectedLight", witnesses: "Witnesses | None") -> str:
    """The range in which the light may lie, and what that rests on: `clear sky, EV100 9.8 to 12.4`."""
    from logbook.craft.met_light import met_text

    low, high = (number_text(one, 1) for one in (light.low_ev100, light.high_ev100))
    rests_on = "clear sky" if witnesses is None else met_text(witnesses)
    return f"{rests_on}; EV100 {low} to {high}"


def reach_title(found: "Reach", wish: str, aperture: str) -> str:
    """The answer in one sentence."""
    from logbook.craft.exposure import same

    if found.short_stops and not same(found.short_stops):
        return f"{wish} at {aperture} is out of reach: {off_text(found.short_stops)}."
    if found.needed_stops < 0 and not same(found.needed_stops):
        return f"{wish} at {aperture} is out of reach: {off_text(found.needed_stops)}."
    needed = counted_stops(round(max(found.needed_stops, 0.0), 1))
    return f"{wish} at {aperture} is within reach: {needed} needed."
