"""What each explanation of a jump in exposure costs, in nats: less is more likely.

One surprising decision: no cost of changing light grows without end. Past a cap something else happened
(another scene, a lamp, a test frame), and a filter that explains half a jump must not win by that.
"""

import math
from collections.abc import Sequence

from logbook.craft.filters import FilterKind
from logbook.craft.inference.daylight import open_sky_ev100
from logbook.craft.inference.frames import Framing, framing_between
from logbook.craft.inference.stacks import Alphabet, Stack, moved, occam_nats
from logbook.craft.inference.steps import Step

# How fast light changes where the sun's height is unknown. Just before sunset a scene is EV 12 to 14 (ANSI
# PH2.7-1986, as encyclopedias table it). From sunset to the end of civil twilight light falls from 410..585
# lx to 2..3.5 lx (AMS Glossary of Meteorology), 7.5 stops, in 24 min where the sun sinks straight down:
# 0.3 stops a minute, and more after that.
DIM_EV100, BRIGHT_EV100 = 10.0, 14.0  # EV at ISO 100; between them the pace is interpolated
DIM_PACE, BRIGHT_PACE = 0.4, 0.05  # stops a minute
SLOPE_LOW, SLOPE_HIGH = 0.6, 1.4  # a scene may follow the open sky less or more (chosen on trials)
LAMPS_BELOW_DEG = -7.0  # degrees; lower, lamps and the moon may keep the light up
CLOUD_STOPS, CLOUD_MIN = 0.8, 10.0  # deviation by clouds in stops, reached in so many minutes (by trials)
SUNLIT_EV100 = 16.0  # EV at ISO 100; sand or snow in full sun, the brightest scene (ANSI PH2.7-1986)
SUNLIT_SLACK = 0.75  # stops; metering and specular light above that
FRAMING_STOPS = {Framing.SAME: 0.25, Framing.NEAR: 0.8, Framing.OTHER: 2.0}  # deviation (chosen on trials)
UNKNOWN_PLACE_STOPS = 1.0  # deviation where no viewpoint is known

# What people do, in nats; chosen on simulated days (tests/truth/test_inference_days.py).
CHANGE_NATS = 1.6  # any change of filters
MOVE_NATS = 1.0  # each filter put on or taken off
WORN_NATS = 1.4  # each filter already on when a chain of frames begins
LIGHT_CAP_NATS = 10.0  # past this something else happened


def pace(scene_ev100: float) -> float:
    """Return how fast light may steadily change at this scene EV100, in stops a minute."""
    share = (BRIGHT_EV100 - scene_ev100) / (BRIGHT_EV100 - DIM_EV100)
    return BRIGHT_PACE + min(1.0, max(0.0, share)) * (DIM_PACE - BRIGHT_PACE)


def free_change(before: Step, after: Step, scene_ev100: float) -> tuple[float, float]:
    """Return the change of light that costs nothing, low and high in stops: by the sun's heights if known."""
    minutes = minutes_between(before, after)
    first, second = before.last.sun_height_deg, after.first.sun_height_deg
    if first is None or second is None:
        free = pace(scene_ev100) * minutes
        return -free, free
    change = open_sky_ev100(second) - open_sky_ev100(first)
    least = 0.0 if min(first, second) < LAMPS_BELOW_DEG else SLOPE_LOW * change
    ends = (least, SLOPE_HIGH * change)
    return min(ends) - BRIGHT_PACE * minutes, max(ends) + BRIGHT_PACE * minutes


def jump_deviation(before: Step, after: Step) -> float:
    """Return the standard deviation in stops of what noise, clouds and framing do between two steps."""
    clouds = CLOUD_STOPS**2 * (1 - math.exp(-minutes_between(before, after) / CLOUD_MIN))
    framing = FRAMING_STOPS[framing_between(before.last, after.first)] ** 2
    place = UNKNOWN_PLACE_STOPS**2 if after.first.viewpoint is None else 0.0
    return math.sqrt(before.variance + after.variance + clouds + framing + place)


def minutes_between(before: Step, after: Step) -> float:
    """Return the minutes between two steps, from the middle of one exposure to the middle of the next."""
    middles = [frame.at_s + (frame.exposure_s or 0.0) / 2 for frame in (before.last, after.first)]
    return max(0.0, middles[1] - middles[0]) / 60


def light_nats(low: float, high: float, free: tuple[float, float], deviation: float) -> float:
    """Return the cost of a change of scene light that lies in low..high stops.

    Within `free` it costs nothing; beyond, a normal deviation, capped.
    """
    excess = max(0.0, low - free[1], free[0] - high) / deviation
    return min(LIGHT_CAP_NATS, excess * excess / 2)


def sunlit_nats(settings_ev100: float, stack: Stack) -> float:
    """Return what a scene brighter than sunlit snow costs; a weaker stack would not need it."""
    excess = max(0.0, settings_ev100 + stack.low - SUNLIT_EV100) / SUNLIT_SLACK
    return min(LIGHT_CAP_NATS, excess * excess / 2)


class Moves:
    """Every move between two stacks: stops lost (low, high) and its cost in nats, worked out once."""

    def __init__(self, letters: Alphabet) -> None:
        """Work out all pairs of the alphabet's stacks."""
        self.letters = letters
        self.table = [[self._move(a, b) for b in letters.stacks] for a in letters.stacks]

    def _move(self, first: Stack, second: Stack) -> tuple[float, float, float]:
        items = self.letters.filters
        if first is second:  # kept on; a variable filter may be turned
            turned = [i for i in first.parts if items[i].kind is FilterKind.VARIABLE]
            width = math.fsum((items[i].high_stops or 0.0) - (items[i].low_stops or 0.0) for i in turned)
            nats = CHANGE_NATS + MOVE_NATS * len(turned) + occam_nats(items, turned)
            return (-width, width, nats) if turned else (0.0, 0.0, 0.0)
        off, on = moved(first, second)
        low = math.fsum(items[i].low_stops or 0.0 for i in on) - math.fsum(
            items[i].high_stops or 0.0 for i in off
        )
        high = math.fsum(items[i].high_stops or 0.0 for i in on) - math.fsum(
            items[i].low_stops or 0.0 for i in off
        )
        return low, high, CHANGE_NATS + MOVE_NATS * len(off | on) + occam_nats(items, off | on)

    def costs(self, before: Step, after: Step) -> tuple[Sequence[Sequence[float]], Sequence[float]]:
        """Return the costs from each stack (rows) to each, and those of keeping each stack as it is."""
        jump, deviation = after.ev100 - before.ev100, jump_deviation(before, after)
        rows, kept = [], []
        scale = 0.5 / (deviation * deviation)
        for index, (stack, moves) in enumerate(zip(self.letters.stacks, self.table, strict=True)):
            free = free_change(before, after, before.ev100 + stack.middle)
            below, above = jump - free[1], free[0] - jump
            row = []
            for low, high, nats in moves:  # light_nats, written out: this is the innermost loop
                excess = low + below
                if above - high > excess:
                    excess = above - high
                if excess > 0:
                    light = excess * excess * scale
                    row.append(nats + (light if light < LIGHT_CAP_NATS else LIGHT_CAP_NATS))
                else:
                    row.append(nats)
            keep = light_nats(jump, jump, free, deviation)
            kept.append(keep)
            # without a variable filter there is no other way of staying: equal to the last bit
            row[index] = min(row[index], keep) if moves[index][2] else keep
            rows.append(row)
        return rows, kept
