"""Tags behind getters that never raise, in bounded time; two integers that may or may not make a number."""

import time
from collections.abc import Callable
from fractions import Fraction
from io import BytesIO

import piexif
import pytest
from hypothesis import given
from hypothesis import strategies as st
from piexif import ExifIFD, ImageIFD

from logbook.intake.exif.directories import read_directories
from logbook.intake.exif.packets import DamagedError
from logbook.intake.exif.tags import ExifRational, Tags, believed, with_maker_notes

TagsOf = Callable[..., Tags]


def test_a_bare_name_is_found_in_either_directory(tags_of: TagsOf) -> None:
    tags = tags_of({ExifIFD.FNumber: (8, 1)}, main={ImageIFD.Make: b"Example"})
    assert tags.rational("FNumber") == ExifRational(8)
    assert tags.text("Make") == "Example"
    assert tags.values("Model") is None


def test_text_is_cut_at_the_first_nul_and_tidied(tags_of: TagsOf) -> None:
    assert tags_of(main={ImageIFD.Make: b" Example \t X\0junk"}).text("Make") == "Example X"
    assert tags_of(main={ImageIFD.Make: b"   \0"}).text("Make") is None
    assert tags_of(main={ImageIFD.Make: "Müller".encode("latin-1")}).text("Make") == "Müller"


def test_a_number_asked_of_text_is_none(tags_of: TagsOf) -> None:
    tags = tags_of(main={ImageIFD.Make: b"Example"})
    assert tags.rational("Make") is None
    assert tags.integer("Make") is None
    assert tags.rational("Make", 7) is None


def test_a_zero_denominator_is_kept_as_written(tags_of: TagsOf) -> None:
    assert tags_of({ExifIFD.FNumber: (0, 0)}).rational("FNumber") == ExifRational(0, 0)
    assert tags_of({ExifIFD.FNumber: (5, 0)}).rational("FNumber") == ExifRational(5, 0)


@pytest.mark.parametrize("block", [b"", b"II", b"Exif\0\0II*\0", b"nonsense"])
def test_a_block_that_is_no_tiff_structure_is_damaged_or_empty(block: bytes) -> None:
    try:
        assert not Tags(read_directories(BytesIO(block)))
    except DamagedError as error:
        assert "Exif block" in str(error)  # noqa: PT017


@pytest.mark.parametrize("tag", [0x829A, 0xC000])
def test_a_block_that_multiplies_its_work_ends_soon(tag: int) -> None:
    entry = tag.to_bytes(2, "little") + b"\5\0" + (999).to_bytes(4, "little") + b"\x08\0\0\0"
    block = b"II*\0\x08\0\0\0" + (5000).to_bytes(2, "little") + entry * 5000 + bytes(9000)
    began = time.process_time()
    Tags(read_directories(BytesIO(block)))
    assert time.process_time() - began < 2


@pytest.mark.slow
def test_a_makers_note_that_multiplies_its_work_is_given_up_soon() -> None:
    entries = b"".join(
        (0xC000 + n).to_bytes(2, "little")
        + (5).to_bytes(2, "little")
        + (999).to_bytes(4, "little")
        + b"\x08\0\0\0"
        for n in range(5000)
    )  # 5000 tags of 999 fractions each, all in the same place
    block = b"II*\0\x08\0\0\0" + (5000).to_bytes(2, "little") + entries + bytes(9000)
    began = time.process_time()
    with pytest.raises(DamagedError, match="in a loop"):
        with_maker_notes(BytesIO(block), Tags())
    assert time.process_time() - began < 5


def test_nothing_is_logged(tags_of: TagsOf, caplog: pytest.LogCaptureFixture) -> None:
    block = piexif.dump({"0th": {ImageIFD.Make: b"\xff\xfe\xfd"}})
    Tags(read_directories(BytesIO(block[6:])))
    assert caplog.records == []


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
