"""A few thousand spoilt pictures in every run; many more with `python -m tests.fuzz.pictures`."""

from pathlib import Path

from tests.fuzz.pictures import trials

COUNT = 3000


def test_every_spoilt_picture_is_read_or_refused_in_one_sentence(tmp_path: Path) -> None:
    read = sum(trials(COUNT, seed=7, folder=tmp_path))
    assert COUNT / 10 < read < COUNT, "some are refused, many still make sense"
