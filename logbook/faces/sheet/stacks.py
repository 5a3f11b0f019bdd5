"""The filter table: what the packed filters make of a bare time.

One surprising decision: of stacks that take the same light only the one with the fewest filters is shown,
because every glass more costs sharpness and corners.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from math import log2

from logbook.craft.exposure import dial_exposure
from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.filters import stack_stops, stack_text
from logbook.craft.marks import EXPOSURE_MAX_S, exact_exposure_s, exposure_text, number_text
from logbook.craft.reach import STACK_MAX
from logbook.faces.sheet.models import FilterRow, FilterTable, StackColumn
from logbook.faces.words.prose import line

COLUMNS_MAX = 7  # stacks that fit across a page in figures that can be read
MINUTES_FROM_S = 600  # s; half a minute in ten is 0.07 stops
BARE_S = (
    *(Fraction(1, n) for n in (1000, 500, 250, 125, 60, 30, 15, 8, 4, 2)), *map(Fraction, (1, 2, 4)),
)  # fmt: skip  # s; whole stops between a bright day and dusk


def filter_table(filters: Sequence[Filter]) -> FilterTable:
    """Return the table for these filters; it has no columns where none takes a known amount of light."""
    stacks = _stacks([one for one in filters if _takes_known_light(one)])
    columns = tuple(StackColumn(stack_text(stack), _stops_text(stack)) for stack in stacks)
    rows = tuple(
        FilterRow(exposure_text(bare), tuple(_with(bare, stack) for stack in stacks)) for bare in BARE_S
    )
    return FilterTable(columns, rows if columns else (), tuple(_notes(filters, stacks)))


def with_stack(bare_s: Fraction, stops: float) -> Fraction | None:
    """Return the marked time with so many stops in front of the lens: bare x 2^stops; None past 24 h."""
    needed = log2(exact_exposure_s(bare_s)) + stops
    return None if needed > log2(EXPOSURE_MAX_S) else dial_exposure(needed)


def watch_text(time_s: Fraction) -> str:
    """Return a time as it is set: past ten minutes nobody counts seconds."""
    return exposure_text(Fraction(round(time_s / 60) * 60) if time_s >= MINUTES_FROM_S else time_s)


def _with(bare_s: Fraction, stack: tuple[Filter, ...]) -> str | None:
    taken = stack_stops(stack).typical_stops
    time_s = None if taken is None else with_stack(bare_s, taken)
    return None if time_s is None else watch_text(time_s)


def _takes_known_light(one: Filter) -> bool:
    return bool(one.typical_stops) and one.kind is not FilterKind.GRADUATED


def _stacks(filters: Sequence[Filter]) -> list[tuple[Filter, ...]]:
    """Singles first, then what only two or three together reach; those with a polariser last of each.

    Two polarisers are no stack: together they make a variable filter, which nobody can reckon with.
    """
    possible = [stack for count in range(1, STACK_MAX + 1) for stack in combinations(filters, count)]
    possible = [stack for stack in possible if _polarisers(stack) < 2]
    possible.sort(key=lambda stack: (len(stack), _polarisers(stack), _stops(stack)))
    chosen: dict[float, tuple[Filter, ...]] = {}
    for stack in possible:
        if len(chosen) < COLUMNS_MAX:
            chosen.setdefault(round(_stops(stack) * 3), stack)  # alike within a third of a stop
    return sorted(chosen.values(), key=_stops)


def _polarisers(stack: tuple[Filter, ...]) -> int:
    return sum(one.kind is FilterKind.POLARISER for one in stack)


def _stops(stack: tuple[Filter, ...]) -> float:
    return stack_stops(stack).typical_stops or 0.0


def _stops_text(stack: tuple[Filter, ...]) -> str:
    taken = stack_stops(stack)
    text = number_text(taken.typical_stops or 0.0, 1)
    if taken.low_stops == taken.high_stops:
        return text
    low, high = (number_text(one or 0.0, 1) for one in (taken.low_stops, taken.high_stops))
    return f"{text} ({low}–{high})"


def _notes(filters: Sequence[Filter], stacks: Sequence[tuple[Filter, ...]]) -> list[str]:
    notes = []
    if any(one.kind is FilterKind.POLARISER for stack in stacks for one in stack):
        notes.append(
            "A polariser takes more or less light as it turns: the shutter speeds are for the usual amount."
        )
    if any(len(stack) > 1 for stack in stacks):
        notes.append("Two stacked filters may darken the corners below 28 mm, three below 50 mm.")
    for one in dict.fromkeys(filters):
        if one.kind is FilterKind.GRADUATED:
            notes.append(f"{one.working}.")
        elif one.kind is FilterKind.VARIABLE:
            notes.append(f"{one.working}: not in this table; meter with it on.")
        elif one.typical_stops is None:
            notes.append(f"{one.name}: its stops are unknown; meter with it on.")
    return [line(note) for note in notes]
