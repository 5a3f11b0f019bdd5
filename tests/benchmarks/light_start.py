"""How long `logbook light` for a day takes as a whole process, beside Python's bare start.

Run by hand: `python tests/benchmarks/light_start.py`. It prints medians and their ratios; a floor from the
same run is the only number that means the same on two machines.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 11
WANTED_S = 0.5  # s; what a day's light may take as a whole process
PROGRAM = (sys.executable, "-m", "logbook")
DAY = ("--on", "2031-10-14")
PLACE = ("--lat", "38.2", "--lon", "73.4", "--facing", "250")


def seconds(command: tuple[str, ...]) -> float:
    """The wall time of one process."""
    begins = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begins


def medians(commands: dict[str, tuple[str, ...]]) -> dict[str, float]:
    """Median wall times; the commands take turns, so that a busy machine slows all of them alike."""
    taken: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(RUNS):
        for name, command in commands.items():
            taken[name].append(seconds(command))
    return {name: statistics.median(times) for name, times in taken.items()}


def main() -> None:
    """Print medians and ratios."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["LOGBOOK_BOOK"] = str(Path(folder) / "book.sqlite")
        for line in (
            ("trip", "add", "High valley"),
            ("site", "add", "Quarry", "--position", "38.2 N 73.4 E", "--zone", "Asia/Dushanbe"),
            ("viewpoint", "add", "Quarry ledge", "--site", "quarry", "--facing", "250"),
        ):
            subprocess.run((*PROGRAM, *line), check=True, stdout=subprocess.DEVNULL)
        found = medians(
            {
                "python, nothing": (sys.executable, "-c", "pass"),
                "python, numpy": (sys.executable, "-c", "import numpy"),
                "logbook --help": (*PROGRAM, "--help"),
                "light, coordinate": (*PROGRAM, "light", *PLACE, *DAY),
                "light, coordinate and time": (*PROGRAM, "light", *PLACE, *DAY, "--at", "16:00"),
                "light, viewpoint of a book": (*PROGRAM, "light", "quarry-ledge", *DAY),
            }
        )
    floor = found["python, nothing"]
    for name, taken in found.items():
        sys.stdout.write(f"{name:28} {taken:6.3f} s  {taken / floor:6.1f} x bare start\n")
    inside = found["light, coordinate"] < WANTED_S
    sys.stdout.write(f"a day's light at a coordinate is {'within' if inside else 'beyond'} {WANTED_S} s\n")


if __name__ == "__main__":
    main()
