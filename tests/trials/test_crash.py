"""Kills of everything that changes a book or a report; `python -m tests.trials.crash` does hundreds."""

import random
from pathlib import Path

import pytest

from tests.trials.crash import Trial, trial, trials

KILLS = 12


@pytest.mark.slow
@pytest.mark.parametrize("one", trials(), ids=lambda one: one.name)
def test_a_killed_command_leaves_a_sound_book_and_completes_next_time(
    one: Trial, demo_book: Path, tmp_path: Path
) -> None:
    tallies = list(trial(one, KILLS, random.Random(11), tmp_path, demo_book))
    assert tallies[-1].kills == KILLS
