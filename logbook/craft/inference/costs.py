"""What each explanation of a jump in exposure costs, in nats: less is more likely.

One surprising decision: no cost of changing light grows without end. Past a few deviations something else
happened (another scene, a lamp, a test frame), and then the new light is as likely as any light of that hour;
a filter that explains half a jump must not win by that.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, fsum, log, pi, sqrt
from operator import add, itemgetter

from logbook.craft.expected_light import ExpectedLight, expected_light
from logbook.craft.filter_types import FilterKind
from logbook.craft.illuminance import metered_ev100, sun_illuminance
from logbook.craft.inference.frames import Frame, Framing, framing_between
from logbook.craft.inference.stacks import Alphabet, FilterStack, moved, occam_nats
from logbook.craft.inference.steps import Step

# How fast light changes where the sun's height is unknown. Just before sunset a scene is EV 12 to 14 (ANSI
# PH2.7-1986, as encyclopedias table it). From sunset to the end of civil twilight light falls from 410..585
# lx to 2..3.5 lx (AMS Glossary of Meteorology), 7.5 stops, in 24 min where the sun sinks straight down:
# 0.3 stops a minute, and more after that.
DIM_EV100, BRIGHT_EV100 = 10.0, 14.0  # EV at ISO 100; between them the pace is interpolated
DIM_PACE, BRIGHT_PACE = 0.3, 0.03  # stops a minute; the deviation of the change
SLOPE_SHARE = 0.25  # deviation of how a scene follows the open sky, as a share of its change (by trials)
LAMPS_BELOW_DEG = -7.0  # degrees; lower, lamps and the moon may keep the light up
CLOUD_STOPS, CLOUD_MIN = 0.5, 10.0  # deviation by clouds in stops, reached in so many minutes (by trials)
FRAMING_STOPS = {Framing.SAME: 0.3, Framing.NEAR: 0.8, Framing.OTHER: 1.1}  # deviation (chosen on trials)
UNKNOWN_PLACE_STOPS = 0.8  # deviation where no viewpoint is known
# How light changes between two frames: mostly as above, at times a cloud's edge or a small turn nobody wrote
# down, seldom to what has nothing to do with the frame before; shares of pairs (chosen on trials)
LEAPS, LEAP_STOPS = 0.07, 1.2
ANYTHING = 0.003
ANY_DENSITY = 1 / 20  # a stop; of light where nothing tells what to expect
MARK_SHARE = 0.04  # deviation of a filter from its mark, as a share of its stops (common practice, no source)

SUNLIT_EV100 = 16.0  # EV at ISO 100; sand or snow in full sun, the brightest scene (ANSI PH2.7-1986)
SUNLIT_SLACK = 0.75  # stops; metering and specular light above that
# How far a place lies from what is expected: the expectation's own range, but no less than half a stop, and
# clouds and walls make it darker (common practice, no source)
LEAST_STOPS, SHADED_STOPS = 0.5, 1.0
SUNLIT_CAP_NATS = 10.0  # past this something else happened, such as a wrong clock

_NORMAL = 1 / sqrt(2 * pi)

# What people do, in nats; chosen on simulated days (tests/truth/test_inference_days.py).
CHANGE_NATS = 1.6  # any change of filters
MOVE_NATS = 1.0  # each filter put on or taken off
WORN_NATS = 1.4  # each filter already on when a chain of frames begins


@dataclass(frozen=True, slots=True)
class LightChange:
    """A change of scene light that is to be expected between two steps: its middle and variance, in stops."""

    stops: float
    variance: float


def pace(scene_ev100: float) -> float:
    """Return how fast light may steadily change at this scene EV100, in stops a minute; by two stops."""
    share = round((BRIGHT_EV100 - scene_ev100) / (BRIGHT_EV100 - DIM_EV100) * 2) / 2
    return BRIGHT_PACE + min(1.0, max(0.0, share)) * (DIM_PACE - BRIGHT_PACE)


def sunny_change(before: Frame, after: Frame) -> LightChange | None:
    """Return what the sun does to the light between two frames; None where the sun's height is unknown.

    An eclipse counts as far as the frames' expected light knows of one.
    """
    first, second = before.sun_height_deg, after.sun_height_deg
    if first is None or second is None:
        return None
    stops = _open_sky(second) - _eclipsed(after) - _open_sky(first) + _eclipsed(before)
    if min(first, second) < LAMPS_BELOW_DEG:
        return LightChange(stops / 2, (stops / 2) ** 2)
    return LightChange(stops, (SLOPE_SHARE * stops) ** 2)


def _eclipsed(frame: Frame) -> float:
    dimming = frame.expected and frame.expected.dimming
    return dimming.stops if dimming else 0.0


def _open_sky(height_deg: float) -> float:
    return metered_ev100(sun_illuminance(round(height_deg, 2)).ground_lx)


def jump_variance(before: Step, after: Step) -> float:
    """Return the variance in stops squared of what noise, clouds and framing do between two steps."""
    clouds = CLOUD_STOPS**2 * (1 - exp(-minutes_between(before, after) / CLOUD_MIN))
    framing = FRAMING_STOPS[framing_between(before.last, after.first)] ** 2
    place = UNKNOWN_PLACE_STOPS**2 if after.first.viewpoint is None else 0.0
    return before.variance + after.variance + clouds + framing + place


def minutes_between(before: Step, after: Step) -> float:
    """Return the minutes between two steps, from the middle of one exposure to the middle of the next."""
    middles = [frame.at_s + (frame.exposure_s or 0.0) / 2 for frame in (before.last, after.first)]
    return max(0.0, middles[1] - middles[0]) / 60


def _normal(off: float, deviation: float) -> float:
    """The density of a normal deviation."""
    return _NORMAL * exp(-(off * off) / (2 * deviation * deviation)) / deviation


def level_density(step: Step, stack: FilterStack) -> float:
    """Return how likely the scene's light is behind this stack, a stop, by the place's own light alone."""
    expected = _expected(step.first)
    if expected is None:
        return ANY_DENSITY
    off = step.ev100 + stack.middle - expected.scene_ev100
    brighter = max(LEAST_STOPS, expected.high_ev100 - expected.scene_ev100)
    darker = max(LEAST_STOPS, expected.scene_ev100 - expected.low_ev100) + SHADED_STOPS
    stops = brighter if off > 0 else darker
    return _normal(off, stops) * 2 * stops / (brighter + darker)


def sunlit_nats(step: Step, stack: FilterStack) -> float:
    """Return what a scene costs that is brighter than can be; a weaker stack would not need it."""
    expected = _expected(step.first)
    limit = SUNLIT_EV100 if expected is None else min(SUNLIT_EV100, expected.high_ev100 + SUNLIT_SLACK)
    above = max(0.0, step.ev100 + stack.low - limit) / SUNLIT_SLACK
    return min(SUNLIT_CAP_NATS, above * above / 2)


def first_nats(step: Step, stack: FilterStack) -> float:
    """Return what a stack costs where a chain begins: filters put on already, and the light behind them."""
    light = -log(max(1e-6, level_density(step, stack)) / ANY_DENSITY)
    return WORN_NATS * len(stack.parts) + light


def _expected(frame: Frame) -> ExpectedLight | None:
    """The place's own light as the caller knows it, else what the sun's height makes of any view."""
    if frame.expected is not None or frame.sun_height_deg is None:
        return frame.expected
    return expected_light(round(frame.sun_height_deg, 1))


@dataclass(frozen=True, slots=True)
class Move:
    """Stops that a move between two stacks takes, as a range with a variance: filters are off their marks."""

    low: float
    high: float
    variance: float


class Moves:
    """Every move between two stacks: stops lost, and what people pay for making it, worked out once."""

    def __init__(self, letters: Alphabet) -> None:
        """Work out all pairs of the alphabet's stacks; few of them differ in stops."""
        self.letters = letters
        places: dict[Move, int] = {Move(0.0, 0.0, 0.0): 0}
        table = [
            [
                (places.setdefault(move, len(places)), nats)
                for move, nats in (self._move(a, b) for b in letters.stacks)
            ]
            for a in letters.stacks
        ]
        self.nats = [[nats for _, nats in row] for row in table]
        self._picks = [itemgetter(*(kind for kind, _ in row)) for row in table]
        self.ranges = tuple((move.low, move.high, move.variance) for move in places)
        self.variances = {move.variance for move in places}

    def _move(self, first: FilterStack, second: FilterStack) -> tuple[Move, float]:
        items = self.letters.filters
        if first is second:  # kept on; a variable filter may be turned
            turned = [i for i in first.parts if items[i].kind is FilterKind.VARIABLE]
            width = fsum((items[i].high_stops or 0.0) - (items[i].low_stops or 0.0) for i in turned)
            nats = CHANGE_NATS + MOVE_NATS * len(turned) + occam_nats(items, turned)
            return Move(-width, width, 0.0), nats if turned else 0.0
        off, on = moved(first, second)
        ends = [[(items[i].low_stops or 0.0, items[i].high_stops or 0.0) for i in side] for side in (on, off)]
        low = fsum(one[0] for one in ends[0]) - fsum(one[1] for one in ends[1])
        high = fsum(one[1] for one in ends[0]) - fsum(one[0] for one in ends[1])
        variance = round(sqrt(fsum((MARK_SHARE * one[1]) ** 2 for side in ends for one in side)), 1) ** 2
        nats = CHANGE_NATS + MOVE_NATS * len(off | on) + occam_nats(items, off | on)
        return Move(low, high, variance), nats

    def costs(self, before: Step, after: Step) -> tuple[Sequence[Sequence[float]], Sequence[float]]:
        """Return the costs from each stack (rows) to each, and those of keeping each stack as it is."""
        jump, variance = after.ev100 - before.ev100, jump_variance(before, after)
        sunny, minutes = sunny_change(before.last, after.first), minutes_between(before, after)
        anything = [ANYTHING * level_density(after, stack) for stack in self.letters.stacks]
        tables: dict[LightChange, tuple[list[float], float]] = {}
        rows, kept = [], []
        for index, (stack, picks, paid) in enumerate(
            zip(self.letters.stacks, self._picks, self.nats, strict=True)
        ):
            expected = sunny or LightChange(0.0, (pace(before.ev100 + stack.middle) * minutes) ** 2)
            if expected not in tables:
                tables[expected] = self._densities(jump, expected, variance)
            light, best = tables[expected]
            # this and _densities are the innermost loops
            likely = map(log, map(add, picks(light), anything))
            row = list(map(add, map(best.__sub__, likely), paid))
            stayed = best - log(light[0] + anything[index])
            kept.append(stayed)
            # without a variable filter there is no other way of staying: equal to the last bit
            row[index] = min(row[index], stayed) if paid[index] else stayed
            rows.append(row)
        return rows, kept

    def _densities(self, jump: float, expected: LightChange, variance: float) -> tuple[list[float], float]:
        """How likely the jump is with each kind of move, and the logarithm of the likeliest there could be.

        A filter off its mark explains more, and thinner.
        """
        change, variance = jump - expected.stops, variance + expected.variance
        terms = {}
        for own in self.variances:
            narrow, wide = variance + own, variance + own + LEAP_STOPS * LEAP_STOPS
            usual, leap = (1.0 - LEAPS) * _NORMAL / sqrt(narrow), LEAPS * _NORMAL / sqrt(wide)
            terms[own] = usual, -0.5 / narrow, leap, -0.5 / wide
        found = []
        for low, high, own in self.ranges:
            off = change + low
            if off < 0.0:
                off = change + high
                if off > 0.0:
                    off = 0.0
            square = off * off
            usual, by_narrow, leap, by_wide = terms[own]
            found.append(usual * exp(square * by_narrow) + leap * exp(square * by_wide))
        return found, log(_NORMAL / sqrt(variance))

    def left_to_light(self, between: Sequence[Sequence[float]], source: int, target: int) -> float:
        """Return what a move leaves to light and noise, of its cost."""
        return between[source][target] - self.nats[source][target]
