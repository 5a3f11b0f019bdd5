"""Tags behind getters that never raise, and in bounded time."""

import time
from collections.abc import Callable
from io import BytesIO

import piexif
import pytest
from piexif import ExifIFD, ImageIFD

from logbook.intake.exif.directories import read_directories
from logbook.intake.exif.packets import DamagedError
from logbook.intake.exif.rationals import ExifRational
from logbook.intake.exif.tags import Tags, with_maker_notes

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
