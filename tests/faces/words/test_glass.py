"""Filters read as people say them, on every page; the codes stay in files for programs."""

import pytest

from logbook.faces.words.glass import filters_text, readable


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        (("nd8",), "ND8"),
        (("nd8", "nd8"), "two ND8"),
        (("nd8", "nd128"), "ND8 and ND128"),
        (("nd8", "pol", "nd8"), "two ND8 and polariser"),
        (("gnd8",), "graduated ND8"),
        (("soft gnd8",), "soft graduated ND8"),
        (("od0.9",), "OD 0.9"),
        (("nd2-400",), "variable ND2–400"),
        (("uv",), "UV filter"),
        (("Aunt's fog filter",), "Aunt's fog filter"),
        ((), ""),
    ],
)
def test_a_stack_is_said_in_words(codes: tuple[str, ...], said: str) -> None:
    assert filters_text(codes) == said


def test_a_sentence_of_the_arithmetic_names_its_filters() -> None:
    text = (
        "2 s at f/11 needs 9 stops of filtration, but the plan's nd8 + nd8 give 6; the packed nd1000 would do"
    )
    assert readable(text) == (
        "2 s at f/11 needs 9 stops of filtration, but the plan's two ND8 give 6; the packed ND1000 would do"
    )
    assert readable("gnd8 alone, or pol") == "graduated ND8 alone, or polariser"
    assert readable("the sun is in the frame 17:20-17:30") == "the sun is in the frame 17:20–17:30"


def test_words_that_only_look_like_a_filter_stay() -> None:
    assert readable("the 2nd pole, and politely") == "the 2nd pole, and politely"


def test_whoever_reads_a_page_meets_pictures_and_not_keepers() -> None:
    assert readable("2 s with nd8; 2 keepers here in the same light show EV 9") == (
        "2 s with ND8; 2 pictures here in the same light show EV 9"
    )
