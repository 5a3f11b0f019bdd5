"""The benchmark of what commands take to start runs, and prints a ratio beside its aim for each of them."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.benchmarks.start_speed import PAIRS

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.slow


def test_each_command_has_a_ratio_and_an_aim() -> None:
    """How large a ratio is depends on who else uses the machine, so nothing is asked of it."""
    command = (sys.executable, "-m", "tests.benchmarks.start_speed", "1")
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    lines = ran.stdout.splitlines()
    assert len(lines) == len(PAIRS)
    for line, pair in zip(lines, PAIRS, strict=True):
        assert line.startswith(f"logbook {' '.join(pair.line)} ")
        assert f" import {pair.imports} " in line
        told = re.search(r"ratio ([0-9]+\.[0-9]{2}), aim ([0-9.]+)$", line)
        assert told is not None, line
        assert float(told[1]) > 0
        assert float(told[2]) == pair.aim
