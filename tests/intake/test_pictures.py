"""Whole picture files, made small, in every format; and folders of them."""

import hashlib
import os
import struct
import time
import zlib
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import piexif
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from piexif import GPSIFD, ExifIFD, ImageIFD
from PIL import Image

from logbook.domain.camera import CameraFacts, ExposureMode, Metering
from logbook.domain.errors import UnreadableFileError
from logbook.intake.pictures import content_hash, find_pictures, is_picture, read_picture

HEIC = Path(__file__).parent / "files" / "made.heic"
SIZE = (48, 32)
XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    b'<rdf:Description xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="4"/></rdf:RDF></x:xmpmeta>'
)
EXIF: bytes = piexif.dump(
    {
        "0th": {
            ImageIFD.Make: b"Example Corporation",
            ImageIFD.Model: b"Example X1",
            ImageIFD.Orientation: 6,
        },
        "Exif": {
            ExifIFD.DateTimeOriginal: b"2031:10:14 17:42:05",
            ExifIFD.SubSecTimeOriginal: b"25",
            ExifIFD.OffsetTimeOriginal: b"+02:00",
            ExifIFD.ExposureTime: (10, 80),
            ExifIFD.FNumber: (110, 10),
            ExifIFD.ISOSpeedRatings: 100,
            ExifIFD.ExposureBiasValue: (-1, 3),
            ExifIFD.FocalLength: (35, 1),
            ExifIFD.FocalLengthIn35mmFilm: 52,
            ExifIFD.ExposureProgram: 3,
            ExifIFD.ExposureMode: 2,
            ExifIFD.MeteringMode: 5,
            ExifIFD.Flash: 0x10,
            ExifIFD.LensModel: b"Example 16-55mm F4",
        },
        "GPS": {
            GPSIFD.GPSLatitudeRef: b"S",
            GPSIFD.GPSLatitude: ((33, 1), (30, 1), (0, 1)),
            GPSIFD.GPSLongitudeRef: b"W",
            GPSIFD.GPSLongitude: ((70, 1), (15, 1), (0, 1)),
            GPSIFD.GPSAltitudeRef: 0,
            GPSIFD.GPSAltitude: (2310, 1),
            GPSIFD.GPSImgDirectionRef: b"T",
            GPSIFD.GPSImgDirection: (265, 1),
            GPSIFD.GPSDateStamp: b"2031:10:14",
            GPSIFD.GPSTimeStamp: ((15, 1), (42, 1), (5, 1)),
        },
    }
)


def expected(picture_format: str) -> CameraFacts:
    """What EXIF and XMP above say."""
    return CameraFacts(
        format=picture_format,
        width_px=SIZE[0],
        height_px=SIZE[1],
        orientation=6,
        taken_text="2031:10:14 17:42:05",
        taken_local=datetime(2031, 10, 14, 17, 42, 5, 250_000),  # noqa: DTZ001
        utc_offset_text="+02:00",
        utc_offset_min=120,
        gps_utc=datetime(2031, 10, 14, 15, 42, 5, tzinfo=UTC),
        exposure_s=Fraction(1, 8),
        f_number=11.0,
        iso=100,
        bias_stops=-1 / 3,
        focal_mm=35.0,
        focal_35mm=52.0,
        exposure_mode=ExposureMode.APERTURE_PRIORITY,
        auto_bracket=True,
        metering=Metering.PATTERN,
        flash_fired=False,
        body="Example X1",
        lens="Example 16-55mm F4",
        latitude_deg=-33.5,
        longitude_deg=-70.25,
        altitude_m=2310.0,
        direction_deg=265.0,
        direction_is_magnetic=False,
        rating=4,
    )


def picture(kind: str, **options: object) -> bytes:
    """A plain picture in Pillow's format `kind`."""
    out = BytesIO()
    Image.new("RGB", SIZE, (90, 120, 150)).save(out, kind, **options)
    return out.getvalue()


def jpeg() -> bytes:
    segment = b"http://ns.adobe.com/xap/1.0/\0" + XMP
    whole = picture("JPEG", exif=EXIF)
    return whole[:2] + b"\xff\xe1" + struct.pack(">H", len(segment) + 2) + segment + whole[2:]


def tiff() -> bytes:
    """A TIFF file without pixels: an Exif block with an XMP tag and a size, as piexif lays it out."""
    loaded = piexif.load(EXIF)
    loaded["0th"] |= {
        ImageIFD.ImageWidth: SIZE[0],
        ImageIFD.ImageLength: SIZE[1],
        ImageIFD.XMLPacket: XMP,
    }
    block: bytes = piexif.dump(loaded)
    return block[6:]


def chunk(kind: bytes, payload: bytes) -> bytes:
    return struct.pack(">I", len(payload)) + kind + payload + struct.pack(">I", zlib.crc32(kind + payload))


def png_with(*chunks: bytes, at_end: bool = False) -> bytes:
    plain = picture("PNG")
    at = plain.index(b"IEND") - 4 if at_end else 33
    return plain[:at] + b"".join(chunks) + plain[at:]


XMP_CHUNK = chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + XMP)
RAW_PROFILE = b"\nexif\n%8d\n" % len(EXIF) + EXIF.hex().encode() + b"\n"


FILES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "a.jpg": ("JPEG", jpeg),
    "a.tif": ("TIFF", tiff),
    "chunk.png": ("PNG", lambda: png_with(chunk(b"eXIf", EXIF[6:]), XMP_CHUNK)),
    "chunk-at-end.png": ("PNG", lambda: png_with(chunk(b"eXIf", EXIF[6:]), XMP_CHUNK, at_end=True)),
    "text.png": (
        "PNG",
        lambda: png_with(chunk(b"tEXt", b"Raw profile type exif\0" + RAW_PROFILE), XMP_CHUNK),
    ),
    "packed.png": (
        "PNG",
        lambda: png_with(
            chunk(b"zTXt", b"Raw profile type APP1\0\0" + zlib.compress(RAW_PROFILE)), XMP_CHUNK
        ),
    ),
    "lossy.webp": ("WebP", lambda: picture("WEBP", exif=EXIF, xmp=XMP)),
    "lossless.webp": ("WebP", lambda: picture("WEBP", exif=EXIF[6:], xmp=XMP, lossless=True)),
}


@pytest.mark.parametrize("name", FILES)
def test_every_format_gives_the_same_facts(tmp_path: Path, name: str) -> None:
    picture_format, build = FILES[name]
    path = tmp_path / name
    path.write_bytes(build())
    assert read_picture(path) == expected(picture_format)


def test_a_heic_file_gives_its_facts() -> None:
    facts = read_picture(HEIC)
    assert (facts.format, facts.width_px, facts.height_px) == ("HEIC", 96, 64)
    assert facts.taken_local == datetime(2031, 10, 14, 17, 42, 5, 250_000)  # noqa: DTZ001
    assert (facts.utc_offset_min, facts.exposure_s, facts.f_number, facts.iso) == (
        120,
        Fraction(1, 8),
        11.0,
        100,
    )
    assert (facts.latitude_deg, facts.longitude_deg, facts.rating) == (-33.5, -70.25, 4)
    assert facts.notes == ()


def test_an_avif_file_gives_its_size(tmp_path: Path) -> None:
    path = tmp_path / "a.avif"
    try:
        path.write_bytes(picture("AVIF", exif=EXIF))
    except (KeyError, OSError):
        pytest.skip("this Pillow cannot write AVIF")
    facts = read_picture(path)
    assert (facts.format, facts.width_px, facts.height_px, facts.iso) == ("AVIF", *SIZE, 100)


def test_a_tiff_with_pixels_gives_its_size(tmp_path: Path) -> None:
    path = tmp_path / "a.tiff"
    path.write_bytes(picture("TIFF"))
    facts = read_picture(path)
    assert (facts.format, facts.width_px, facts.height_px, facts.notes) == ("TIFF", *SIZE, ())


def test_a_raw_suffix_names_the_format_and_leaves_the_size_open(tmp_path: Path) -> None:
    path = tmp_path / "a.DNG"
    path.write_bytes(tiff())
    facts = read_picture(path)
    assert (facts.format, facts.width_px, facts.f_number, facts.rating) == ("DNG", None, 11.0, 4)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_without_metadata_is_unknown_but_not_refused(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "wrong-suffix.jpg"
    path.write_bytes(picture(kind))
    facts = read_picture(path)
    assert (facts.width_px, facts.height_px, facts.taken_local, facts.notes) == (*SIZE, None, ())


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "is empty"),
        (b"just some words about a picture", "not a picture"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "before its picture begins"),
        (b"\x89PNG\r\n\x1a\n\0\0", "no header"),
        (b"RIFF\x10\0\0\0WEBPjunk", "before its picture begins"),
        (b"II*\0\xff\xff\xff\x7f", "first directory"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "no directory"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom", "not a picture"),
    ],
)
def test_what_is_no_picture_is_refused_in_one_sentence(tmp_path: Path, content: bytes, reason: str) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=reason) as refused:
        read_picture(path)
    assert str(path) in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "gone.jpg", tmp_path):
        with pytest.raises(UnreadableFileError, match="cannot be read"):
            read_picture(path)
        with pytest.raises(UnreadableFileError, match="cannot be read"):
            content_hash(path)


def test_a_damaged_exif_block_leaves_the_picture_and_a_note(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(picture("JPEG", exif=b"Exif\0\0" + b"nonsense" * 9))
    facts = read_picture(path)
    assert (facts.width_px, facts.iso) == (SIZE[0], None)
    assert facts.notes[0].startswith("camera settings unknown: ")


def test_reading_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(jpeg())
    path.chmod(0o444)
    before = (content_hash(path), path.stat().st_mtime_ns)
    read_picture(path)
    assert (content_hash(path), path.stat().st_mtime_ns) == before
    assert os.listdir(tmp_path) == ["a.jpg"]  # noqa: PTH208


def test_the_content_hash_is_the_sha256_of_all_bytes(tmp_path: Path) -> None:
    path = tmp_path / "big.jpg"
    content = jpeg() + bytes(3_000_000)
    path.write_bytes(content)
    assert content_hash(path) == hashlib.sha256(content).hexdigest()


@pytest.mark.parametrize(
    ("name", "picture_name"),
    [
        ("a.jpg", True),
        ("A.JPEG", True),
        ("a.Heic", True),
        ("a.nef", True),
        ("a.xmp", False),
        ("a.mov", False),
        ("jpg", False),
        (".hidden.jpg", False),
        ("._a.jpg", False),
    ],
)
def test_a_picture_is_known_by_its_name(name: str, picture_name: bool) -> None:
    assert is_picture(Path("some") / name) is picture_name


def test_pictures_are_found_sorted_and_links_do_not_go_round(tmp_path: Path) -> None:
    names = (
        "b.jpg",
        "a.jpg",
        "._a.jpg",
        ".c.jpg",
        "notes.txt",
        "sub/d.png",
        ".hidden/e.jpg",
        "sub/deep/f.heic",
    )
    for name in names:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "sub" / "round").symlink_to(tmp_path, target_is_directory=True)
    (tmp_path / "gone.jpg").symlink_to(tmp_path / "nowhere.jpg")

    def found(recursive: bool) -> list[str]:
        return [path.relative_to(tmp_path).as_posix() for path in find_pictures(tmp_path, recursive)]

    assert found(recursive=False) == ["a.jpg", "b.jpg"]
    assert found(recursive=True) == ["a.jpg", "b.jpg", "sub/d.png", "sub/deep/f.heic"]


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="cannot be listed"):
        find_pictures(tmp_path / "gone", recursive=True)


SEEDS = {name: build() for name, (_, build) in FILES.items()} | {"made.heic": HEIC.read_bytes()}


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    name=st.sampled_from(sorted(SEEDS)),
    changes=st.lists(st.tuples(st.integers(0, 1500), st.integers(0, 255)), min_size=1, max_size=20),
    length=st.none() | st.integers(0, 1500),
)
def test_damaged_bytes_raise_nothing_but_a_refusal_and_end_soon(
    tmp_path: Path, name: str, changes: list[tuple[int, int]], length: int | None
) -> None:
    content = bytearray(SEEDS[name])
    for at, value in changes:
        content[at % len(content)] = value
    path = tmp_path / name
    path.write_bytes(content[:length])
    began = time.perf_counter()
    try:
        facts = read_picture(path)
    except UnreadableFileError as refused:
        assert "\n" not in str(refused)  # noqa: PT017
    else:
        assert facts.iso is None or facts.iso > 0
        assert facts.f_number is None or 0.5 <= facts.f_number <= 128
        assert facts.exposure_s is None or 0 < facts.exposure_s <= 86_400
        assert facts.latitude_deg is None or -90 <= facts.latitude_deg <= 90
        assert facts.longitude_deg is None or -180 <= facts.longitude_deg <= 180
    assert time.perf_counter() - began < 5
