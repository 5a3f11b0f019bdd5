"""Numbers of a list, as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.written.counts import numbers_written


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("3", (3,)),
        ("3,5-7", (3, 5, 6, 7)),
        ("5 - 7, 3", (3, 5, 6, 7)),
        ("3 5 to 7", (3, 5, 6, 7)),
        ("2–4", (2, 3, 4)),
        ("3,3,2-3", (2, 3)),
        ("", None),
        ("7-5", None),
        ("all", None),
        ("-3", None),
        ("1-99999", None),
    ],
)
def test_numbers_and_ranges_are_read_once_each_and_in_order(
    text: str, numbers: tuple[int, ...] | None
) -> None:
    assert numbers_written(text) == numbers


@given(st.sets(st.integers(0, 9999), min_size=1, max_size=40))
def test_what_is_listed_comes_back(numbers: set[int]) -> None:
    assert numbers_written(",".join(map(str, numbers))) == tuple(sorted(numbers))


@given(st.text(max_size=40))
def test_no_text_is_more_than_refused(text: str) -> None:
    found = numbers_written(text)
    assert found is None or list(found) == sorted(set(found))
