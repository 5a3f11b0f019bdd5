"""Raw files, editors' marks and sidecars, read by this program and by ExifTool.

The files are those of ExifTool's own tests, kept in tests/intake/files/cameras (sources and licences in the
README beside them). The oracle is ExifTool by Phil Harvey (Debian libimage-exiftool-perl), called once.
Tolerances: texts, times, ISO and stars exact; ExifTool prints numbers to about 15 digits, so 1e-9 relative.
"""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.camera import CameraFacts
from logbook.intake.marks import Marks
from tests.intake.reading import read_picture, read_sidecar

FOLDER = Path(__file__).parents[1] / "intake" / "files" / "cameras"
EXIFTOOL = shutil.which("exiftool")
RAW = {
    "CanonRaw.cr2": "CR2",
    "CanonRaw.cr3": "CR3",
    "DNG.dng": "DNG",
    "FujiFilm.raf": "RAF",
    "Minolta.mrw": "MRW",
    "Nikon.nef": "NEF",
    "Panasonic.rw2": "RW2",
    "PhaseOne.iiq": "IIQ",
}
MARKED = ("IPTC.jpg", "MWG.jpg", "PhotoMechanic.jpg", "XMP.jpg", "PNG.png")
SIDECARS = sorted(path.name for path in FOLDER.glob("*.xmp"))
EXACT_RELATIVE = 1e-9

FIELDS = {
    "taken_text": "DateTimeOriginal",
    "exposure_s": "ExposureTime",
    "f_number": "FNumber",
    "iso": "ISO",
    "bias_stops": "ExposureCompensation",
    "focal_mm": "FocalLength",
    "focal_35mm": "FocalLengthIn35mmFormat",
    "orientation": "Orientation",
    "brightness_ev": "BrightnessValue",
    "subject_distance_m": "SubjectDistance",
    "metered_ev100": "MeasuredEV",
}
# Where this program says less than ExifTool, and why.
NOT_READ = {
    ("DNG.dng", "metered_ev100"): "a maker's note that a converter packed into private data",
    ("XMP2.xmp", "keywords"): "references between RDF nodes, which XMP does not allow, are not followed",
    ("XMP2.xmp", "title"): "references between RDF nodes, which XMP does not allow, are not followed",
}

pytestmark = pytest.mark.skipif(EXIFTOOL is None, reason="ExifTool (libimage-exiftool-perl) is not installed")


@pytest.fixture(scope="module")
def exiftool() -> dict[str, dict[str, Any]]:
    done = subprocess.run(
        [str(EXIFTOOL), "-json", "-n", "-G1", str(FOLDER), "-ext", "*"],
        capture_output=True,
        text=True,
        check=False,
    )
    return {Path(entry["SourceFile"]).name: entry for entry in json.loads(done.stdout)}


def tag(entry: dict[str, Any], name: str) -> Any:
    """An Exif tag, wherever the camera put it."""
    return entry.get(f"ExifIFD:{name}", entry.get(f"IFD0:{name}", entry.get(f"Canon:{name}")))


@pytest.mark.parametrize("name", RAW)
def test_a_raw_files_settings_are_those_that_exiftool_reads(
    exiftool: dict[str, dict[str, Any]], name: str
) -> None:
    facts = read_picture(FOLDER / name)
    assert facts.format == RAW[name]
    compared = 0
    for field, exif in FIELDS.items():
        ours, theirs = getattr(facts, field), tag(exiftool[name], exif)
        if (name, field) in NOT_READ:
            assert ours is None
            assert theirs is not None
        elif theirs in (None, ""):
            assert ours is None, field
        elif field == "taken_text":
            assert ours == theirs
        else:
            assert abs(float(ours) - float(theirs)) <= EXACT_RELATIVE * abs(float(theirs)), field
        compared += theirs is not None
    assert compared >= 5  # the readers did read
    assert facts.body is not None
    assert str(exiftool[name]["IFD0:Model"]) in facts.body
    assert (facts.lens or "").startswith(str(tag(exiftool[name], "LensModel") or ""))


def listed(value: Any) -> tuple[str, ...]:
    return tuple(str(one) for one in value) if isinstance(value, list) else (str(value),)


@pytest.mark.parametrize("name", [*MARKED, *SIDECARS])
def test_an_editors_marks_are_those_that_exiftool_reads(
    exiftool: dict[str, dict[str, Any]], name: str
) -> None:
    ours: Marks | CameraFacts
    ours = read_sidecar(FOLDER / name) if name.endswith(".xmp") else read_picture(FOLDER / name)
    entry = exiftool[name]

    def theirs(*names: str) -> Any:
        return next((entry[one] for one in names if one in entry), None)

    caption = ours.caption or ""
    credit = theirs("XMP-photoshop:Credit", "XMP-dc:Creator", "IPTC:Credit", "IPTC:By-line")
    place = [
        str(part)
        for part in (
            theirs("XMP-photoshop:City", "IPTC:City"),
            theirs("XMP-photoshop:State", "IPTC:Province-State") if name != "MWG.jpg" else None,
            theirs("XMP-photoshop:Country", "IPTC:Country-PrimaryLocationName")
            if name != "MWG.jpg"
            else None,
        )
        if part is not None
    ]
    rights = theirs("XMP-dc:Rights", "IPTC:CopyrightNotice", "IFD0:Copyright")
    keywords = theirs("XMP-dc:Subject", "IPTC:Keywords")
    agree = {
        "rating": ours.rating == theirs("XMP-xmp:Rating"),
        "keywords": ours.keywords == (listed(keywords) if keywords is not None else ()),
        "title": str(theirs("XMP-dc:Title", "IPTC:ObjectName") or "") in caption,
        "description": str(theirs("XMP-dc:Description", "IPTC:Caption-Abstract") or "") in caption,
        "place": ours.place == (", ".join(place) or None),
        "credit": ours.credit == ("; ".join(listed(credit)) if credit is not None else None),
        "copyright": ours.copyright == (None if rights is None else str(rights)),
    }
    assert {(name, field) for field, same in agree.items() if not same} == {
        one for one in NOT_READ if one[0] == name
    }
