"""ISO from every place cameras put it."""

from collections.abc import Callable

import pytest
from piexif import ExifIFD

from logbook.intake.exif.sensitivity import read_iso
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]


def test_the_old_tag_is_read_first(tags_of: TagsOf) -> None:
    exif = {ExifIFD.ISOSpeedRatings: 400, ExifIFD.RecommendedExposureIndex: 800}
    assert read_iso(tags_of(exif)) == (400, ())


def test_zeros_before_the_number_are_passed_over(tags_of: TagsOf) -> None:
    assert read_iso(tags_of({ExifIFD.ISOSpeedRatings: (0, 640)})) == (640, ())


@pytest.mark.parametrize(
    ("sensitivity_type", "expected"), [(1, 100_000), (2, 102_400), (3, 104_000), (4, 102_400), (0, 102_400)]
)  # CIPA DC-008, SensitivityType
def test_an_overflowing_old_tag_leads_to_the_tag_its_type_names(
    tags_of: TagsOf, sensitivity_type: int, expected: int
) -> None:
    exif = {
        ExifIFD.ISOSpeedRatings: 65_535,
        ExifIFD.SensitivityType: sensitivity_type,
        ExifIFD.StandardOutputSensitivity: 100_000,
        ExifIFD.RecommendedExposureIndex: 102_400,
        ExifIFD.ISOSpeed: 104_000,
    }
    assert read_iso(tags_of(exif)) == (expected, ())


@pytest.mark.parametrize("tag", ["StandardOutputSensitivity", "RecommendedExposureIndex", "ISOSpeed"])
def test_each_long_tag_is_found_when_it_stands_alone(tags_of: TagsOf, tag: str) -> None:
    assert read_iso(tags_of({getattr(ExifIFD, tag): 250})) == (250, ())


def test_an_exposure_index_stands_in_and_is_noted(tags_of: TagsOf) -> None:
    iso, notes = read_iso(tags_of({ExifIFD.ExposureIndex: (200, 1)}))
    assert (iso, notes) == (200, ("ISO 200 taken from ExposureIndex",))


def test_zero_and_a_lone_overflow_are_unknown_and_noted(tags_of: TagsOf) -> None:
    assert read_iso(tags_of({ExifIFD.ISOSpeedRatings: 0})) == (None, ("ISO unknown: the file says 0",))
    iso, notes = read_iso(tags_of({ExifIFD.ISOSpeedRatings: 65_535}))
    assert iso is None
    assert "65535" in notes[0]


def test_no_tag_is_unknown_without_a_note() -> None:
    assert read_iso(Tags()) == (None, ())
