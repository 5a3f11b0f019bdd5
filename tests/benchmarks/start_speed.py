"""What commands take as whole processes beside the imports that they cannot do without.

Run: python -m tests.benchmarks.start_speed [runs]. The sample book is made first. Commands and floors take
turns, so that a busy machine slows all of them alike; for each pair it prints the median processor times and
their ratio, beside the ratio that is aimed at.
"""

import os
import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

RUNS = 15
PROGRAM = (sys.executable, "-m", "logbook")
ON = ("--on", "2031-10-14")


@dataclass(frozen=True, slots=True)
class Pair:
    """A command, the imports that are its floor, and how many times their time it may take."""

    line: tuple[str, ...]
    imports: str
    aim: float


PAIRS = (
    Pair(("--help",), "typer", 1.5),
    Pair(("trip", "list"), "sqlmodel", 1.3),
    Pair(("light", "quarry-ledge", *ON), "sqlmodel, skyfield.api", 1.3),
    Pair(("shot", "list"), "sqlmodel, skyfield.api", 1.4),
)


def cpu_s(command: tuple[str, ...]) -> float:
    """The processor time of one process, in seconds."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    return used.ru_utime + used.ru_stime


def main(runs: int) -> None:
    """Print processor times and ratios, each the median of so many runs; a first one is not counted."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # a person's Python keeps what it compiled
    with tempfile.TemporaryDirectory() as folder:
        demo = (*PROGRAM, "demo", "--into", str(Path(folder) / "demo"))
        subprocess.run(demo, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.environ["LOGBOOK_BOOK"] = str(Path(folder) / "demo" / "book.sqlite")
        for pair in PAIRS:
            floor = (sys.executable, "-c", f"import {pair.imports}")
            turns = [(cpu_s((*PROGRAM, *pair.line)), cpu_s(floor)) for _ in range(runs + 1)][1:]
            took, least = (statistics.median(times) for times in zip(*turns, strict=True))
            sys.stdout.write(
                f"logbook {' '.join(pair.line):45} {took:.3f} s  import {pair.imports:23} {least:.3f} s  "
                f"ratio {took / least:.2f}, aim {pair.aim}\n"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else RUNS)
