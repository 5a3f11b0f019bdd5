"""Counts are read as people write them."""

import pytest

from logbook.domain.written.counts import count_written


@pytest.mark.parametrize(
    ("text", "count"),
    [("14", 14), ("about 20", 20), ("~20", 20), ("ca. 8", 8), ("12x", 12), ("≈30 frames", 30)],
)
def test_a_rough_count_is_a_count(text: str, count: int) -> None:
    assert count_written(text) == count


@pytest.mark.parametrize("text", ["", "many", "-3", "2.5", "3 or 4"])
def test_what_is_no_count_is_none(text: str) -> None:
    assert count_written(text) is None
