"""Filters inferred on thousands of simulated days: recall and false assertions, also for harder manners.

Run: python tests/benchmarks/inference_days.py [DAYS] [MANNER] [FIRST SEED]
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.craft.inference.jumps import infer_filters
from logbook.craft.inference.sets import find_sets
from tests.truth.field_days import HABITS, Habit, field_day
from tests.truth.judged_days import Score, judged
from tests.truth.simulated_days import MANNERS, simulated_day

FIRST_SEED = 400_000  # the constants were chosen on other days (seeds below 308,000)


def main(days: int, wanted: str, first_seed: int) -> None:
    """Print one line of measures for each manner."""
    for manner in (*HABITS, *MANNERS):
        if wanted not in manner.name:
            continue
        started, total = time.perf_counter(), Score()
        for seed in range(first_seed, first_seed + days):
            day = field_day(seed, manner) if isinstance(manner, Habit) else simulated_day(seed, manner)
            found = infer_filters(day.frames, day.kit, find_sets(day.frames))
            total += judged(day, found.proposals)
        print(f"{manner.name}: {total.text}; {time.perf_counter() - started:.0f} s")  # noqa: T201


if __name__ == "__main__":
    given = sys.argv[1:]
    main(
        int(given[0]) if given else 3000,
        given[1] if len(given) > 1 else "",
        int(given[2]) if len(given) > 2 else FIRST_SEED,
    )
