"""Whatever a person types becomes pieces to look for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.services.find.question import Piece, pieces_of


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
