"""How well the stays of a day are told apart: simulated days whose places are known.

Run: python -m tests.trials.stays [--days N] [--fit]

A day has three to seven places. One walks from each to the next for 3 to 60 minutes, stays 8 to 140 minutes
and works in bouts: single frames, bursts, brackets; in between one waits, for light sometimes half an hour.
Each place has focal lengths and a brightness of its own, the neighbour's often the same or nearly so; a
filter may come on within a stay, clouds wander. Plans name a window for some of the places, and hold partly:
one comes late, early, or leaves a place out. The camera may write positions for all frames, for some, or for
none, and a direction or none. Of some days all frames are keepers, of others few are selected. What the
simulator knows of places is kept beside the frames.

Measures
- A *true border* lies between the last frame of a stay and the first of the next.
- It is *found* where one proposed visit ends and the next begins within two minutes of these two frames, and
  *doubted* where it is not found but named as doubtful there.
- A *false cut* is a proposed border within a stay; a *false doubt* likewise.

The figures are of seeds from FIRST_SEED on; the weights of `logbook.craft.borders` were fitted, by `--fit`,
on days before it.
"""

import argparse
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from itertools import accumulate, pairwise, product
from math import cos, radians

from logbook.craft.borders import ACT_S, Evidence, FramePlace, PlanWindow, evidence, rhythm_of
from logbook.craft.stays import FrameTrace, ProposedVisit, propose_visits

FIRST_SEED = 500_000
NEAR = timedelta(minutes=2)
DAY_BEGINS = datetime(2031, 10, 14, 5, 0, tzinfo=UTC)
DEGREE_M = 111_195.0  # m; a degree of latitude on the mean sphere
SHARES = (1.0, 0.3, 0.1, 0.04)  # of the acts of a day that are kept
NEVER = 2.0  # no probability is as high: nothing but positions and long pauses parts visits
EASTWARD = cos(radians(47.0))  # a degree of longitude there, against one of latitude
ACTS = {"one": (0.0,), "burst": (0.0,) * 5, "bracket": (0.0, -2.0, 2.0)}  # stops of each frame of an act
FOCALS_MM = (14.0, 16.0, 20.0, 24.0, 28.0, 35.0, 50.0, 70.0, 85.0, 105.0, 135.0, 200.0, 300.0)


class Writes(StrEnum):
    """What the camera writes of where it is."""

    NOTHING = "no positions"
    SOME = "positions of every fourth frame"
    ALL = "positions"


@dataclass(frozen=True, slots=True)
class Spot:
    """A viewpoint of the book."""

    key: str
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True)
class SimulatedDay:
    """Frames in order of time, the place of each, what was planned, and the viewpoints of the book."""

    frames: tuple[FrameTrace, ...]
    places: tuple[str, ...]
    windows: tuple[PlanWindow, ...]
    spots: tuple[Spot, ...]


def simulated_day(seed: int, writes: Writes, kept: float = 1.0) -> SimulatedDay:
    """Return one day, of which a share of the acts is kept; else the same seed gives the same day."""
    rng = random.Random(seed)
    spots = tuple(
        Spot(f"place-{number}", 47.0 + rng.uniform(-0.05, 0.05), 12.0 + rng.uniform(-0.08, 0.08))
        for number in range(rng.randint(3, 7))
    )
    at = DAY_BEGINS + timedelta(minutes=rng.uniform(0, 240))
    focals, bright = rng.sample(FOCALS_MM, 2), 0.0
    has_direction, is_planner = rng.random() < 0.2, rng.random() < 0.7
    frames: list[FrameTrace] = []
    places: list[str] = []
    windows: list[PlanWindow] = []
    for spot in spots:
        if rng.random() < 0.7:
            focals = rng.sample(FOCALS_MM, rng.randint(1, 3))
        if rng.random() < 0.75:
            bright = rng.gauss(0, 1.3)
        arrived = at
        for frame, moment in _stay(rng, at, focals, bright, has_direction=has_direction):
            has_place = writes is Writes.ALL or (writes is Writes.SOME and len(frames) % 4 == 0)
            north_deg, east_deg = (rng.gauss(0, 8) / DEGREE_M for _ in range(2))  # 8 m of unrest
            frames.append(
                FrameTrace(
                    key=str(len(frames)),
                    at=moment,
                    latitude_deg=spot.latitude_deg + north_deg if has_place else None,
                    longitude_deg=spot.longitude_deg + east_deg / EASTWARD if has_place else None,
                    scene=frame,
                )
            )
            places.append(spot.key)
            at = moment
        if is_planner and rng.random() < 0.7:
            late = timedelta(minutes=rng.choice([0, 0, 0, rng.gauss(0, 20), rng.gauss(0, 60)]))
            early = timedelta(minutes=rng.uniform(0, 15))
            windows.append(PlanWindow(spot.key, arrived - early + late, at + early + late))
        at += timedelta(minutes=rng.uniform(3, 60))
    acts = list(accumulate(((b.at - a.at).total_seconds() > ACT_S for a, b in pairwise(frames)), initial=0))
    selecting = random.Random(-seed)
    chosen = {act for act in range(acts[-1] + 1) if selecting.random() < kept}
    pairs = [(f, place) for f, place, act in zip(frames, places, acts, strict=True) if act in chosen]
    return SimulatedDay(
        tuple(frame for frame, _ in pairs), tuple(place for _, place in pairs), tuple(windows), spots
    )


def _stay(
    rng: random.Random, at: datetime, focals: Sequence[float], bright: float, *, has_direction: bool
) -> Iterator[tuple[FramePlace, datetime]]:
    """Frames of one stay: bouts of acts, pauses between them."""
    ends = at + timedelta(minutes=rng.uniform(8, 140))
    facing, cloud, filters = rng.uniform(0, 360), 0.0, 0.0
    while True:
        focal = rng.choice(focals)
        turned = facing + rng.gauss(0, 25)
        for _ in range(rng.randint(1, 6)):
            act = rng.choice(["one", "one", "one", "burst", "bracket"])
            for step in {"one": (0.0,), "burst": (0.0,) * rng.randint(3, 7), "bracket": (0.0, -2.0, 2.0)}[
                act
            ]:
                level = bright + cloud - filters + step + rng.gauss(0, 0.3)
                direction = (turned + rng.gauss(0, 4)) % 360 if has_direction else None
                yield FramePlace(at=at, focal_mm=focal, light_ev=level, direction_deg=direction), at
                at += timedelta(seconds=rng.uniform(0.5, 4))
            at += timedelta(seconds=rng.uniform(5, 90))
        cloud = 0.6 * cloud + rng.gauss(0, 0.4)
        if rng.random() < 0.15:
            filters = rng.choice([0.0, 3.0, 6.0])
        pause_min = rng.uniform(10, 35) if rng.random() < 0.06 else rng.expovariate(1 / 2.2)
        at += timedelta(minutes=pause_min)
        if at > ends:
            return


@dataclass(frozen=True, slots=True)
class Score:
    """Borders counted over days."""

    true: int = 0
    found: int = 0
    doubted: int = 0
    false_cuts: int = 0
    false_doubts: int = 0
    days: int = 0

    def __add__(self, other: "Score") -> "Score":
        return Score(*(getattr(self, name) + getattr(other, name) for name in Score.__dataclass_fields__))

    @property
    def text(self) -> str:
        """The score in words."""
        cuts, doubts = self.false_cuts / self.days, self.false_doubts / self.days
        return (
            f"of {self.true} borders {100 * self.found / self.true:.1f} % found, "
            f"{100 * self.doubted / self.true:.1f} % doubted; "
            f"a day has {cuts:.2f} false cuts, {doubts:.2f} false doubts"
        )


def judged(day: SimulatedDay, visits: Sequence[ProposedVisit]) -> Score:
    """Count what was found of a day's borders."""
    at = {frame.key: frame.at for frame in day.frames}
    true = [
        (a.at, b.at)
        for (a, old), (b, new) in pairwise(zip(day.frames, day.places, strict=True))
        if old != new
    ]
    runs = [[at[key] for key in visit.frames] for visit in visits if visit.frames]
    cuts = [(before[-1], after[0]) for before, after in pairwise(runs)]
    doubts = [(one.departed, one.arrived) for visit in visits for one in visit.doubtful]
    found = {border for border in true for cut in cuts if _near(border, cut)}
    doubted = {border for border in true for doubt in doubts if _near(border, doubt)} - found
    return Score(
        true=len(true),
        found=len(found),
        doubted=len(doubted),
        false_cuts=sum(not any(_near(border, cut) for border in true) for cut in cuts),
        false_doubts=sum(not any(_near(border, doubt) for border in true) for doubt in doubts),
        days=1,
    )


def _near(border: tuple[datetime, datetime], other: tuple[datetime, datetime]) -> bool:
    return all(abs(one - two) <= NEAR for one, two in zip(border, other, strict=True))


def trial(days: range, writes: Writes, kept: float = 1.0) -> tuple[Score, Score]:
    """Return the scores over some days: by positions and long pauses alone, and with all the evidence."""
    before, after = Score(), Score()
    for seed in days:
        day = simulated_day(seed, writes, kept)
        before += judged(day, propose_visits(day.frames, (), day.spots, decided=NEVER))
        after += judged(day, propose_visits(day.frames, (), day.spots, windows=day.windows))
    return before, after


def pauses(days: range) -> Iterator[tuple[Evidence, bool]]:
    """Yield the evidence of each pause of days without positions, and whether the place changed in it."""
    for seed in days:
        day = simulated_day(seed, Writes.NOTHING, SHARES[seed % len(SHARES)])
        scenes = [frame.scene for frame in day.frames if frame.scene]
        rhythm = rhythm_of([scene.at for scene in scenes])
        for index in range(1, len(scenes)):
            found = evidence(
                scenes[max(0, index - 3) : index], scenes[index : index + 3], rhythm, day.windows
            )
            if found.pause_s >= 150:
                yield found, day.places[index - 1] != day.places[index]


def fit(days: range) -> None:
    """Print the weights that fit some days best (maximum likelihood)."""
    import numpy as np
    from scipy.optimize import minimize

    rows, known = [], []
    for one, is_border in pauses(days):
        minutes = np.log2(one.pause_s / 60)
        rows.append(
            (1.0, minutes, np.log2(one.pause_s / one.rhythm_s), one.focal, one.light, one.direction, one.plan)
        )
        known.append(1.0 if is_border else -1.0)
    data, sign = np.array(rows), np.array(known)
    best = minimize(lambda weights: np.logaddexp(0, -sign * (data @ weights)).sum(), np.zeros(data.shape[1]))
    names = ("W_ALWAYS", "W_PAUSE", "W_RHYTHM", "W_FOCAL", "W_LIGHT", "W_DIRECTION", "W_PLAN")
    print(Counter(known), dict(zip(names, best.x.round(2).tolist(), strict=True)))  # noqa: T201


def main() -> None:
    """Print the figures, or fit the weights."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--days", type=int, default=1000)
    parser.add_argument("--fit", action="store_true")
    given = parser.parse_args()
    if given.fit:
        fit(range(FIRST_SEED - given.days, FIRST_SEED))
        return
    for writes, kept in product(Writes, SHARES):
        before, after = trial(range(FIRST_SEED, FIRST_SEED + given.days), writes, kept)
        alone = replace(before, doubted=0, false_doubts=0)  # doubts are part of the evidence
        print(f"{writes}, {100 * kept:.0f} % kept, positions and long pauses alone: {alone.text}")  # noqa: T201
        print(f"{writes}, {100 * kept:.0f} % kept, with the evidence: {after.text}")  # noqa: T201


if __name__ == "__main__":
    main()
