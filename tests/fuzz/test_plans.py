"""Spoilt plans: hundreds, ten thousand with `-m slow`, more with `python -m tests.fuzz.plans`."""

from pathlib import Path

import pytest

from tests.examples import slow
from tests.fuzz.plans import trials


@pytest.mark.parametrize("count", [150, *slow(5_000)])
def test_every_spoilt_plan_is_read_or_refused_in_one_sentence(tmp_path: Path, count: int) -> None:
    read = sum(trials(count, seed=7, folder=tmp_path))
    assert count / 2 < read < count, "some are refused, many still make sense"


@pytest.mark.slow
def test_every_spoilt_plan_is_taken_into_a_book_or_refused_in_one_sentence(
    tmp_path: Path,
) -> None:
    assert sum(trials(1000, seed=8, folder=tmp_path, into_book=True)) > 500
