"""Lists of names: naming adds, dropping needs the name, nothing stands twice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.amending import Amended
from logbook.domain.errors import NotFoundError
from logbook.domain.names import name_key

NAMES = st.lists(st.text(min_size=1).filter(str.strip), max_size=4).map(tuple)


def test_a_name_is_added_once_however_it_is_written() -> None:
    assert Amended(add=("the  Pulpit", "Shelf", "SHELF")).of(("The Pulpit",)) == ("The Pulpit", "Shelf")


def test_a_list_is_emptied_before_names_are_added() -> None:
    assert Amended(add=("Shelf",), anew=True).of(("Pulpit",)) == ("Shelf",)


def test_a_name_is_dropped_however_it_is_written_and_one_that_is_not_there_is_a_slip() -> None:
    assert Amended(drop=("the pulpit",)).of(("The Pulpit", "Shelf")) == ("Shelf",)
    with pytest.raises(NotFoundError, match='"Crag" is not one of its names; it has Pulpit, Shelf'):
        Amended(drop=("Crag",)).of(("Pulpit", "Shelf"))
    with pytest.raises(NotFoundError, match="it has none"):
        Amended(drop=("Crag",)).of(())


@given(NAMES, NAMES)
def test_adding_loses_no_name(before: tuple[str, ...], more: tuple[str, ...]) -> None:
    after = Amended(add=more).of(before)
    assert {name_key(name) for name in (*before, *more)} == {name_key(name) for name in after}
    assert Amended(drop=after).of(after) == ()
