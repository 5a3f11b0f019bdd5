"""Stars from Exif tags, and from the text that XMP holds."""

from collections.abc import Callable

import pytest
from piexif import ImageIFD

from logbook.intake.exif.tags import Tags
from logbook.intake.marks import exif_stars, xmp_stars

TagsOf = Callable[..., Tags]


@pytest.mark.parametrize(("written", "stars"), [("-1", -1), ("0", 0), ("3", 3), ("5", 5), ("4.0", 4)])
def test_stars_are_a_whole_number(written: str, stars: int) -> None:
    assert xmp_stars(written) == (stars, ())


@pytest.mark.parametrize("written", ["6", "-2", "3.5", "nan", "inf", "many"])
def test_stars_that_cannot_be_are_unknown_and_noted(written: str) -> None:
    assert xmp_stars(written) == (None, (f"rating unknown: the file says {written!r}",))


@pytest.mark.parametrize(
    ("percent", "stars"), [(0, 0), (1, 1), (25, 2), (50, 3), (75, 4), (99, 5)]
)  # what desktop systems write for 0 to 5 stars; from memory
def test_a_percentage_becomes_stars(tags_of: TagsOf, percent: int, stars: int) -> None:
    assert exif_stars(tags_of(main={ImageIFD.RatingPercent: percent})) == (stars, ())


def test_stars_go_before_a_percentage(tags_of: TagsOf) -> None:
    assert exif_stars(tags_of(main={ImageIFD.Rating: 2, ImageIFD.RatingPercent: 99})) == (2, ())
    assert exif_stars(tags_of(main={ImageIFD.Rating: 9}))[1] == ("rating unknown: the file says 9",)
    assert exif_stars(tags_of()) == (None, ())
