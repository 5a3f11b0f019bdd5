"""How well blur is ranked and judged: `python -m tests.trials.sharpness [--seeds N] [--pictures FOLDER]`.

Framings of 40 frames, drawn with moving water and of the real pictures of a folder, each blurred by a random
amount of a random kernel at random noise and JPEG quality (`tests/truth/blurred_pictures.py`). Printed are
Spearman's coefficient between the true ramp and what a frame lost, and how many were called soft and sharp;
then the same for small framings taken out of the large ones.
"""

import argparse
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from scipy.stats import spearmanr

from logbook.craft.edges import Edges
from logbook.craft.softness import is_sharp, losses
from tests.craft.whole_pictures import edges_of
from tests.truth.blurred_pictures import DRAWN, Frame, framing, photograph

FRAMES = 40
SMALL = (2, 3, 5, 8)  # frames of a small framing
BLURRED_PX, LITTLE_PX = 5.0, 1.0
Measured = tuple[Frame, Edges]


def main() -> None:
    """Run the trial and print its table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, default=2)
    asked.add_argument("--first-seed", type=int, default=100)
    asked.add_argument("--pictures", type=Path)
    wanted = asked.parse_args()
    paths = sorted(wanted.pictures.iterdir()) if wanted.pictures else []
    scenes = [(name, scene, True) for name, scene in DRAWN.items()]
    scenes += [(path.name, photograph(path), False) for path in paths]
    ranks: list[float] = []
    small: dict[int, list[Counts]] = {size: [] for size in SMALL}
    for name, scene, has_water in scenes:
        for seed in range(wanted.first_seed, wanted.first_seed + wanted.seeds):
            frames = []
            for frame in framing(scene, seed, FRAMES, has_water=has_water):
                edges = edges_of(frame.luminance)
                assert edges is not None
                frames.append((frame, edges))
            rank, counts = judged(frames)
            ranks.append(rank)
            print(f"{name:22} {seed}: rank {rank:.3f}, {counts}", flush=True)  # noqa: T201
            rng = np.random.default_rng(seed)
            for size, found in small.items():
                for _ in range(20):
                    some = [frames[at] for at in rng.choice(FRAMES, size, replace=False)]
                    found.append(judged(some)[1])
    print(f"ranks: mean {np.mean(ranks):.3f}, least {min(ranks):.3f}")  # noqa: T201
    for size, found in small.items():
        print(f"framings of {size}: {sum(found[1:], found[0])}")  # noqa: T201


class Counts(tuple[int, int, int, int, int]):
    """Of frames blurred by 5 px or more: how many, soft, sharp; of unblurred: how many, how many soft."""

    def __add__(self, other: object) -> "Counts":
        assert isinstance(other, Counts)
        return Counts(one + two for one, two in zip(self, other, strict=True))

    def __str__(self) -> str:
        blurred, soft, wrong, little, false = self
        first = f"{soft} of {blurred} blurred called soft, {wrong} sharp"
        return f"{first}; {false} of {little} unblurred called soft"


def judged(frames: Sequence[Measured]) -> tuple[float, Counts]:
    """Return the rank correlation of one framing, and the counts."""
    edges = [one for _, one in frames]
    lost, truth = [], []
    counts = [0] * 5
    for (frame, one), loss in zip(frames, losses(edges), strict=True):
        is_good = is_sharp(one, loss, edges[loss.sharpest] if loss else None)
        if loss is not None:
            lost.append(loss.lost_px)
            truth.append(frame.ramp_px)
        is_blurred, is_little = frame.ramp_px >= BLURRED_PX, frame.amount_px < LITTLE_PX
        counts[0] += is_blurred
        counts[1] += is_blurred and is_good is False
        counts[2] += is_blurred and is_good is True
        counts[3] += is_little
        counts[4] += is_little and is_good is False
    rank = float(spearmanr(truth, lost).statistic) if len(set(truth)) > 1 and len(set(lost)) > 1 else np.nan
    return rank, Counts(counts)


if __name__ == "__main__":
    main()
