"""Camera settings in XMP, written and read by ExifTool and read by this program.

The packets are made here: ExifTool by Phil Harvey (Debian libimage-exiftool-perl) copies what the cameras of
Debian's package golang-github-rwcarlsen-goexif-dev wrote into Exif to the XMP properties that mirror it, by
its own table, and reads its packets back. Both read its own sample packets (tests/intake/files/cameras) too.
Tolerances: times, words, ISO and orientation exact; numbers 1e-9 relative, as ExifTool prints about 15
digits, but exposure times and f-numbers a hundredth, where a decimal stands for a marked number.
"""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.camera import CameraFacts
from tests.intake.reading import read_picture, read_sidecar
from tests.truth.test_camera_files import FILES, exif_block

EXIFTOOL = shutil.which("exiftool")
SAMPLES = Path(__file__).parents[1] / "intake" / "files" / "cameras"
SILENT = SAMPLES / "ExtendedXMP.jpg"  # a picture whose Exif block says nothing
COPIES = (  # of its exif2xmp.args what camera settings need
    "-XMP-exif:all<EXIF:all",
    "-XMP-exifEX:all<EXIF:all",
    "-XMP-tiff:all<EXIF:all",
    "-XMP-photoshop:DateCreated<EXIF:DateTimeOriginal",
    "-XMP-xmp:CreateDate<EXIF:CreateDate",
    "-XMP-xmp:ModifyDate<EXIF:ModifyDate",
    "-Composite:Flash<EXIF:Flash",
    "-XMP:GPSLatitude<Composite:GPSLatitude",
    "-XMP:GPSLongitude<Composite:GPSLongitude",
    "-XMP:GPSDateTime<Composite:GPSDateTime",
)
FIELDS = {  # field: the tags that ExifTool reads in XMP, the best first
    "exposure_s": ("XMP-exif:ExposureTime",),
    "f_number": ("XMP-exif:FNumber",),
    "iso": ("XMP-exifEX:PhotographicSensitivity", "XMP-exif:ISO"),
    "bias_stops": ("XMP-exif:ExposureCompensation",),
    "focal_mm": ("XMP-exif:FocalLength",),
    "focal_35mm": ("XMP-exif:FocalLengthIn35mmFormat",),
    "brightness_ev": ("XMP-exif:BrightnessValue",),
    "subject_distance_m": ("XMP-exif:SubjectDistance",),
    "orientation": ("XMP-tiff:Orientation",),
    "direction_deg": ("XMP-exif:GPSImgDirection",),
    "latitude_deg": ("XMP-exif:GPSLatitude",),
    "longitude_deg": ("XMP-exif:GPSLongitude",),
}
TIMES = ("XMP-exif:DateTimeOriginal", "XMP-exif:DateTimeDigitized", "XMP-xmp:CreateDate")
# (file, field) where this program says unknown, and why; the same values are not believed in Exif either.
NOT_BELIEVED = {
    ("2004-01-11-22-45-15-sep-2004-01-11-22-45-15a.jpg", "bias_stops"): "9.5 stops is beyond any dial",
    ("geodegrees_as_string.jpg", "exposure_s"): "an exposure of 0 s",
    ("huge_tag_exif.jpg", "orientation"): "0 is none of the eight orientations",
    ("max_uint32_exif.jpg", "orientation"): "0 is none of the eight orientations",
    ("2011-05-07-13-02-49-sep-2011-05-07-13-02-49a.jpg", "latitude_deg"): "0, 0: no fix",
    ("2011-05-07-13-02-49-sep-2011-05-07-13-02-49a.jpg", "longitude_deg"): "0, 0: no fix",
}

pytestmark = [
    pytest.mark.skipif(EXIFTOOL is None, reason="ExifTool (libimage-exiftool-perl) is not installed"),
    pytest.mark.skipif(
        not FILES, reason="Debian's package golang-github-rwcarlsen-goexif-dev is not installed"
    ),
]


@pytest.fixture(scope="module")
def packets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of XMP packets: those that ExifTool makes of camera files, and its own samples."""
    folder = tmp_path_factory.mktemp("xmp")
    for path in FILES:
        block = exif_block(path)
        if block:
            (folder / f"{path.name}.tif").write_bytes(block)
    command = [str(EXIFTOOL), "-q", "-q", "-n", "-m", "-tagsFromFile", "@", *COPIES]
    subprocess.run([*command, "-o", "%d%f.xmp", "-ext", "tif", str(folder)], capture_output=True, check=False)
    for sample in SAMPLES.glob("*.xmp"):
        shutil.copy(sample, folder)
    return folder


@pytest.fixture(scope="module")
def exiftool(packets: Path) -> dict[str, dict[str, Any]]:
    done = subprocess.run(
        [str(EXIFTOOL), "-json", "-n", "-G1", "-ext", "xmp", str(packets)],
        capture_output=True,
        text=True,
        check=False,
    )
    return {Path(entry["SourceFile"]).name.removesuffix(".xmp"): entry for entry in json.loads(done.stdout)}


def read(packets: Path, name: str) -> CameraFacts:
    return read_picture(SILENT, [read_sidecar(packets / f"{name}.xmp")])


def agree(field: str, ours: Any, theirs: Any) -> bool:
    if ours is None:
        return False
    tolerance = 0.01 if field in ("exposure_s", "f_number") else 1e-9
    theirs = float(str(theirs[0] if isinstance(theirs, list) else theirs).split()[0])
    return bool(abs(float(ours) - theirs) <= tolerance * abs(theirs))


@pytest.mark.slow
def test_every_setting_that_exiftool_reads_in_xmp_is_read(
    packets: Path, exiftool: dict[str, dict[str, Any]]
) -> None:
    differ, compared = set(), 0
    for name, entry in exiftool.items():
        facts = read(packets, name)
        for field, tags in FIELDS.items():
            theirs = next((entry[tag] for tag in tags if tag in entry), None)
            if theirs in (None, "", "undef", "inf"):
                continue
            compared += 1
            if not agree(field, getattr(facts, field), theirs):
                differ.add((name, field))
    assert compared > 300  # the readers did read
    assert differ == set(NOT_BELIEVED)


@pytest.mark.slow
def test_every_time_that_exiftool_reads_in_xmp_is_read(
    packets: Path, exiftool: dict[str, dict[str, Any]]
) -> None:
    compared = 0
    for name, entry in exiftool.items():
        theirs = next((str(entry[tag]) for tag in TIMES if tag in entry), None)
        if theirs is not None:
            assert read(packets, name).taken_text == theirs[:19], name
            compared += 1
    assert compared > 45


def test_lens_and_flash_are_those_that_exiftool_reads(
    packets: Path, exiftool: dict[str, dict[str, Any]]
) -> None:
    lenses = flashes = 0
    for name, entry in exiftool.items():
        facts = read(packets, name)
        lens = entry.get("XMP-exifEX:LensModel", entry.get("XMP-aux:Lens"))
        if lens and name != "XMP2":  # holds references between RDF nodes, which XMP does not allow
            assert facts.lens == lens
            lenses += 1
        fired = entry.get("XMP-exif:FlashFired")
        if fired is not None:
            assert facts.flash_fired is (fired if isinstance(fired, bool) else str(fired).lower() == "true")
            flashes += 1
    assert lenses
    assert flashes


@pytest.mark.slow
def test_a_packet_made_of_a_cameras_own_settings_doubts_none_of_them(packets: Path) -> None:
    compared = 0
    for path in FILES:
        packet = packets / f"{path.name}.xmp"
        if packet.exists() and path.name != "raw.exif":
            alone, both = read_picture(path), read_picture(path, [read_sidecar(packet)])
            doubts = [note for note in both.notes if "differs" in note]
            assert doubts == [], path.name
            assert all(
                getattr(both, field) == getattr(alone, field)
                for field in FIELDS
                if getattr(alone, field) is not None
            )
            compared += 1
    assert compared > 45
