"""Two integers that may or may not make a number."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.intake.exif.rationals import ExifRational, believed


@pytest.mark.parametrize(
    ("numerator", "denominator", "value"),
    [
        (1, 125, Fraction(1, 125)),
        (10, 1250, Fraction(1, 125)),
        (28, 10, Fraction(14, 5)),
        (350, 100, Fraction(7, 2)),
        (-2, 3, Fraction(-2, 3)),
        (0, 10, Fraction(0)),
        (50, 1, Fraction(50)),
    ],
)  # CIPA DC-008: a rational need not be in lowest terms
def test_a_rational_is_its_exact_quotient(numerator: int, denominator: int, value: Fraction) -> None:
    assert ExifRational(numerator, denominator).value == value


def test_a_zero_denominator_has_no_value() -> None:
    assert ExifRational(0, 0).value is None
    assert ExifRational(5, 0).value is None


def test_all_bits_set_means_unknown_even_in_lowest_terms() -> None:
    assert ExifRational(0xFFFFFFFF, 1).value is None
    reduced = Fraction(0xFFFFFFFF, 1000)
    assert ExifRational(reduced.numerator, reduced.denominator).value is None
    assert ExifRational(65_537, 2).value == Fraction(65_537, 2)


def test_a_disbelieved_value_is_noted_as_the_file_says_it() -> None:
    notes: list[str] = []
    assert believed(ExifRational(0, 0), "aperture", notes, least=0.5, most=128) is None
    assert believed(ExifRational(0, 1), "aperture", notes, least=0.5, most=128) is None
    assert believed(ExifRational(500), "aperture", notes, least=0.5, most=128) is None
    assert notes == [
        "aperture unknown: the file says 0/0",
        "aperture unknown: the file says 0",
        "aperture unknown: the file says 500, which is not possible",
    ]


def test_a_missing_value_is_unknown_without_a_note() -> None:
    notes: list[str] = []
    assert believed(None, "aperture", notes, least=0.5, most=128) is None
    assert notes == []


@given(st.integers(-(2**31), 2**32 - 1), st.integers(-(2**31), 2**32 - 1))
def test_whatever_is_believed_lies_in_range_and_whatever_is_not_is_noted(
    numerator: int, denominator: int
) -> None:
    notes: list[str] = []
    value = believed(ExifRational(numerator, denominator), "value", notes, least=-6, most=6)
    assert (value is None) == bool(notes)
    if value is not None:
        assert -6 <= value <= 6
        assert value == Fraction(numerator, denominator)
