"""Coordinates, height and bearing from a satellite receiver."""

from collections.abc import Callable
from typing import Any

import pytest
from piexif import GPSIFD

from logbook.intake.exif.position import read_position
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]
DMS = tuple[tuple[int, int], ...]


def place(lat: DMS, lat_ref: bytes, lon: DMS, lon_ref: bytes) -> dict[int, Any]:
    return {
        GPSIFD.GPSLatitude: lat,
        GPSIFD.GPSLatitudeRef: lat_ref,
        GPSIFD.GPSLongitude: lon,
        GPSIFD.GPSLongitudeRef: lon_ref,
    }


@pytest.mark.parametrize(
    ("gps", "latitude", "longitude"),
    [
        (place(((48, 1), (7, 1), (30, 1)), b"N", ((11, 1), (34, 1), (12, 1)), b"E"), 48.125, 11.57),
        (
            place(((33, 1), (5134, 100), (0, 1)), b"S", ((151, 1), (1234, 100), (0, 1)), b"E"),
            -33.85566667,
            151.20566667,
        ),
        (
            place(((0, 1), (0, 1), (1, 1)), b"S", ((179, 1), (59, 1), (5999, 100)), b"W"),
            -0.00027778,
            -179.99999722,
        ),
    ],
)  # degrees + minutes/60 + seconds/3600, worked out by hand; tolerance 1e-8 degrees, a millimetre
def test_degrees_minutes_seconds_and_hemisphere_make_signed_degrees(
    tags_of: TagsOf, gps: dict[int, Any], latitude: float, longitude: float
) -> None:
    position = read_position(tags_of(gps=gps))
    assert position.latitude_deg == pytest.approx(latitude, abs=1e-8)
    assert position.longitude_deg == pytest.approx(longitude, abs=1e-8)
    assert position.notes == ()


GOOD = ((11, 1), (34, 1), (12, 1))


@pytest.mark.parametrize(
    ("gps", "reason"),
    [
        (place(((95, 1), (0, 1), (0, 1)), b"N", GOOD, b"E"), "95"),
        (place(((90, 1), (30, 1), (0, 1)), b"N", GOOD, b"E"), "90.5 degrees"),
        (place(((0, 0), (0, 0), (0, 0)), b"N", GOOD, b"E"), "0/0"),
        (place(((48, 1), (75, 1), (0, 1)), b"N", GOOD, b"E"), "75"),
        (place(GOOD, b"", GOOD, b"E"), "hemisphere"),
        (place(GOOD, b"X", GOOD, b"E"), "hemisphere"),
        (place(GOOD, b"N", ((181, 1), (0, 1), (0, 1)), b"E"), "181"),
        (place(((0, 1), (0, 1), (0, 1)), b"N", ((0, 1), (0, 1), (0, 1)), b"E"), "0, 0"),
        ({GPSIFD.GPSLatitude: GOOD, GPSIFD.GPSLatitudeRef: b"N"}, "only one"),
    ],
)
def test_a_position_that_cannot_be_is_unknown_and_noted(
    tags_of: TagsOf, gps: dict[int, Any], reason: str
) -> None:
    position = read_position(tags_of(gps=gps))
    assert (position.latitude_deg, position.longitude_deg) == (None, None)
    assert any(reason in note for note in position.notes)


@pytest.mark.parametrize(("reference", "altitude"), [(0, 412.5), (1, -412.5), (2, 412.5), (3, -412.5)])
def test_the_altitude_reference_is_its_sign(tags_of: TagsOf, reference: int, altitude: float) -> None:
    gps = {GPSIFD.GPSAltitude: (825, 2), GPSIFD.GPSAltitudeRef: reference}
    assert read_position(tags_of(gps=gps)).altitude_m == altitude


def test_an_altitude_without_its_reference_is_above_the_sea(tags_of: TagsOf) -> None:
    """CIPA DC-008 (Exif 2.32), GPSAltitudeRef: the default is 0, above sea level."""
    position = read_position(tags_of(gps={GPSIFD.GPSAltitude: (825, 2)}))
    assert (position.altitude_m, position.notes) == (412.5, ())


def test_an_altitude_with_a_reference_that_cannot_be_is_unknown(tags_of: TagsOf) -> None:
    position = read_position(tags_of(gps={GPSIFD.GPSAltitude: (825, 2), GPSIFD.GPSAltitudeRef: 7}))
    assert position.altitude_m is None
    assert len(position.notes) == 1


@pytest.mark.parametrize(("letter", "is_magnetic"), [(b"T", False), (b"M", True)])
def test_a_bearing_says_which_north_it_counts_from(tags_of: TagsOf, letter: bytes, is_magnetic: bool) -> None:
    gps = {GPSIFD.GPSImgDirection: (27_050, 100), GPSIFD.GPSImgDirectionRef: letter}
    position = read_position(tags_of(gps=gps))
    assert (position.direction_deg, position.direction_is_magnetic) == (270.5, is_magnetic)


@pytest.mark.parametrize(
    "gps",
    [
        {GPSIFD.GPSImgDirection: (270, 1)},
        {GPSIFD.GPSImgDirection: (361, 1), GPSIFD.GPSImgDirectionRef: b"T"},
        {GPSIFD.GPSImgDirection: (0, 0), GPSIFD.GPSImgDirectionRef: b"T"},
    ],
)
def test_a_bearing_that_cannot_be_is_unknown_and_noted(tags_of: TagsOf, gps: dict[int, Any]) -> None:
    position = read_position(tags_of(gps=gps))
    assert (position.direction_deg, position.direction_is_magnetic) == (None, None)
    assert len(position.notes) == 1


def test_another_datum_is_noted(tags_of: TagsOf) -> None:
    gps = place(GOOD, b"N", GOOD, b"E") | {GPSIFD.GPSMapDatum: b"TOKYO"}
    assert "TOKYO" in read_position(tags_of(gps=gps)).notes[0]
    gps[GPSIFD.GPSMapDatum] = b"WGS-84"
    assert read_position(tags_of(gps=gps)).notes == ()
