"""A few thousand spoilt tracks and day files in every run; many more with `python -m tests.fuzz.texts`."""

from pathlib import Path

from tests.fuzz.texts import trials

COUNT = 2000


def test_every_spoilt_text_is_read_or_refused_in_one_sentence(tmp_path: Path) -> None:
    read = sum(trials(COUNT, seed=5, folder=tmp_path))
    assert COUNT / 4 < read < COUNT, "some are refused, many still make sense"
