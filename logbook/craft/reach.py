"""Which of the owned filters turn a scene's light into a wished exposure time.

One surprising decision: only filters whose stops are known count, and a variable filter counts as the value
in its range that comes nearest to what is needed.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from logbook.craft.exposure import Settings, dial_exposure, ev100, same, time_value
from logbook.craft.filter_types import Filter
from logbook.craft.filters import stack_text
from logbook.craft.marks import (
    EXPOSURE_MAX_S,
    EXPOSURE_MIN_S,
    counted_stops,
    ended_exposure_text,
    number_text,
)
from logbook.craft.settings_text import APERTURE_FIRST, settings_told

STACK_MAX = 3  # filters on one lens; more vignette and soften (common practice, no source)
CHOICES_MAX = 8  # stacks; more than anybody weighs up


@dataclass(frozen=True, slots=True)
class Choice:
    """One stack of owned filters, its stops and its time; `beyond_stops` > 0 is longer than wished.

    A time that no dial has and no day lasts is the shortest or the longest there is; `beyond_stops` stays
    exact.
    """

    filters: tuple[Filter, ...]
    stops: float
    exposure_s: Fraction
    beyond_stops: float

    @property
    def time_text(self) -> str:
        """The time in words: `4 s`, `24 h or more`."""
        return ended_exposure_text(self.exposure_s)

    @property
    def reaches(self) -> bool:
        """Whether the time is at least as long as wished, within a third of a stop."""
        return self.beyond_stops >= 0 or same(self.beyond_stops)


@dataclass(frozen=True, slots=True)
class Reach:
    """Whether a wished time can be had: stops needed, stops short (0 when reached), choices best first.

    `needed_stops` below 0: the scene is too dark, and even without filters the time is longer than wished.
    `scene_limit_ev100` is the brightest scene in which the strongest stack still gives the wish.
    """

    needed_stops: float
    short_stops: float
    strongest_stops: float
    scene_limit_ev100: float
    choices: tuple[Choice, ...]
    nearest: Choice
    working: str

    @property
    def best(self) -> Choice:
        """The nearest stack that reaches the wish; where none does, the nearest."""
        return self.choices[0] if self.choices else self.nearest


def reach(
    wish: Settings, scene_ev100: float, owned: Sequence[Filter], *, stack_max: int = STACK_MAX
) -> Reach:
    """Return what the owned filters can do for the wished settings in a scene of this EV at ISO 100.

    `wish` gives aperture, time and ISO; its filters are not used. List a filter twice when two are owned.
    `choices` are the stacks that reach the wish, nearest first, then fewest filters; `nearest` may not.
    """
    wish_ev = ev100(wish.f_number, wish.exposure_s, wish.iso)
    needed = scene_ev100 - wish_ev
    bare = -time_value(wish.exposure_s) - needed  # log2 of the time in s without any filter
    usable = [item for item in owned if _counts(item)]
    stacks: dict[tuple[str, ...], tuple[Filter, ...]] = {}
    for count in range(min(stack_max, len(usable)) + 1):
        for stack in combinations(usable, count):
            stacks.setdefault(tuple(sorted(item.name for item in stack)), stack)
    possible = (_choice(stack, needed, bare) for stack in stacks.values())
    every = sorted(
        (choice for choice in possible if choice),
        key=lambda choice: (round(abs(choice.beyond_stops), 2), len(choice.filters)),
    )
    strongest = max(sum(_most(item) for item in stack) for stack in stacks.values())
    short = max(0.0, -max(choice.beyond_stops for choice in every))
    reaching = tuple(choice for choice in every if choice.reaches)[:CHOICES_MAX]
    working = (
        f"scene EV100 {number_text(scene_ev100)} − "
        f"{', '.join(settings_told(wish, APERTURE_FIRST, dialled=True))} (EV100 {number_text(wish_ev)}) = "
        f"{counted_stops(needed)} needed; {_outcome(needed, short, strongest, every[0])}"
    )
    return Reach(needed, short, strongest, wish_ev + strongest, reaching, every[0], working)


def _counts(item: Filter) -> bool:
    """Whether a filter takes a known amount of light from the whole scene."""
    return item.type.dims and item.low_stops is not None and item.high_stops is not None


def _most(item: Filter) -> float:
    """The stops a filter is counted on for: the typical value, or the top of a variable range."""
    return (item.high_stops or 0.0) if item.typical_stops is None else item.typical_stops


def _least(item: Filter) -> float:
    return (item.low_stops or 0.0) if item.typical_stops is None else item.typical_stops


def _choice(stack: tuple[Filter, ...], needed: float, bare: float) -> Choice | None:
    """What a stack gives; None when it takes more light than the longest time gathers."""
    least, most = sum(_least(item) for item in stack), sum(_most(item) for item in stack)
    stops = min(max(needed, least), most)
    if stack and bare + stops > _LONGEST:
        return None
    time_s = dial_exposure(min(max(bare + stops, _SHORTEST), _LONGEST))
    return Choice(stack, stops, time_s, stops - needed)


_SHORTEST, _LONGEST = math.log2(EXPOSURE_MIN_S), math.log2(EXPOSURE_MAX_S)  # of the time in s


def _outcome(needed: float, short: float, strongest: float, nearest: Choice) -> str:
    time = nearest.time_text
    given = f"{stack_text(nearest.filters)} gives {time}"
    if needed < 0 and not same(needed):
        dark = f"the scene is {counted_stops(-needed)} too dark for these settings"
        return f"{dark}; without filters it takes {time}"
    if short and not same(short):
        return (
            f"the strongest stack gives {counted_stops(strongest)}, {number_text(short)} short; {given}; "
            "stop down, lower the ISO or wait for less light"
        )
    return given
