"""Damaged books answer right, refuse or are repaired; `python -m tests.trials.damage` damages more."""

from collections import Counter
from pathlib import Path

import pytest

from tests.trials.damage import KINDS, trial

FEW, MANY = len(KINDS), 250


def damaged(damages: int, seed: int, into: Path) -> Counter[str]:
    return sum((came for _, _, came in trial(damages, seed, into)), Counter())


@pytest.mark.slow
def test_a_few_damaged_books_are_read_right_refused_or_repaired(tmp_path: Path) -> None:
    came = damaged(FEW, 11, tmp_path)
    assert came["read"] + came["refused"] >= FEW


@pytest.mark.slow
def test_hundreds_of_damaged_books_are_read_right_refused_or_repaired(tmp_path: Path) -> None:
    came = damaged(MANY, 1, tmp_path)
    assert min(came["read"], came["refused"], came["written"], came["repaired"]) > MANY / 20
