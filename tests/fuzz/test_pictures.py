"""Spoilt pictures: some hundreds, thousands with `-m slow`, more with `python -m tests.fuzz.pictures`."""

from pathlib import Path

import pytest

from tests.examples import slow
from tests.fuzz.pictures import trials


@pytest.mark.parametrize("count", [150, *slow(3000)])
def test_every_spoilt_picture_is_read_or_refused_in_one_sentence(tmp_path: Path, count: int) -> None:
    read = sum(trials(count, seed=7, folder=tmp_path))
    assert count / 10 < read < count, "some are refused, many still make sense"
