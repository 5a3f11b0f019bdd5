"""Kills of everything that changes a book or a report; `python -m tests.trials.crash` does hundreds."""

import random
from pathlib import Path

import pytest

from tests.examples import slow
from tests.trials.crash import Trial, trial, trials

QUICK = ("import",)  # a killed merge has quick tests of its own, beside it; a report takes longer


@pytest.mark.parametrize(
    ("one", "kills"),
    [
        *(pytest.param(one, 1, id=f"{one.name}-1") for one in trials() if one.name in QUICK),
        *slow(*((one, 12) for one in trials())),
    ],
)
def test_a_killed_command_leaves_a_sound_book_and_completes_next_time(
    one: Trial, demo_book: Path, tmp_path: Path, kills: int
) -> None:
    tallies = list(trial(one, kills, random.Random(11), tmp_path, demo_book))
    assert tallies[-1].kills == kills
