"""Filters are read as people write them, stored under one name, and no word of another question is one."""

from contextlib import suppress

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from logbook.craft.filters import parse_filter
from logbook.domain.errors import InvalidValueError
from logbook.domain.written.filters import (
    KeeperStack,
    filter_written,
    filters_understood,
    stack_words,
    stack_written,
    stacks_written,
    unknown_filters,
)

TYPED = st.text(max_size=130) | st.lists(
    st.sampled_from(
        [
            "nd",
            "8",
            "1,8",
            "0.9",
            "gnd",
            "soft",
            "10",
            "stop",
            "+",
            ",",
            "1201",
            "-",
            "none",
            "rest",
            "pol",
            "tape",
            ":",
        ]
    ),
    max_size=8,
).map(" ".join)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("ND3.0 + CPL", "nd1000 + pol"),
        ("10 stop, polariser", "nd1000 + pol"),
        ("nd1000+pol", "nd1000 + pol"),
        ("nd1024 and circular polarizer", "nd1000 + pol"),
        ("ten-stop ND, C-PL", "nd1000 + pol"),
        ("ND 1,8", "nd64"),
        ("nd 3,0", "nd1000"),
        ("od0.9", "nd8"),
        ("0,9", "nd8"),
        ("6 stopper", "nd64"),
        ("nd500", "nd512"),
        ("nd400", "nd400"),
        ("1,5 stops", "1.5 stops"),
        ("variable ND 2-5 stops", "nd4-32"),
        ("vnd", "variable nd"),
        ("0.6 gnd", "gnd4"),
        ("nd64 soft grad", "soft gnd64"),
        ("hard grad 0,9", "hard gnd8"),
        ("2x nd16", "nd16 + nd16"),
        ("a piece of tape", "a piece of tape"),
        ("soft focus", "soft focus"),
        ("none", "none"),
        ("no filter", "none"),
        ("?", "unknown"),
        ("no idea", "unknown"),
        ("forgot which", "unknown"),
        ("bare lens", "none"),
        ("none at all", "none"),
        ("cpl only", "pol"),
        ("just the polariser", "pol"),
        ("nd8 on all of them", "nd8"),
        ("both nd64", "nd64"),
        ("everything nd64", "nd64"),
        ("nd8 pol", "nd8 + pol"),
        ("w/ nd64, cpl", "nd64 + pol"),
        ("nd8 stacked with the nd64", "nd8 + nd64"),
    ],
)
def test_a_filter_has_one_stored_name_however_it_is_written(one: str, other: str) -> None:
    assert stack_words(stack_written(one)) == other
    assert stack_written(other) == stack_written(one)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "no",
            "same",
            "yes",
            "made",
            "as before",
            "ditto",
            "the same",
            "y",
            "tripod",
            "hand-held",
            "few dozens none",
        ),
        *("flood", "sharp", "nd8 + handheld", "8", "1201", "nd8 none", "partly", "light", "help", "?? none"),
        *(
            "nothing",
            "nix",
            "maybe nd8",
            "nd8 or nd64",
            "nd8/nd64",
            "pol / nd8",
            "nd64/cpl + nd8",
            "none/nd8",
            "big stopper|pol",
            "nd8 then nd64",
            "nd8 except the first",
            "cpl?",
            "pol off",
            *("no nd", "didn't use the nd", "didnt use nd8", "not the nd64", "forgot the polariser"),
        ),
    ],
)
def test_a_word_of_another_question_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"^[^\n]*(?:is not a filter|could be a factor)[^\n]*\.$"):
        stack_written(text)


def test_a_list_by_keeper_is_understood_for_the_keepers_it_names() -> None:
    assert stacks_written("1201 none, 1207 nd8, rest none") == (
        KeeperStack("1201", "1201", ()),
        KeeperStack("1207", "1207", ("nd8",)),
        KeeperStack(None, None, ()),
    )
    assert stacks_written("TRN_0472-0474: nd8, pol; 0479 ND 3,0\nothers unknown") == (
        KeeperStack("TRN_0472", "0474", ("nd8", "pol")),
        KeeperStack("0479", "0479", ("nd1000",)),
        KeeperStack(None, None, None),
    )
    assert stacks_written("nd8, pol") == (KeeperStack(None, None, ("nd8", "pol")),)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("0472 none others nd8", "0472 none, rest nd8"),
        ("0472 none and the others nd8", "0472 none, rest nd8"),
        ("0475 nd8 rest none", "0475 nd8, rest none"),
        ("0475 none, all others nd8", "0475 none, rest nd8"),
        ("0475 none all the rest nd8", "0475 none, rest nd8"),
        ("0472 none 0473 nd 0.9 0474 10 stop", "0472 none, 0473 nd8, 0474 nd1000"),
        ("0472 to 0475 nd 1000 + pol the rest none", "0472-0475 nd1000 + pol, rest none"),
        ("none, but 0475 nd8", "0475 nd8, rest none"),
        ("nd8 except for 0475 none", "0475 none, rest nd8"),
    ],
)
def test_a_list_by_keeper_needs_no_commas(text: str, kept: str) -> None:
    assert ", ".join(one.text for one in stacks_written(text)) == kept


def test_a_list_by_keeper_is_never_stored_as_filters() -> None:
    with pytest.raises(InvalidValueError, match="lists filters by keeper; write only the filters"):
        stack_written("1201 none, 1207 nd8, rest none")
    for text in ("1201 none, banana split", "1201 same", "rest none, others nd8"):
        with pytest.raises(InvalidValueError):
            stacks_written(text)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("nd8 + pol", ()),
        ("ND8+POL", ()),
        ("ND 1,8", ('"ND 1,8" is kept as nd64.',)),
        ("1201: 10 stop, rest none", ('"1201: 10 stop, rest none" is kept as 1201 nd1000, rest none.',)),
    ],
)
def test_what_was_understood_is_said_where_it_differs(typed: str, told: tuple[str, ...]) -> None:
    assert filters_understood(typed, stacks_written(typed)) == told


def test_an_odd_name_is_kept_and_told() -> None:
    stack = stack_written("nd8 + a piece of tape")
    assert unknown_filters(stack) == ("a piece of tape",)
    (told,) = filters_understood("nd8 + a piece of tape", stacks_written("nd8 + a piece of tape"))
    assert told.startswith('"a piece of tape" is kept as a name')
    assert unknown_filters(stack_written("pol, uv")) == ()
    assert unknown_filters(None) == ()


def test_one_filter_is_one_filter() -> None:
    assert filter_written("ND 0.9") == "nd8"
    for text in ("nd8 + pol", "none", "unknown"):
        with pytest.raises(InvalidValueError, match="is not one filter"):
            filter_written(text)


@given(TYPED)
@example("ND ND 1,8")
def test_any_text_is_read_or_refused_and_what_is_read_reads_back_the_same(text: str) -> None:
    with suppress(InvalidValueError):
        stack = stack_written(text)
        assert stack_written(stack_words(stack)) == stack
        for name in stack or ():
            assert parse_filter(name).name == name


@given(TYPED)
def test_any_list_by_keeper_is_read_or_refused(text: str) -> None:
    with suppress(InvalidValueError):
        said = stacks_written(text)
        assert sum(one.first is None for one in said) <= 1
