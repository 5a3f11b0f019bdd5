"""One word of a vocabulary is read in full, shortened or by another name; a bare letter never is."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Crowd, Sharpness, Support
from logbook.domain.written.choices import (
    CrowdSaid,
    crowds_written,
    says_nothing,
    sharpness_written,
    support_written,
    yes_written,
)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("nobody", [CrowdSaid(Crowd.NONE)]),
        ("a few", [CrowdSaid(Crowd.FEW)]),
        ("~20 people", [CrowdSaid(Crowd.DOZENS, "~20 people")]),
        ("5-20 people", [CrowdSaid(None, "5-20 people")]),
        ("?", [CrowdSaid(None)]),
        ("fe, do none", [CrowdSaid(Crowd.FEW), CrowdSaid(Crowd.DOZENS), CrowdSaid(Crowd.NONE)]),
        ("few ? none", [CrowdSaid(Crowd.FEW), CrowdSaid(None), CrowdSaid(Crowd.NONE)]),
        (
            "nobody, then dozens, a few",
            [CrowdSaid(Crowd.NONE), CrowdSaid(Crowd.DOZENS), CrowdSaid(Crowd.FEW)],
        ),
        ("few -> hundreds", [CrowdSaid(Crowd.FEW), CrowdSaid(Crowd.HUNDREDS)]),
    ],
)
def test_crowds_are_read_in_order_with_the_words_of_a_number(text: str, said: list[CrowdSaid]) -> None:
    assert list(crowds_written(text)) == said


@pytest.mark.parametrize("text", ["", "crowded", "f", "few few few few", "none of your business"])
def test_what_is_no_crowd_is_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"^[^\n]+\.$"):
        crowds_written(text)


@pytest.mark.parametrize("text", ["handheld", "hand-held", "Hand held", "HAND", "by hand", "in hand."])
def test_a_support_is_read_by_every_name_it_has(text: str) -> None:
    assert support_written(text) is Support.HANDHELD


@pytest.mark.parametrize("text", ["h", "t", "", "rock", "help", "x" * 3000])
def test_a_letter_or_another_word_is_no_support(text: str) -> None:
    with pytest.raises(InvalidValueError, match="is not a support; write tripod"):
        support_written(text)


def test_sharpness_is_read_by_its_beginning_but_not_by_a_letter() -> None:
    assert sharpness_written("so") is Sharpness.SOFT
    with pytest.raises(InvalidValueError, match="sharp or soft"):
        sharpness_written("s")


@pytest.mark.parametrize(
    ("text", "yes"), [("y", True), ("Yes.", True), ("ok", True), ("n", False), ("nope", False)]
)
def test_yes_and_no_are_read_in_their_common_forms(text: str, yes: bool) -> None:
    assert yes_written(text) is yes


@pytest.mark.parametrize(
    "text",
    [
        *(
            "nothing",
            "Nothing.",
            "nothing new",
            "nothing to report",
            "nothing closed",
            "no",
            "none",
            "nope",
            "nil",
        ),
        *(
            "n/a",
            "N.A.",
            "-",
            "–",
            "all open",
            "All fine!",
            "everything open",
            "everything was open",
            "all good 👍",
        ),
        *("none (all open)", "no, all fine", "nope, nothing"),
        *("no lesson today", "no new lessons", "no lessons learned"),
        *("no changes", "no closures today", "unchanged", "same as yesterday", "as usual", "not that I know"),
        *("everything as before", "all clear", "all paths open", "nothing really", "nothing else"),
    ],
)
def test_nothing_has_many_forms(text: str) -> None:
    assert says_nothing(text)


@pytest.mark.parametrize(
    "text",
    [
        *("nothing open", "all closed", "no entry", "no tripods", "not open", "none of the paths are open"),
        *("no water", "all gates locked", "noon", "open from 9", "everything flooded", "no idea", "?"),
    ],
)
def test_what_says_something_is_not_nothing(text: str) -> None:
    assert not says_nothing(text)


@pytest.mark.parametrize(
    "read", [crowds_written, support_written, sharpness_written, yes_written, says_nothing]
)
@given(
    text=st.text(max_size=60)
    | st.lists(st.sampled_from(["few", "?", "none", ",", "nothing", "a", "of"])).map(" ".join)
)
def test_any_text_is_a_value_or_a_refusal(read: Callable[[str], Any], text: str) -> None:
    with suppress(InvalidValueError):
        read(text)
