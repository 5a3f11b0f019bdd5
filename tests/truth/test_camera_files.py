"""Real camera files, read by this program and by three readers that it does not use.

The files are those of Debian's package golang-github-rwcarlsen-goexif-dev: pictures of some fifty cameras,
most cut off after their Exif block, some damaged on purpose. The readers, each independent of the others and
of this program:

- ExifTool by Phil Harvey (Debian libimage-exiftool-perl), called once, on the Exif blocks written out as bare
  TIFF structures, because it refuses a JPEG file that is cut off;
- Pillow's Image.Exif, on the same blocks;
- the values that the package's own authors expect (regress_expected_test.go).

Tolerances: times, ISO and rationals exact; ExifTool prints numbers to about 15 digits, so 1e-9 relative
there; degrees 1e-8 (a millimetre). A value that was worked out from the logarithmic tags may differ by a
tenth of a stop, because it is brought to the marked number. Where this program believes less, or finds more,
the case is listed below with its reason; a case that no longer differs fails too.
"""

import json
import re
import shutil
import subprocess
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import log2
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import UnreadableFileError
from tests.intake.reading import read_picture

FOLDER = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif")
EXIFTOOL = shutil.which("exiftool")
FILES = sorted([*FOLDER.glob("samples/*"), *FOLDER.glob("corrupt/*"), *FOLDER.glob("sample1.jpg")])
NAMES = [path.name for path in FILES]
EXACT_RELATIVE = 1e-9
EXACT_DEG = 1e-8

pytestmark = pytest.mark.skipif(
    not FILES, reason="Debian's package golang-github-rwcarlsen-goexif-dev is not installed"
)
needs_exiftool = pytest.mark.skipif(
    EXIFTOOL is None, reason="ExifTool (libimage-exiftool-perl) is not installed"
)

Values = dict[str, Any]  # field of CameraFacts -> what another reader says; absent when it says nothing

# Files that are refused, and why.
REFUSED = {"raw.exif": "not a picture"}

# Not fields of ours: they witness stand-ins, and what is no time of taking.
WITNESSES = APEX_APERTURE, MAKER_ISO, LAST_CHANGE = "ApertureValue", "maker note ISO", "ModifyDate"

# (file, field) where another reader gives a value and this program says unknown or something else, and why.
WITHOUT_FIX = "2011-05-07-13-02-49-sep-2011-05-07-13-02-49a.jpg"
NOT_BELIEVED = {
    ("2004-01-11-22-45-15-sep-2004-01-11-22-45-15a.jpg", "bias_stops"): "9.5 stops is beyond any dial",
    ("geodegrees_as_string.jpg", "exposure_s"): "an exposure of 0 s",
    (
        "geodegrees_as_string.jpg",
        "latitude_deg",
    ): "coordinates as text; ExifTool takes its decimals for minutes",
    (
        "geodegrees_as_string.jpg",
        "longitude_deg",
    ): "coordinates as text; ExifTool takes its decimals for minutes",
    (WITHOUT_FIX, "latitude_deg"): "0, 0 is what receivers write until they have a fix",
    (WITHOUT_FIX, "longitude_deg"): "0, 0 is what receivers write until they have a fix",
    (WITHOUT_FIX, "altitude_m"): "an altitude of 0 beside a position of 0, 0",
    ("huge_tag_exif.jpg", "gps_utc"): "hour 104: the time tag points to the longitude",
    ("max_uint32_exif.jpg", "gps_utc"): "hour 104: the time tag points to the longitude",
    ("huge_tag_exif.jpg", "orientation"): "0 is none of the eight orientations",
    ("max_uint32_exif.jpg", "orientation"): "0 is none of the eight orientations",
    (
        "2010-06-20-20-07-39-sep-2010-06-20-20-07-39a.jpg",
        "metered_ev100",
    ): "an editor moved the maker's note by 50 bytes; ExifTool guesses by how much",
}

# (file, field) where this program has a value and no Exif tag of that name has, and where it is from.
FOUND_ELSEWHERE = {
    ("2009-06-11-19-23-18-sep-2009-06-11-19-23-18a.jpg", "f_number"): APEX_APERTURE,
    ("geodegrees_as_string.jpg", "f_number"): APEX_APERTURE,
    ("2006-08-03-16-29-38-sep-2006-08-03-16-29-38a.jpg", "iso"): MAKER_ISO,
    ("2006-12-10-23-58-20-sep-2006-12-10-23-58-20a.jpg", "iso"): MAKER_ISO,
    ("2007-05-02-17-02-21-sep-2007-05-02-17-02-21a.jpg", "iso"): MAKER_ISO,
    ("2007-05-12-08-19-07-sep-2007-05-12-08-19-07a.jpg", "iso"): MAKER_ISO,
    ("2007-08-24-02-40-42-sep-2007-08-24-02-40-42a.jpg", "iso"): MAKER_ISO,
    ("2099-08-12-19-59-29-sep-2099-08-12-19-59-29a.jpg", "iso"): MAKER_ISO,
}


def exif_block(path: Path) -> bytes | None:
    """The TIFF structure behind the first "Exif" marker, to the end of the file."""
    content = path.read_bytes()
    at = content.find(b"Exif\0\0")
    return None if at < 0 else content[at + 6 :]


@pytest.fixture(scope="module")
def facts() -> dict[str, CameraFacts]:
    return {path.name: read_picture(path) for path in FILES if path.name not in REFUSED}


@pytest.fixture(scope="module")
def exiftool(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Values]:
    folder = tmp_path_factory.mktemp("blocks")
    for path in FILES:
        block = exif_block(path)
        if block:
            (folder / f"{path.name}.tif").write_bytes(block)
    done = subprocess.run(
        [str(EXIFTOOL), "-json", "-n", "-G1", str(folder)],
        capture_output=True,
        text=True,
        check=False,
    )
    read = {Path(entry["SourceFile"]).name[:-4]: entry for entry in json.loads(done.stdout)}
    return {name: dict(_of_exiftool(entry)) for name, entry in read.items()}


_RANGES = {1: "macro", 2: "close", 3: "distant"}  # ExifTool's words: Macro, Close, Distant
_PROGRAMS = {  # ExifTool's words, as this program says them
    1: "manual",
    2: "program",
    3: "aperture priority",
    4: "shutter priority",
    5: "creative program",
    6: "action program",
    7: "portrait",
    8: "landscape",
}


def _of_exiftool(entry: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    def tag(name: str) -> Any:  # some cameras write Exif tags into the main directory
        return entry.get(f"ExifIFD:{name}", entry.get(f"IFD0:{name}"))

    found = {
        "taken_text": tag("DateTimeOriginal") or tag("CreateDate"),
        "exposure_s": tag("ExposureTime"),
        "f_number": tag("FNumber"),
        "iso": tag("ISO"),
        "focal_mm": tag("FocalLength"),
        "focal_35mm": tag("FocalLengthIn35mmFormat"),
        "bias_stops": tag("ExposureCompensation"),
        "orientation": tag("Orientation"),
        "latitude_deg": entry.get("Composite:GPSLatitude"),
        "longitude_deg": entry.get("Composite:GPSLongitude"),
        "altitude_m": entry.get("Composite:GPSAltitude"),
        "direction_deg": entry.get("GPS:GPSImgDirection"),
        "gps_utc": entry.get("Composite:GPSDateTime"),
        "brightness_ev": tag("BrightnessValue"),
        "metered_ev100": entry.get("Canon:MeasuredEV"),
        "subject_distance_m": tag("SubjectDistance"),
        "subject_distance_range": _RANGES.get(tag("SubjectDistanceRange")),
        "exposure_mode": _PROGRAMS.get(tag("ExposureProgram")),
        APEX_APERTURE: tag("ApertureValue"),  # already as an f-number
        LAST_CHANGE: tag("ModifyDate"),
        MAKER_ISO: entry.get("Nikon:ISO", entry.get("Casio:ISO", entry.get("Composite:ISO"))),
    }
    for field, value in found.items():
        if value not in (None, "undef", "inf", ""):
            yield field, value


@pytest.fixture(scope="module")
def pillow() -> dict[str, Values]:
    return {path.name: dict(_of_pillow(path)) for path in FILES}


def _of_pillow(path: Path) -> Iterator[tuple[str, Any]]:
    block = exif_block(path)
    if block is None:
        return
    exif = Image.Exif()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # Pillow warns about the damaged files
        exif.load(b"Exif\0\0" + block)
        camera, gps = exif.get_ifd(0x8769), exif.get_ifd(0x8825)
    time = camera.get(0x9003) or camera.get(0x9004)
    if time:
        yield "taken_text", time.strip("\0 ")
    for field, tag in {
        "exposure_s": 0x829A,
        "f_number": 0x829D,
        "iso": 0x8827,
        "focal_mm": 0x920A,
        "focal_35mm": 0xA405,
        "bias_stops": 0x9204,
        "orientation": 0x0112,
        "brightness_ev": 0x9203,
        "subject_distance_m": 0x9206,
    }.items():
        value = _number(camera.get(tag, exif.get(tag)))
        if value is not None:
            yield field, value
    for field, tag, reference in (("latitude_deg", 2, 1), ("longitude_deg", 4, 3)):
        parts, letter = gps.get(tag), gps.get(reference)
        if isinstance(parts, tuple) and letter:
            degrees = [_number(part) for part in parts]
            if all(part is not None for part in degrees):
                total = sum(part / 60**place for place, part in enumerate(degrees))
                yield field, -total if letter.strip("\0") in ("S", "W") else total


def _number(value: Any) -> Any:
    """Pillow's rational as an exact fraction; None for a zero denominator."""
    if isinstance(value, tuple):
        return _number(value[0]) if value else None
    if hasattr(value, "denominator") and not isinstance(value, int):
        return Fraction(value.numerator, value.denominator) if value.denominator else None
    return value


@pytest.fixture(scope="module")
def published() -> dict[str, Values]:
    """What the package's authors expect, by file."""
    text = (FOLDER / "regress_expected_test.go").read_text(encoding="utf-8")
    read: dict[str, Values] = {}
    for name, body in re.findall(r'"([^"\n]+)": map\[FieldName\]string\{(.*?)\n\t\},', text, re.DOTALL):
        tags = dict(re.findall(r"^\t\t(\w+):\s+`\"?(.*?)\"?`,$", body, re.MULTILINE))
        read[name] = dict(_of_published(tags))
    return read


def _of_published(tags: dict[str, str]) -> Iterator[tuple[str, Any]]:
    for tag in ("DateTimeOriginal", "DateTimeDigitized"):
        if tags.get(tag, "").strip():
            yield "taken_text", tags[tag]
            break
    for field, tag in {
        "exposure_s": "ExposureTime",
        "f_number": "FNumber",
        "focal_mm": "FocalLength",
        "bias_stops": "ExposureBiasValue",
        "brightness_ev": "BrightnessValue",
        "subject_distance_m": "SubjectDistance",
    }.items():
        if tag in tags:
            numerator, denominator = map(int, tags[tag].split("/"))
            if denominator:
                yield field, Fraction(numerator, denominator)
    for field, tag in {
        "iso": "ISOSpeedRatings",
        "orientation": "Orientation",
        "focal_35mm": "FocalLengthIn35mmFilm",
    }.items():
        if tag in tags:
            yield field, int(tags[tag].strip("[]").split(",")[0])


@dataclass(frozen=True)
class Difference:
    file: str
    field: str
    ours: Any
    theirs: Any


def differences(facts: dict[str, CameraFacts], others: dict[str, Values]) -> list[Difference]:
    """Every value of another reader that this program does not share."""
    return [
        Difference(name, field, getattr(facts[name], field), theirs)
        for name, values in others.items()
        if name in facts
        for field, theirs in values.items()
        if field not in WITNESSES and not agree(field, getattr(facts[name], field), theirs)
    ]


def agree(field: str, ours: Any, theirs: Any) -> bool:
    """Whether two readers say the same, within the tolerances above."""
    if ours is None or theirs is None:
        return ours is theirs
    if field in ("taken_text", "subject_distance_range", "exposure_mode"):
        return str(ours) == str(theirs)
    if field == "gps_utc":
        return f"{ours:%Y:%m:%d %H:%M:%S}Z" == " ".join(str(theirs).split())
    if isinstance(theirs, str):
        theirs = theirs.split()[0]
    if isinstance(theirs, Fraction) and field == "exposure_s":
        return bool(ours == theirs)
    tolerance = (
        EXACT_DEG if field in ("latitude_deg", "longitude_deg") else EXACT_RELATIVE * abs(float(theirs))
    )
    return abs(float(ours) - float(theirs)) <= tolerance


def unexplained(found: list[Difference]) -> list[Difference]:
    return [d for d in found if (d.file, d.field) not in NOT_BELIEVED]


@pytest.mark.parametrize("name", NAMES)
def test_every_file_is_read_or_refused_with_a_reason(name: str) -> None:
    path = FILES[NAMES.index(name)]
    if name in REFUSED:
        with pytest.raises(UnreadableFileError, match=REFUSED[name]):
            read_picture(path)
    else:
        assert read_picture(path).format == "JPEG"


@needs_exiftool
def test_every_value_of_exiftool_is_shared_or_explained(
    facts: dict[str, CameraFacts], exiftool: dict[str, Values]
) -> None:
    assert sum(len(values) for values in exiftool.values()) > 300  # the readers did read
    assert unexplained(differences(facts, exiftool)) == []


def test_every_value_of_pillow_is_shared_or_explained(
    facts: dict[str, CameraFacts], pillow: dict[str, Values]
) -> None:
    assert sum(len(values) for values in pillow.values()) > 300
    assert unexplained(differences(facts, pillow)) == []


def test_every_value_the_packages_authors_expect_is_shared_or_explained(
    facts: dict[str, CameraFacts], published: dict[str, Values]
) -> None:
    assert sum(len(values) for values in published.values()) > 300
    assert unexplained(differences(facts, published)) == []


@needs_exiftool
def test_every_value_is_known_to_exiftool_or_its_origin_is_named(
    facts: dict[str, CameraFacts], exiftool: dict[str, Values]
) -> None:
    fields = (
        "exposure_s",
        "f_number",
        "iso",
        "focal_mm",
        "focal_35mm",
        "latitude_deg",
        "altitude_m",
        "direction_deg",
        "brightness_ev",
        "metered_ev100",
        "subject_distance_m",
    )
    alone = {
        (name, field)
        for name, ours in facts.items()
        for field in fields
        if getattr(ours, field) is not None and field not in exiftool.get(name, {})
    }
    assert alone == set(FOUND_ELSEWHERE)
    for (name, field), origin in FOUND_ELSEWHERE.items():
        theirs = float(str(exiftool[name][origin]).split()[-1])
        stops = (2 if field == "f_number" else 1) * log2(getattr(facts[name], field) / theirs)
        assert abs(stops) <= 0.1  # brought to the marked number
        assert any("taken from" in note or "worked out from" in note for note in facts[name].notes)


@needs_exiftool
def test_every_explained_difference_still_differs(
    facts: dict[str, CameraFacts],
    exiftool: dict[str, Values],
    pillow: dict[str, Values],
    published: dict[str, Values],
) -> None:
    found = [d for others in (exiftool, pillow, published) for d in differences(facts, others)]
    assert {(d.file, d.field) for d in found} == set(NOT_BELIEVED)


@needs_exiftool
def test_the_wall_time_is_the_text_that_exiftool_prints(
    facts: dict[str, CameraFacts], exiftool: dict[str, Values]
) -> None:
    compared = 0
    for name, values in exiftool.items():
        if name in facts and "taken_text" in values:
            time = facts[name].taken_local
            assert time is not None
            assert f"{time:%Y:%m:%d %H:%M:%S}" == values["taken_text"]
            compared += 1
    assert compared > 45


@needs_exiftool
def test_a_file_that_has_only_the_date_of_its_last_change_has_no_time(
    facts: dict[str, CameraFacts], exiftool: dict[str, Values]
) -> None:
    only_changed = {
        name
        for name, values in exiftool.items()
        if LAST_CHANGE in values and "taken_text" not in values and name in facts
    }
    assert only_changed
    for name in only_changed:
        assert (facts[name].taken_text, facts[name].taken_local) == (None, None)
        assert any("last change" in note for note in facts[name].notes)


def test_a_value_that_is_not_believed_leaves_a_note(facts: dict[str, CameraFacts]) -> None:
    words = {
        "bias_stops": "bias",
        "exposure_s": "shutter speed",
        "latitude_deg": "unknown",
        "longitude_deg": "unknown",
        "gps_utc": "satellite hour",
    }
    for name, field in NOT_BELIEVED:
        if field in words:
            assert any(words[field] in note for note in facts[name].notes)
