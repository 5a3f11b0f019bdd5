"""Spoilt tracks and day files: hundreds, thousands with `-m slow`, more with `python -m tests.fuzz.texts`."""

from pathlib import Path

import pytest

from tests.examples import slow
from tests.fuzz.texts import trials


@pytest.mark.parametrize("count", [150, *slow(2000)])
def test_every_spoilt_text_is_read_or_refused_in_one_sentence(tmp_path: Path, count: int) -> None:
    read = sum(trials(count, seed=5, folder=tmp_path))
    assert count / 6 < read < count, "some are refused, many still make sense"
