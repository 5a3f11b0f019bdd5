"""Whether somebody went to another place between two frames of which nothing shows where they were made.

One surprising decision: each kind of evidence speaks for or against within the same bounds, and what is
unknown says nothing, so that no single fact decides and a camera that writes little is judged by its pauses.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import exp, log2
from statistics import median

SHORTEST_WALK_S = 150.0  # s; to pack up, walk and set up again takes longer; own convention
NEAR_S = 120.0  # s; frames on one side of a pause that are looked at with the one next to it
ACT_S = 60.0  # s; frames no further apart are one act of exposing; own convention
MOST_NEAR = 3  # of these at most so many; own convention
# Weights of the evidence, as logarithms of odds; fitted by tests/trials/stays.py on days of its own.
W_ALWAYS = -5.55
W_PAUSE = 0.95  # for each doubling of the pause in minutes
W_RHYTHM = 0.7  # for each doubling of it against the day's rhythm
W_FOCAL, W_LIGHT, W_DIRECTION, W_PLAN = 0.8, 0.9, 2.0, 1.9
W_SERVED = 3.0  # not fitted: what serves plans for one place was made there; own convention
DECIDED = 0.5  # probability from which a border is drawn
FEW_ACTS = 6  # on a day; fewer have no rhythm, and their pauses decide nothing; own convention
DOUBTED = 0.2  # probability from which it is reported as doubtful


@dataclass(frozen=True, slots=True, kw_only=True)
class FramePlace:
    """One frame as far as it tells its place: what is unknown is None.

    `light_ev` is its exposure in EV less what the sun's height accounts for, `planned` the spot of the plan
    that it seems to serve.
    """

    at: datetime
    focal_mm: float | None = None
    light_ev: float | None = None
    direction_deg: float | None = None
    planned: str | None = None


@dataclass(frozen=True, slots=True)
class PlanWindow:
    """When one meant to be at a spot."""

    spot: str
    opens: datetime
    closes: datetime


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for a change of place in a pause: from -1, against it, to 1, for it; 0 is silent."""

    pause_s: float
    rhythm_s: float = 60.0  # between two acts of exposing on that day, on average
    focal: float = 0.0
    light: float = 0.0
    direction: float = 0.0
    plan: float = 0.0
    served: float = 0.0

    @property
    def probability(self) -> float:
        """How likely it is that the place changed."""
        if self.pause_s < SHORTEST_WALK_S:
            return 0.0
        odds = W_ALWAYS + W_PAUSE * log2(self.pause_s / 60) + W_RHYTHM * log2(self.pause_s / self.rhythm_s)
        odds += W_FOCAL * self.focal + W_LIGHT * self.light
        odds += W_DIRECTION * self.direction + W_PLAN * self.plan + W_SERVED * self.served
        return 1 / (1 + exp(-odds))

    @property
    def reason(self) -> str:
        """The pause, and what speaks for a change, in words."""
        told = {
            "another focal length": self.focal,
            "other light": self.light,
            "another direction": self.direction,
            "another planned place": max(self.plan, self.served),
        }
        words = [f"{self.pause_s / 60:.0f} min without a frame"]
        return ", ".join(words + [what for what, much in told.items() if much > 0.5])


def acts_of(moments: Sequence[datetime]) -> int:
    """Return how many acts of exposing moments in order of time are: frames of one minute are one."""
    return 1 + sum((after - before).total_seconds() > ACT_S for before, after in pairwise(moments))


def rhythm_of(moments: Sequence[datetime]) -> float:
    """Return how far apart the acts of a day are on average, in seconds.

    Of some days few pictures are kept: a pause is long only against the others.
    """
    span_s = (moments[-1] - moments[0]).total_seconds() if moments else 0.0
    return max(ACT_S, span_s / max(1, acts_of(moments) - 1))


def evidence(
    before: Sequence[FramePlace],
    after: Sequence[FramePlace],
    rhythm_s: float,
    windows: Sequence[PlanWindow] = (),
) -> Evidence:
    """Return what speaks for a change of place between two runs of frames in order of time."""
    last, first = before[-1].at, after[0].at
    pause_s = (first - last).total_seconds()
    if pause_s < SHORTEST_WALK_S:
        return Evidence(pause_s, rhythm_s)
    old, new = _near(before[::-1]), _near(after)
    return Evidence(
        pause_s,
        rhythm_s,
        focal=_focal(old, new),
        light=_light(old, new),
        direction=_direction(old, new),
        plan=_plan(last, first, windows),
        served=_apart(*({one.planned for one in side if one.planned} for side in (old, new))),
    )


def _near(scenes: Sequence[FramePlace]) -> list[FramePlace]:
    """The frame beside a pause and those close to it in time."""
    near = timedelta(seconds=NEAR_S)
    return [one for one in scenes[:MOST_NEAR] if abs(one.at - scenes[0].at) <= near]


def _focal(old: Sequence[FramePlace], new: Sequence[FramePlace]) -> float:
    apart = [
        abs(log2(one.focal_mm / other.focal_mm))
        for one in old
        for other in new
        if one.focal_mm and other.focal_mm
    ]
    return _between(min(apart), 0.1, 0.6) if apart else 0.0


def _light(old: Sequence[FramePlace], new: Sequence[FramePlace]) -> float:
    levels = [[one.light_ev for one in side if one.light_ev is not None] for side in (old, new)]
    return _between(abs(median(levels[0]) - median(levels[1])), 0.5, 2.5) if all(levels) else 0.0


def _direction(old: Sequence[FramePlace], new: Sequence[FramePlace]) -> float:
    apart = [
        abs((one.direction_deg - other.direction_deg + 180) % 360 - 180)
        for one in old
        for other in new
        if one.direction_deg is not None and other.direction_deg is not None
    ]
    return _between(min(apart), 20, 90) if apart else 0.0


def _plan(last: datetime, first: datetime, windows: Sequence[PlanWindow]) -> float:
    """Whether the plans for the two moments name one place or two; a window that opens meanwhile, half."""
    old, new = ({one.spot for one in windows if one.opens <= at <= one.closes} for at in (last, first))
    if old and new:
        return _apart(old, new)
    return 0.5 if new and any(last < one.opens <= first for one in windows) else 0.0


def _apart(old: Collection[str], new: Collection[str]) -> float:
    """Whether two sides name one place, -1, or two, 1."""
    return 0.0 if not old or not new else -1.0 if set(old) & set(new) else 1.0


def _between(value: float, low: float, high: float) -> float:
    """From -1 at the low end to 1 at the high end, and no further."""
    return max(-1.0, min(1.0, 2 * (value - low) / (high - low) - 1))
