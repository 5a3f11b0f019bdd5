"""A few kills of everything that changes a book or a report; `python -m tests.trials.crash` does hundreds."""

import random
from pathlib import Path

import pytest

from tests.trials.crash import Trial, trial, trials

KILLS = 4


@pytest.mark.parametrize("one", trials(), ids=lambda one: one.name.replace(" ", "-"))
def test_a_killed_command_leaves_a_sound_book_and_completes_next_time(one: Trial, tmp_path: Path) -> None:
    tallies = list(trial(one, KILLS, random.Random(11), tmp_path))
    assert tallies[-1].kills == KILLS
