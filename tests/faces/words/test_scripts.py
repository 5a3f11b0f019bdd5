"""Texts of other scripts stay apart from sentences, keep their marks when cut, and name their language."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.faces.report.drawings.svg import shortened as fitted
from logbook.faces.report.drawings.svg import width_of
from logbook.faces.words.phrases import sentence, shortened
from logbook.faces.words.prose import line
from logbook.faces.words.scripts import POP, SET_APART, apart, closed, without_last, written_in

WORDS = st.sampled_from(("gate", "שער", "بوابة", "橋", "नदी का", "Cổng", "12", "(f/8)", "e\u0301\u0323"))
TEXTS = st.lists(WORDS, max_size=8).map(" ".join)


@pytest.mark.parametrize("text", ["", "Gate 4", "Cổng sông", "川の門", "नदी", "Мост"])
def test_what_runs_to_the_right_stands_as_it_is(text: str) -> None:
    assert line(text) == text


@pytest.mark.parametrize("text", ["שער 4", "Gate שער", "بوابة (ND64)", "٣"])
def test_what_runs_to_the_left_is_set_apart_and_only_once(text: str) -> None:
    assert line(text) == f"{SET_APART}{text}{POP}"
    assert line(line(text)) == line(text)


def test_signs_that_a_person_wrote_to_turn_a_page_round_are_gone() -> None:
    assert line("a\u202eb\u2068c") == "abc"


@given(TEXTS, st.integers(1, 30))
def test_a_text_that_was_cut_never_leaves_a_sign_open(text: str, most: int) -> None:
    said = f"At {apart(text)}, {apart(text)}."
    for cut in (shortened(said, most), fitted(said, most * 8.0)):
        assert cut.count(SET_APART) == cut.count(POP)
    assert width_of(fitted(said, 100.0)) <= 100.0


@pytest.mark.parametrize(
    ("text", "left"),
    [("abc", "ab"), ("cafe\u0301", "caf"), ("पुल", "पु"), ("पु", ""), ("a", ""), ("", "")],
)
def test_the_last_letter_goes_with_its_marks(text: str, left: str) -> None:
    assert without_last(text) == left


def test_marks_and_unseen_signs_take_no_room_and_wide_signs_two() -> None:
    assert width_of("e\u0301\u0323") == width_of("e") == width_of(f"{SET_APART}e{POP}")
    assert width_of("橋") == 2 * width_of("a")


def test_a_sentence_ends_once() -> None:
    assert sentence(apart("שלום.")) == f"{SET_APART}שלום.{POP}"
    assert sentence(apart("שלום")) == f"{SET_APART}שלום{POP}."
    assert sentence("着いた。") == "着いた。"
    assert closed(f"{SET_APART}ab") == f"{SET_APART}ab{POP}"


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("川の門", "ja"),
        ("河门", ""),  # Chinese, or Japanese without kana
        ("Cổng sông", "vi"),
        ("Café, Škocjan, Ärger, hôtel", ""),
        ("강의 문", "ko"),
        ("بوابة", ""),  # Arabic, Persian, Urdu …
        (None, ""),
    ],
)
def test_a_language_is_named_only_where_its_signs_leave_no_doubt(text: str | None, language: str) -> None:
    assert written_in(text) == language
