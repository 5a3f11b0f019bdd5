"""Camera bodies, named as people say them; lens names and focal lengths."""

from collections.abc import Callable

import pytest
from piexif import ExifIFD

from logbook.intake.exif.gear import join_body, read_lens
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]


def test_focal_length_and_its_equivalent_are_read(tags_of: TagsOf) -> None:
    lens = read_lens(tags_of({ExifIFD.FocalLength: (465, 10), ExifIFD.FocalLengthIn35mmFilm: 70}))
    assert (lens.focal_mm, lens.focal_35mm, lens.notes) == (46.5, 70, ())


def test_an_equivalent_of_zero_is_the_standards_unknown_and_needs_no_note(tags_of: TagsOf) -> None:
    lens = read_lens(tags_of({ExifIFD.FocalLengthIn35mmFilm: 0}))
    assert (lens.focal_35mm, lens.notes) == (None, ())


@pytest.mark.parametrize("raw", [(0, 1), (0, 0), (5001, 1)])
def test_a_focal_length_that_cannot_be_is_unknown_and_noted(tags_of: TagsOf, raw: tuple[int, int]) -> None:
    lens = read_lens(tags_of({ExifIFD.FocalLength: raw}))
    assert lens.focal_mm is None
    assert len(lens.notes) == 1


@pytest.mark.parametrize(
    "name", [b"Example 24-70mm F2.8", b"Example 24-70mm F2.8\0\0\0", b"  Example 24-70mm  F2.8 "]
)
def test_a_lens_name_is_freed_of_padding(tags_of: TagsOf, name: bytes) -> None:
    assert read_lens(tags_of({ExifIFD.LensModel: name})).name == "Example 24-70mm F2.8"


@pytest.mark.parametrize("name", [b"----", b"Unknown", b"   ", b"0.0 mm f/0.0"])
def test_a_placeholder_is_no_lens_name(tags_of: TagsOf, name: bytes) -> None:
    assert read_lens(tags_of({ExifIFD.LensModel: name})).name is None


@pytest.mark.parametrize(
    ("specification", "name"),
    [
        (((24, 1), (70, 1), (28, 10), (28, 10)), "24-70 mm f/2.8"),
        (((18, 1), (55, 1), (35, 10), (56, 10)), "18-55 mm f/3.5-5.6"),
        (((35, 1), (35, 1), (0, 0), (0, 0)), "35 mm"),
        (((0, 0), (0, 0), (0, 0), (0, 0)), None),
    ],
)  # CIPA DC-008, LensSpecification; 0/0 is unknown
def test_a_lens_without_a_name_is_named_by_its_range(
    tags_of: TagsOf, specification: tuple[tuple[int, int], ...], name: str | None
) -> None:
    assert read_lens(tags_of({ExifIFD.LensSpecification: specification})).name == name


@pytest.mark.parametrize(
    ("make", "model", "body"),
    [
        ("EXAMPLE CORPORATION", "EXAMPLE Quill", "EXAMPLE Quill"),
        ("Example Co., Ltd.", "Quill", "Example Quill"),
        ("EXAMPLE IMAGING CORP.", "QUILL-2", "EXAMPLE QUILL-2"),
        ("EXAMPLE OPTICAL CO.,LTD", "Quill", "EXAMPLE Quill"),
        ("Eastern Example Company", "EXAMPLE Quill ZOOM", "EXAMPLE Quill ZOOM"),
        ("Example", "Example", "Example"),
        ("Example", None, "Example"),
        (None, "Quill", "Quill"),
        (None, None, None),
        ("Example", "--", "Example --"),
    ],
)
def test_a_maker_is_said_once(make: str | None, model: str | None, body: str | None) -> None:
    assert join_body(make, model) == body
