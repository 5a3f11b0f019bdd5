"""Kills of everything that changes a book or a report; `python -m tests.trials.crash` does hundreds."""

import random
from pathlib import Path

import pytest

from tests.examples import slow
from tests.trials.crash import Trial, trial, trials


@pytest.mark.parametrize("one", trials(), ids=lambda one: one.name.replace(" ", "-"))
@pytest.mark.parametrize("kills", [1, *slow(20)])
def test_a_killed_command_leaves_a_sound_book_and_completes_next_time(
    one: Trial, demo_book: Path, tmp_path: Path, kills: int
) -> None:
    tallies = list(trial(one, kills, random.Random(11), tmp_path, demo_book))
    assert tallies[-1].kills == kills
