"""Portions hold every value once, in order, and none is larger than asked for."""

from hypothesis import given
from hypothesis import strategies as st

from logbook.store.portions import AT_ONCE, marks, portions


@given(st.lists(st.integers(), max_size=60), st.integers(1, 20))
def test_portions_put_together_are_the_whole(values: list[int], most: int) -> None:
    found = list(portions(values, most))
    assert [value for some in found for value in some] == values
    assert all(0 < len(some) <= most for some in found)


def test_a_portion_fits_the_oldest_sqlite_and_nothing_has_no_portion() -> None:
    assert [len(some) for some in portions(range(2 * AT_ONCE + 1))] == [AT_ONCE, AT_ONCE, 1]
    assert AT_ONCE + 50 < 999
    assert list(portions([])) == []


def test_there_is_a_mark_for_each_value() -> None:
    assert marks(("a", "b", "c")) == "?, ?, ?"
