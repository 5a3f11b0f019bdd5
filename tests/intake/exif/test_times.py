"""Camera times, fractions, offsets and satellite times."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from piexif import GPSIFD, ExifIFD, ImageIFD

from logbook.intake.exif.tags import Tags
from logbook.intake.exif.times import read_times

TagsOf = Callable[..., Tags]


@pytest.mark.parametrize(
    ("original", "subsec", "offset", "utc"),
    [
        (b"2024:05:17 14:30:00", b"", b"+02:00", datetime(2024, 5, 17, 12, 30, tzinfo=UTC)),
        (b"2024:12:31 23:30:05", b"130", b"-03:30", datetime(2025, 1, 1, 3, 0, 5, 130_000, tzinfo=UTC)),
        (b"2024:01:01 00:15:00", b"5", b"+05:45", datetime(2023, 12, 31, 18, 30, 0, 500_000, tzinfo=UTC)),
        (b"2024:06:01 12:00:00", b"007", b"   :  ", None),
    ],
)  # worked through by hand from CIPA DC-008 (Exif 2.31): fraction digits and offset east of UTC; exact
def test_time_fraction_and_offset_make_an_instant(
    tags_of: TagsOf, original: bytes, subsec: bytes, offset: bytes, utc: datetime | None
) -> None:
    exif = {
        ExifIFD.DateTimeOriginal: original,
        ExifIFD.SubSecTimeOriginal: subsec,
        ExifIFD.OffsetTimeOriginal: offset,
    }
    taken = read_times(tags_of(exif))
    assert taken.taken_local is not None
    assert taken.notes == ()
    if utc is None:
        assert taken.utc_offset_min is None
        assert taken.taken_local.microsecond == 7_000
    else:
        assert taken.utc_offset_min is not None
        instant = taken.taken_local.replace(tzinfo=UTC) - timedelta(minutes=taken.utc_offset_min)
        assert instant == utc


@pytest.mark.parametrize("blank", [b"    :  :     :  :  ", b"                   "])
def test_a_blank_time_is_missing_without_a_note(tags_of: TagsOf, blank: bytes) -> None:
    taken = read_times(tags_of({ExifIFD.DateTimeOriginal: blank}))
    assert (taken.taken_text, taken.taken_local, taken.notes) == (None, None, ())


@pytest.mark.parametrize(
    "text", ["0000:00:00 00:00:00", "1980:01:01 00:00:00", "2024:13:01 00:00:00", "yesterday"]
)
def test_a_time_that_cannot_be_is_unknown_but_its_text_is_kept(tags_of: TagsOf, text: str) -> None:
    taken = read_times(tags_of({ExifIFD.DateTimeOriginal: text.encode()}))
    assert taken.taken_local is None
    assert taken.taken_text == text
    assert taken.notes == (f"time unknown: DateTimeOriginal says {text!r}",)


def test_a_later_time_tag_stands_in_and_is_noted(tags_of: TagsOf) -> None:
    taken = read_times(
        tags_of(
            {
                ExifIFD.DateTimeOriginal: b"0000:00:00 00:00:00",
                ExifIFD.SubSecTimeOriginal: b"99",
                ExifIFD.DateTimeDigitized: b"2031:10:14 17:42:05",
            }
        )
    )
    assert taken.taken_local == datetime(2031, 10, 14, 17, 42, 5)  # noqa: DTZ001
    assert taken.notes[-1] == "time taken from DateTimeDigitized, which later editing may have changed"


@pytest.mark.parametrize("original", [{}, {ExifIFD.DateTimeOriginal: b"    :  :     :  :  "}])
def test_the_date_of_the_last_change_is_a_doubt_and_no_time(
    tags_of: TagsOf, original: dict[int, bytes]
) -> None:
    exif = original | {ExifIFD.OffsetTime: b"+02:00"}
    taken = read_times(tags_of(exif, main={ImageIFD.DateTime: b"2031:10:14 17:42:05"}))
    assert (taken.taken_text, taken.taken_local, taken.utc_offset_min) == (None, None, None)
    assert taken.notes == (
        "the date '2031:10:14 17:42:05' is when the file was last changed, not when the picture was taken",
    )


def test_an_offset_for_another_time_is_not_borrowed(tags_of: TagsOf) -> None:
    exif = {ExifIFD.DateTimeOriginal: b"2031:10:14 17:42:05", ExifIFD.OffsetTime: b"+09:00"}
    edited = read_times(tags_of(exif, main={ImageIFD.DateTime: b"2031:11:02 08:00:00"}))
    assert edited.utc_offset_min is None
    untouched = read_times(tags_of(exif, main={ImageIFD.DateTime: b"2031:10:14 17:42:05"}))
    assert untouched.utc_offset_min == 540


@pytest.mark.parametrize("text", ["+25:00", "+02:75", "two", "+2"])
def test_an_offset_that_cannot_be_is_noted_and_its_text_kept(tags_of: TagsOf, text: str) -> None:
    exif = {ExifIFD.DateTimeOriginal: b"2031:10:14 17:42:05", ExifIFD.OffsetTimeOriginal: text.encode()}
    taken = read_times(tags_of(exif))
    assert (taken.utc_offset_text, taken.utc_offset_min) == (text, None)
    assert taken.notes == (f"offset from UTC unknown: the file says {text!r}",)


def test_satellite_date_and_time_make_utc(tags_of: TagsOf) -> None:
    gps = {GPSIFD.GPSDateStamp: b"2031:10:14", GPSIFD.GPSTimeStamp: ((15, 1), (42, 1), (525, 100))}
    assert read_times(tags_of(gps=gps)).gps_utc == datetime(2031, 10, 14, 15, 42, 5, 250_000, tzinfo=UTC)


@pytest.mark.parametrize(
    "gps",
    [
        {GPSIFD.GPSTimeStamp: ((15, 1), (42, 1), (5, 1))},
        {GPSIFD.GPSDateStamp: b"2031:10:14", GPSIFD.GPSTimeStamp: ((0, 0), (42, 1), (5, 1))},
        {GPSIFD.GPSDateStamp: b"2031:10:14", GPSIFD.GPSTimeStamp: ((25, 1), (42, 1), (5, 1))},
        {GPSIFD.GPSDateStamp: b"1980:01:06", GPSIFD.GPSTimeStamp: ((0, 1), (0, 1), (0, 1))},
    ],
)
def test_a_satellite_time_that_cannot_be_is_unknown_and_noted(
    tags_of: TagsOf, gps: dict[int, object]
) -> None:
    taken = read_times(tags_of(gps=gps))
    assert taken.gps_utc is None
    assert len(taken.notes) == 1
