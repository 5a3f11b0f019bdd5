"""Whole picture files, made small, in every format; and folders of them."""

import hashlib
import os
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from logbook.domain.camera import CameraFacts, ExposureMode, Metering
from logbook.domain.errors import UnreadableFileError
from logbook.intake.pictures import content_hash, find_files
from tests.intake.made import EXIF, FILES, HEIC, SIZE, XMP, jpeg, picture, tiff
from tests.intake.reading import read_picture


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
        body="Example Quill",
        lens="Example Reed",
        latitude_deg=-33.5,
        longitude_deg=-70.25,
        altitude_m=2310.0,
        direction_deg=265.0,
        direction_is_magnetic=False,
        rating=4,
    )


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
        path.write_bytes(picture("AVIF", exif=EXIF, xmp=XMP))
    except (KeyError, OSError):
        pytest.skip("this Pillow cannot write AVIF")
    facts = read_picture(path)
    assert (facts.format, facts.width_px, facts.height_px, facts.iso) == ("AVIF", *SIZE, 100)
    assert facts.rating == 4


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
        ("a.CR3", True),
        ("a.raf", True),
        ("a.xmp", False),
        ("a.mov", False),
        ("jpg", False),
        (".hidden.jpg", False),
        ("._a.jpg", False),
    ],
)
def test_a_picture_is_known_by_its_name(tmp_path: Path, name: str, picture_name: bool) -> None:
    (tmp_path / name).touch()
    assert find_files(tmp_path, recursive=False).pictures == ([str(tmp_path / name)] if picture_name else [])


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
        return [
            Path(path).relative_to(tmp_path).as_posix() for path in find_files(tmp_path, recursive).pictures
        ]

    assert found(recursive=False) == ["a.jpg", "b.jpg"]
    assert found(recursive=True) == ["a.jpg", "b.jpg", "sub/d.png", "sub/deep/f.heic"]


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="cannot be listed"):
        find_files(tmp_path / "gone", recursive=True)


def test_sidecars_are_found_beside_their_pictures_whatever_their_spelling(tmp_path: Path) -> None:
    for name in (
        "IMG_1.CR2",
        "img_1.jpg",
        "IMG_1.xmp",
        "IMG_1.CR2.XMP",
        "IMG_10.jpg",
        "notes.xmp",
        ".IMG_1.xmp",
    ):
        (tmp_path / name).touch()
    found = find_files(tmp_path, recursive=False)
    beside = (tmp_path / "IMG_1.xmp", tmp_path / "IMG_1.CR2.XMP")
    assert found.sidecars_of(tmp_path / "IMG_1.CR2") == found.sidecars_of(tmp_path / "img_1.jpg") == beside
    assert found.sidecars_of(tmp_path / "IMG_10.jpg") == ()


def test_a_link_to_itself_and_a_pipe_are_no_pictures(tmp_path: Path) -> None:
    for name in ("round.jpg", "round"):
        (tmp_path / name).symlink_to(tmp_path / name)
    os.mkfifo(tmp_path / "pipe.jpg")
    os.mkfifo(tmp_path / "pipe.xmp")
    (tmp_path / "a.jpg").touch()
    found = find_files(tmp_path, recursive=True)
    assert (found.pictures, found.sidecars) == ([str(tmp_path / "a.jpg")], {})


def test_names_that_are_not_utf_8_are_found(tmp_path: Path) -> None:
    name = os.fsdecode(b"br\xfccke.jpg")
    (tmp_path / name).touch()
    assert [Path(path).name for path in find_files(tmp_path, recursive=False).pictures] == [name]


def test_a_raw_format_that_begins_its_own_way_is_read_as_tiff(tmp_path: Path) -> None:
    path = tmp_path / "a.orf"
    block = tiff()
    path.write_bytes((b"MMOR" if block.startswith(b"MM") else b"IIRO") + block[4:])
    facts = read_picture(path)
    assert (facts.format, facts.f_number, facts.iso) == ("ORF", 11.0, 100)
