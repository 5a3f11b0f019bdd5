"""Camera settings in XMP: both forms, arrays, structures, and what happens where Exif speaks too."""

import struct
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import piexif
import pytest
from hypothesis import given
from hypothesis import strategies as st
from piexif import GPSIFD, ExifIFD, ImageIFD

from logbook.domain.camera import CameraFacts, DistanceRange, ExposureMode, Metering
from logbook.intake.xmp import read_xmp
from tests.intake.made import picture
from tests.intake.reading import read_picture, read_sidecar

SPACES = {
    "exif": "http://ns.adobe.com/exif/1.0/",
    "exifEX": "http://cipa.jp/exif/1.0/",
    "aux": "http://ns.adobe.com/exif/1.0/aux/",
    "tiff": "http://ns.adobe.com/tiff/1.0/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
}
Form = Callable[[dict[str, str]], bytes]
Facts = Callable[..., CameraFacts]


def whole(inner: str) -> bytes:
    names = " ".join(f'xmlns:{prefix}="{space}"' for prefix, space in SPACES.items())
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        f'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" {names}>{inner}</rdf:RDF></x:xmpmeta>'
    ).encode()


def attributes(values: dict[str, str]) -> bytes:
    told = " ".join(f'{name}="{value}"' for name, value in values.items())
    return whole(f'<rdf:Description rdf:about="" {told}/>')


def elements(values: dict[str, str]) -> bytes:
    told = "".join(f"<{name}>{value}</{name}>" for name, value in values.items())
    return whole(f'<rdf:Description rdf:about="">{told}</rdf:Description>')


def sequence(*values: object) -> str:
    return "<rdf:Seq>" + "".join(f"<rdf:li>{value}</rdf:li>" for value in values) + "</rdf:Seq>"


@pytest.fixture
def facts(tmp_path: Path) -> Facts:
    """A function from XMP beside a picture, and Exif and XMP within it, to what is read."""

    def read(
        beside: bytes | None, exif: dict[str, dict[int, Any]] | None = None, within: bytes | None = None
    ) -> CameraFacts:
        path = tmp_path / "FRM_2031.jpg"
        content = picture("JPEG", **({"exif": piexif.dump(exif)} if exif else {}))
        if within is not None:
            segment = b"http://ns.adobe.com/xap/1.0/\0" + within
            content = content[:2] + b"\xff\xe1" + struct.pack(">H", len(segment) + 2) + segment + content[2:]
        path.write_bytes(content)
        if beside is None:
            return read_picture(path)
        sidecar = path.with_suffix(".xmp")
        sidecar.write_bytes(beside)
        return read_picture(path, [read_sidecar(sidecar)])

    return read


RESOURCE = '<exif:Flash rdf:parseType="Resource">'
SIMPLE = {
    "exif:ExposureTime": "10/80",
    "exif:FNumber": "56/10",
    "exif:ExposureProgram": "3",
    "exif:ExposureMode": "2",
    "exif:ExposureBiasValue": "-2/3",
    "exif:MeteringMode": "3",
    "exif:FocalLength": "35/1",
    "exif:FocalLengthIn35mmFilm": "52",
    "exif:BrightnessValue": "-113/20",
    "exif:SubjectDistance": "63/100",
    "exif:SubjectDistanceRange": "2",
    "exif:GPSAltitude": "8210/10",
    "exif:GPSAltitudeRef": "1",
    "exif:GPSImgDirection": "26550/100",
    "exif:GPSImgDirectionRef": "M",
    "exif:GPSTimeStamp": "2031-10-14T17:42:05.25+02:00",
    "exif:DateTimeOriginal": "2031-10-14T17:42:05.5+02:00",
    "exifEX:LensModel": "Invented 35mm f/2",
    "tiff:Make": "Example Corporation",
    "tiff:Model": "Example X1",
    "tiff:Orientation": "8",
}


@pytest.mark.parametrize("form", [attributes, elements])
@pytest.mark.parametrize("is_beside", [True, False])
def test_settings_are_read_in_either_form_within_and_beside(
    facts: Facts, form: Form, is_beside: bool
) -> None:
    packet = form(SIMPLE)
    found = facts(packet) if is_beside else facts(None, within=packet)
    assert found == CameraFacts(
        format="JPEG",
        width_px=found.width_px,
        height_px=found.height_px,
        orientation=8,
        taken_text="2031:10:14 17:42:05",
        taken_local=datetime(2031, 10, 14, 17, 42, 5, 500_000),  # noqa: DTZ001
        utc_offset_text="+02:00",
        utc_offset_min=120,
        gps_utc=datetime(2031, 10, 14, 15, 42, 5, 250_000, tzinfo=UTC),
        exposure_s=Fraction(1, 8),
        f_number=5.6,
        bias_stops=-2 / 3,
        focal_mm=35.0,
        focal_35mm=52.0,
        exposure_mode=ExposureMode.APERTURE_PRIORITY,
        auto_bracket=True,
        metering=Metering.SPOT,
        brightness_ev=-5.65,
        subject_distance_m=0.63,
        subject_distance_range=DistanceRange.CLOSE,
        body="Example X1",
        lens="Invented 35mm f/2",
        altitude_m=-821.0,
        direction_deg=265.5,
        direction_is_magnetic=True,
    )


@pytest.mark.parametrize(
    "values",
    [
        {"exif:ISOSpeedRatings": sequence(640)},
        {"exif:ISOSpeedRatings": sequence(0, 640)},
        {"exifEX:PhotographicSensitivity": "640"},
        {"exifEX:PhotographicSensitivity": sequence(640)},
        {"exifEX:PhotographicSensitivity": "65535", "exifEX:RecommendedExposureIndex": "640"},
        {"exif:ISOSpeedRatings": "640"},
    ],
)
def test_iso_is_read_from_every_property_that_holds_it(facts: Facts, values: dict[str, str]) -> None:
    assert facts(elements(values)).iso == 640


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ({"aux:Lens": "70.0-210.0 mm f/4.0"}, "70.0-210.0 mm f/4.0"),
        ({"aux:LensInfo": "70/1 210/1 40/10 40/10"}, "70-210 mm f/4"),
        ({"exifEX:LensSpecification": sequence("24/1", "70/1", "28/10", "28/10")}, "24-70 mm f/2.8"),
        ({"exifEX:LensSpecification": sequence("18/1", "55/1", "0/0", "0/0")}, "18-55 mm"),
        ({"aux:Lens": "Old name", "exifEX:LensModel": "Invented 24mm f/2"}, "Invented 24mm f/2"),
    ],
)
def test_a_lens_is_read_from_every_property_that_names_it(
    facts: Facts, values: dict[str, str], name: str
) -> None:
    assert facts(elements(values)).lens == name


@pytest.mark.parametrize(
    "flash",
    [
        f"{RESOURCE}<exif:Fired>{{}}</exif:Fired><exif:Mode>2</exif:Mode></exif:Flash>",
        f"{RESOURCE}<exif:Mode>1</exif:Mode><exif:Fired>{{}}</exif:Fired></exif:Flash>",
        '<exif:Flash exif:Fired="{}" exif:Mode="2"/>',
        '<exif:Flash><rdf:Description exif:Fired="{}" exif:Mode="2"/></exif:Flash>',
        "<exif:Flash><rdf:Description><exif:Fired>{}</exif:Fired></rdf:Description></exif:Flash>",
    ],
)
@pytest.mark.parametrize(("word", "fired"), [("True", True), ("False", False), ("perhaps", None)])
def test_the_flash_is_a_structure(facts: Facts, flash: str, word: str, fired: bool | None) -> None:
    packet = whole(f'<rdf:Description rdf:about="">{flash.format(word)}</rdf:Description>')
    assert facts(packet).flash_fired is fired


def test_a_flash_structure_without_that_field_says_nothing(facts: Facts) -> None:
    flash = '<exif:Flash rdf:parseType="Resource"><exif:Function>True</exif:Function></exif:Flash>'
    assert facts(whole(f'<rdf:Description rdf:about="">{flash}</rdf:Description>')).flash_fired is None


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("0.0166667", Fraction(1, 60)),
        ("0.004", Fraction(1, 250)),
        ("0.3", Fraction(3, 10)),
        ("2.5", Fraction(5, 2)),
        ("30", Fraction(30)),
        ("1/8000", Fraction(1, 8000)),
    ],
)
def test_a_time_written_as_a_decimal_is_the_marked_one(facts: Facts, written: str, seconds: Fraction) -> None:
    assert facts(attributes({"exif:ExposureTime": written})).exposure_s == seconds


@pytest.mark.parametrize("written", ["0/0", "1/0", "-1/60", "soon", "1/60/2", "9" * 40, "NaN", "1e999"])
def test_a_number_that_cannot_be_is_unknown(facts: Facts, written: str) -> None:
    values = dict.fromkeys(("exif:ExposureTime", "exif:FNumber", "exif:FocalLength"), written)
    found = facts(attributes(values))
    assert (found.exposure_s, found.f_number, found.focal_mm) == (None, None, None)


@pytest.mark.parametrize(
    ("values", "text"),
    [
        ({"exif:DateTimeOriginal": "2031-10-14T17:42"}, "2031:10:14 17:42:00"),
        ({"exif:DateTimeOriginal": "2031:10:14 17:42:05"}, "2031:10:14 17:42:05"),
        ({"photoshop:DateCreated": "2031-10-14T17:42:05Z"}, "2031:10:14 17:42:05"),
        ({"xmp:CreateDate": "2031-10-14T17:42:05"}, "2031:10:14 17:42:05"),
        (
            {"exif:DateTimeOriginal": "2031", "photoshop:DateCreated": "2031-10-14T17:42:05"},
            "2031:10:14 17:42:05",
        ),
        (
            {"exif:DateTimeDigitized": "2031-12-01T08:00:00", "exif:DateTimeOriginal": "2031-10-14T17:42:05"},
            "2031:10:14 17:42:05",
        ),
    ],
)
def test_the_time_of_taking_is_read_from_every_property_that_holds_it(
    facts: Facts, values: dict[str, str], text: str
) -> None:
    found = facts(attributes(values | {"xmp:ModifyDate": "2032-01-02T03:04:05"}))
    assert found.taken_text == text
    assert f"{found.taken_local:%Y:%m:%d %H:%M:%S}" == text


@pytest.mark.parametrize("name", ["xmp:ModifyDate", "tiff:DateTime", "xmp:MetadataDate"])
def test_a_date_of_change_is_no_time_of_taking(facts: Facts, name: str) -> None:
    found = facts(attributes({name: "2031-10-14T17:42:05"}))
    assert (found.taken_text, found.taken_local) == (None, None)


def test_a_day_without_an_hour_is_kept_as_a_doubt(facts: Facts) -> None:
    found = facts(attributes({"photoshop:DateCreated": "2031-10-14"}))
    assert found.taken_local is None
    assert found.notes == ("time unknown: XMP says '2031-10-14'",)


CAMERA = {
    "0th": {
        ImageIFD.DateTime: b"2031:11:30 09:00:00",
        ImageIFD.Orientation: 1,
        ImageIFD.Model: b"Example X1",
    },
    "Exif": {
        ExifIFD.DateTimeOriginal: b"2031:10:14 17:42:05",
        ExifIFD.ExposureTime: (1, 60),
        ExifIFD.FNumber: (8, 1),
        ExifIFD.ISOSpeedRatings: 200,
        ExifIFD.FocalLength: (35, 1),
        ExifIFD.LensModel: b"Invented 35mm f/2",
    },
}


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"exif:ExposureTime": "1/30"}, "shutter speed differs: Exif says 1/60 s, XMP 1/30 s"),
        ({"exif:FNumber": "11/1"}, "aperture differs: Exif says 8, XMP 11"),
        ({"exif:ISOSpeedRatings": sequence(400)}, "ISO differs: Exif says 200, XMP 400"),
        ({"exif:FocalLength": "50/1"}, "focal length differs: Exif says 35 mm, XMP 50 mm"),
        ({"aux:Lens": "Other 50mm f/1.4"}, "lens differs: Exif says Invented 35mm f/2, XMP Other 50mm f/1.4"),
        ({"tiff:Orientation": "6"}, "orientation differs: Exif says 1, XMP 6"),
        ({"exif:DateTimeOriginal": "2031-10-14T19:42:05"}, "time differs: XMP says '2031:10:14 19:42:05'"),
        ({"photoshop:DateCreated": "2031-10-12"}, "time differs: XMP says '2031-10-12'"),
    ],
)
def test_where_both_speak_and_differ_exif_wins_and_the_doubt_is_kept(
    facts: Facts, values: dict[str, str], words: str
) -> None:
    alone, both = facts(None, CAMERA), facts(elements(values), CAMERA)
    (note,) = both.notes
    assert note.startswith(words)
    for name in CameraFacts.__dataclass_fields__:
        assert name == "notes" or getattr(both, name) == getattr(alone, name)


def test_where_both_say_the_same_there_is_no_doubt(facts: Facts) -> None:
    same = {
        "exif:ExposureTime": "0.016666",
        "exif:FNumber": "7.99",
        "exif:ISOSpeedRatings": sequence(200),
        "exif:FocalLength": "350/10",
        "exif:DateTimeOriginal": "2031-10-14T17:42:05.37-04:00",
        "xmp:CreateDate": "2031-12-01T10:00:00",
        "xmp:ModifyDate": "2031-12-01T10:00:00",
        "photoshop:DateCreated": "2031-10-14",
        "aux:Lens": "35.0 mm f/2.0",
        "tiff:Make": "Example",
        "tiff:Model": "Example X1",
    }
    assert facts(elements(same), CAMERA) == facts(None, CAMERA)


def test_an_original_in_xmp_goes_before_the_date_of_an_edit_in_exif(facts: Facts) -> None:
    edited = {"0th": {ImageIFD.DateTime: b"2031:11:30 09:00:00"}}
    found = facts(attributes({"exif:DateTimeOriginal": "2031-10-14T17:42:05"}), edited)
    assert found.taken_text == "2031:10:14 17:42:05"
    assert found.notes == ("time differs: DateTime says '2031:11:30 09:00:00', which is ignored",)


def test_an_original_in_xmp_goes_before_a_digitised_one_in_exif(facts: Facts) -> None:
    scanned = {"Exif": {ExifIFD.DateTimeDigitized: b"2031:11:30 09:00:00"}}
    doubt = "time differs: DateTimeDigitized says '2031:11:30 09:00:00', which is ignored"
    found = facts(attributes({"exif:DateTimeOriginal": "2031-10-14T17:42:05"}), scanned)
    assert found.taken_text == "2031:10:14 17:42:05"
    assert found.notes == (doubt,)


def test_a_doubt_of_exif_that_xmp_answers_is_gone(facts: Facts) -> None:
    broken = {"Exif": {ExifIFD.ExposureTime: (0, 0), ExifIFD.FNumber: (0, 1)}}
    assert len(facts(None, broken).notes) == 2
    found = facts(attributes({"exif:ExposureTime": "1/15", "exif:FNumber": "4/1"}), broken)
    assert (found.exposure_s, found.f_number, found.notes) == (Fraction(1, 15), 4.0, ())


def test_a_position_that_differs_is_a_doubt_and_one_that_is_the_same_is_not(facts: Facts) -> None:
    here = {
        "GPS": {
            GPSIFD.GPSLatitudeRef: b"S",
            GPSIFD.GPSLatitude: ((33, 1), (30, 1), (0, 1)),
            GPSIFD.GPSLongitudeRef: b"W",
            GPSIFD.GPSLongitude: ((70, 1), (15, 1), (0, 1)),
        }
    }
    same = facts(attributes({"exif:GPSLatitude": "33,30.01S", "exif:GPSLongitude": "70,15W"}), here)
    other = facts(attributes({"exif:GPSLatitude": "33,40S", "exif:GPSLongitude": "70,15W"}), here)
    assert (same.latitude_deg, other.latitude_deg, same.notes) == (-33.5, -33.5, ())
    assert other.notes == ("position differs: XMP says -33.66667, -70.25000, which is ignored",)


def test_an_altitude_without_a_fix_is_none(facts: Facts) -> None:
    nowhere = {"exif:GPSLatitude": "0,0N", "exif:GPSLongitude": "0,0E", "exif:GPSAltitude": "0/1"}
    assert facts(attributes(nowhere)).altitude_m is None


def test_what_lies_within_comes_before_what_lies_beside(facts: Facts) -> None:
    within, beside = {"exif:FNumber": "4/1"}, {"exif:FNumber": "4/1", "exif:FocalLength": "85/1"}
    found = facts(attributes(beside), within=attributes(within))
    assert (found.f_number, found.focal_mm, found.notes) == (4.0, 85.0, ())


@given(
    name=st.sampled_from([*SIMPLE, "exif:ISOSpeedRatings", "aux:LensInfo", "xmp:CreateDate", "exif:Flash"]),
    value=st.one_of(
        st.text("0123456789-+/.:TZ, eE", max_size=30), st.text(st.characters(codec="ascii"), max_size=20)
    ),
)
def test_no_value_makes_the_reader_fail(
    tmp_path_factory: pytest.TempPathFactory, name: str, value: str
) -> None:
    for unsafe, safe in (("&", "&amp;"), ("<", "&lt;"), ('"', "&quot;")):
        value = value.replace(unsafe, safe)
    marks = read_xmp(attributes({name: value}))
    path = tmp_path_factory.getbasetemp() / "plain.jpg"
    if not path.exists():
        path.write_bytes(picture("JPEG"))
    read_picture(path, [marks])
