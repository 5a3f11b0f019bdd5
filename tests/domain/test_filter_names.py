"""A word of another vocabulary is no filter; an odd name is one."""

import pytest

from logbook.craft.filters import parse_stack
from logbook.domain.errors import InvalidValueError
from logbook.domain.filter_names import unknown_filters


@pytest.mark.parametrize("text", ["tripod", "few dozens none", "nd8 + handheld", "y", "flood"])
def test_a_slip_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match="is no filter; write them like nd8"):
        unknown_filters(parse_stack(text))


def test_an_odd_name_is_kept_and_told() -> None:
    assert unknown_filters(parse_stack("nd8 + a piece of tape")) == ("a piece of tape",)
    assert unknown_filters(parse_stack("pol, uv")) == ()
    assert unknown_filters(None) == ()
