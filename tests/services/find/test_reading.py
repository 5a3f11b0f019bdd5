"""How questions are read: facts, words, and what is left out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.services.find.reading import Piece, QuestionRead, pieces_of, read
from logbook.services.find.synonyms import synonyms_with

OURS = synonyms_with()


def reading(question: str) -> QuestionRead:
    return read(question, OURS)


def says(question: str) -> list[str]:
    return [term.says for term in reading(question).facts]


@pytest.mark.parametrize(
    ("typed", "pieces"),
    [
        ("silky water", [Piece("silky"), Piece("water")]),
        ('"silky water" dusk', [Piece("silky water", quoted=True), Piece("dusk")]),
        ("“silky water” ‘dusk’", [Piece("silky water", quoted=True), Piece("dusk")]),
        ("lantern*", [Piece("lantern", goes_on=True)]),
        ('"lantern even"*', [Piece("lantern even", quoted=True, goes_on=True)]),
        ("f/16, (tripod)!", [Piece("f/16"), Piece("tripod")]),
        ('30" tripod', [Piece("30s"), Piece("tripod")]),
        ("don't stop", [Piece("don't"), Piece("stop")]),
        ('an "open quotation', [Piece("an"), Piece("open"), Piece("quotation")]),
        ("NEAR(a b) AND NOT *", [Piece("NEAR(a"), Piece("b"), Piece("AND"), Piece("NOT")]),
        ("", []),
        ("🎉 -- \x00 * \" ''", []),
        ("Cafe\u0301", [Piece("Café")]),
        ("mist\ud800rail\x00gate", [Piece("mist"), Piece("rail"), Piece("gate")]),
    ],
)
def test_a_question_is_taken_apart_as_meant(typed: str, pieces: list[Piece]) -> None:
    assert list(pieces_of(typed)) == pieces


@given(st.text(st.characters()))
def test_every_piece_of_any_text_can_be_looked_for(typed: str) -> None:
    for piece in pieces_of(typed):
        assert any(letter.isalnum() for letter in piece.text)
        assert piece.text.isprintable()


@pytest.mark.parametrize(
    ("question", "facts"),
    [
        ("f/16 tripod dusk", ["aperture f/16 (within a third of a stop)", "support tripod", "light dusk"]),
        ("F16", ["aperture f/16 (within a third of a stop)"]),
        ("f 5.6", ["aperture f/5.6 (within a third of a stop)"]),
        ("2s", ["shutter speed 2 s (within a third of a stop)"]),
        ("2 seconds", ["shutter speed 2 s (within a third of a stop)"]),
        ("1/60", ["shutter speed 1/60 s (within a third of a stop)"]),
        ("2 min 8 s", ["shutter speed 2 min 8 s (within a third of a stop)"]),
        ('30"', ["shutter speed 30 s (within a third of a stop)"]),
        ("half a second", ["shutter speed 1/2 s (within a third of a stop)"]),
        ("24 mm", ["focal length 24 mm"]),
        ("iso 3200", ["ISO 3200"]),
        ("nd8", ["a neutral density filter of 3 stops"]),
        ("10-stop filter", ["a neutral density filter of 10 stops"]),
        ("ND", ["a neutral density filter"]),
        ("without filters", ["no filter"]),
        ("polarizer", ["a polariser"]),
        ("hand-held", ["support handheld"]),
        ("no tripods", ["no tripod (other support, or forbidden there)"]),
        ("without a tripod", ["no tripod (other support, or forbidden there)"]),
        ("tripods forbidden", ["tripod forbidden"]),
        ("no filter", ["no filter"]),
        ("without any filter", ["no filter"]),
        ("without ND", ["not a neutral density filter"]),
        ("no polariser", ["not a polariser"]),
        ("not handheld", ["not support handheld"]),
        ("not crowded", ["crowd few or none"]),
        ("not a big crowd", ["not crowd dozens or more"]),
        ("without a crowd", ["crowd none"]),
        ("not windy", ["not wind force 6 or more"]),
        ("not at night", ["not light night"]),
        ("not f/2.8", ["not aperture f/2.8 (within a third of a stop)"]),
        ("never missed", ["not outcome missed"]),
        ("hundreds of people", ["crowd hundreds"]),
        ("nobody there", ["crowd none"]),
        ("high water", ["water high"]),
        ("wind force 5", ["wind force 5"]),
        ("long exposures", ["shutter speed 1 s or slower"]),
        ("golden hour", ["light golden hour"]),
        ("missed because of weather", ["reason weather"]),
        ("failed", ["outcome missed or partly or replaced"]),
        ("October 2031", ["October", "in 2031"]),
        ("tack sharp", ["judged sharp"]),
    ],
)
def test_facts_are_read_as_photographers_write_them(question: str, facts: list[str]) -> None:
    assert says(question) == facts
    assert reading(question).words == ()


@pytest.mark.parametrize(
    "question", ["24", "may", "march", "soft light", "f/0", "nd0", "iso 0", "force 13", "0mm", "1/0", "made"]
)
def test_what_may_mean_something_else_is_looked_for_as_words(question: str) -> None:
    assert says(question) == []
    assert reading(question).words


def test_quoted_words_are_never_facts() -> None:
    (term,) = reading('"tripod dusk"').terms
    assert (term.typed, term.says, term.is_fact) == ("tripod dusk", '"tripod dusk"', False)


def test_small_words_are_left_out_unless_there_is_nothing_else() -> None:
    assert reading("where was the mist").left_out == ("where", "was", "the")
    assert [term.typed for term in reading("what was it").terms] == ["what", "was", "it"]


def test_synonyms_are_said() -> None:
    (term,) = reading("silky water").terms
    assert term.says.startswith("silky water (or smooth water, milky water")


def test_the_same_thing_twice_counts_once() -> None:
    assert len(reading("mist mist tripod tripod").terms) == 2


def test_a_very_long_question_is_cut_and_says_so() -> None:
    long = reading(" ".join(f"word{number}" for number in range(40)))
    assert len(long.terms) == 24
    assert long.left_out[0] == "word24"


@given(st.text(st.characters()))
def test_any_question_can_be_read(question: str) -> None:
    reading(question)
