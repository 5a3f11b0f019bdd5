"""The benchmark of looking back runs on a small book, and prints its figures beside what is aimed at."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
AIMS = {"worked": "200", "alike": "100", "before": "100"}
pytestmark = pytest.mark.slow


def test_each_question_has_a_time_a_ratio_and_an_aim() -> None:
    """How long one takes depends on who else uses the machine, so nothing is asked of it."""
    command = (sys.executable, "-m", "tests.benchmarks.alike_speed", "200")
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    _, heading, *lines = ran.stdout.splitlines()
    assert re.fullmatch(r"200 keepers; SQLite hands them all over in \d+ ms", heading)
    assert len(lines) == 10
    for line in lines:
        told = re.fullmatch(
            r"  (worked|alike|before)\W.+ (\d+) ms, slowest +\d+ ms, +([0-9.]+) × the floor,"
            r" aim (\d+) ms(, over it)?",
            line,
        )
        assert told is not None, line
        assert float(told[3]) > 0
        assert told[4] == AIMS[told[1]]
