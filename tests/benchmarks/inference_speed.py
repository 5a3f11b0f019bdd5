"""A thousand keepers of one day proposed: sets, filters, tries; the processor time in s, and how it grows.

Run: python tests/benchmarks/inference_speed.py. Exits with 1 when a thousand keepers take 2 s or more.
"""

import random
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.craft.filters import parse_filter
from logbook.craft.inference.frames import Frame, tries_from_numbers
from logbook.craft.inference.jumps import infer_filters
from logbook.craft.inference.sets import find_sets
from tests.truth.simulated_days import simulated_day

KIT = tuple(parse_filter(name) for name in ("nd4", "nd8", "nd64", "nd256", "nd1024", "pol"))
LIMIT_S = 2.0  # s of processor time for 1,000 keepers


def keepers(count: int) -> list[Frame]:
    """Frames of simulated days, one after the other."""
    frames: list[Frame] = []
    seed = 0
    while len(frames) < count:
        frames += [
            replace(f, key=f"{seed}-{f.key}", at_s=f.at_s + 86400 * seed) for f in simulated_day(seed).frames
        ]
        seed += 1
    return frames[:count]


def restless(count: int) -> list[Frame]:
    """The worst case: one viewpoint, no sets, and the exposure jumps with every frame."""
    chance = random.Random(4)
    return [
        Frame(str(i), 57.0 * i, chance.uniform(-2, 15), metered=True, viewpoint="ledge", file_number=i)
        for i in range(count)
    ]


def seconds(frames: Sequence[Frame]) -> float:
    """Processor time for everything the frames of a day tell by themselves; the best of three, in s."""
    times = []
    for _ in range(3):
        started = time.process_time()
        infer_filters(frames, KIT, find_sets(frames))
        tries_from_numbers(frames)
        times.append(time.process_time() - started)
    return min(times)


def floor_s() -> float:
    """An outside floor in the same run: sorting a million random numbers, in s."""
    chance = random.Random(1)
    numbers = [chance.random() for _ in range(1_000_000)]
    started = time.process_time()
    sorted(numbers)
    return time.process_time() - started


def main() -> int:
    """Print times and ratios."""
    floor, slow = floor_s(), False
    for name, make in (("simulated", keepers), ("restless", restless)):
        quarter, whole, fourfold = (seconds(make(count)) for count in (250, 1000, 4000))
        slow |= whole >= LIMIT_S
        print(  # noqa: T201
            f"{name}: 1000 keepers {whole:.2f} s, "
            f"{whole / floor:.1f} x sorting a million numbers ({floor:.2f} s); "
            f"4 x the keepers take {whole / quarter:.1f} x and again {fourfold / whole:.1f} x the time"
        )
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
