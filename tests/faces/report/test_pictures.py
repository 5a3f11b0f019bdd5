"""Pictures reach a page upright, in sRGB, in several widths, and carry nothing but their pixels."""

import json
import os
import shutil
import subprocess
from dataclasses import replace
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms

from logbook.faces.report.pictures import Original, Prepared, prepare_all
from logbook.intake.plain_files import CHANGED
from tests.intake.hostile import many_scans


def original(path: Path, name: str = "k", kind: str = "JPEG") -> Original:
    known = sha256(path.read_bytes()).hexdigest() if path.exists() else f"hash of {name}"
    return Original(name, str(path), known, kind)


def prepare(one: Original, folder: Path) -> Prepared:
    return prepare_all([one], folder)[one.keeper_id]


def saved(tmp_path: Path, image: Image.Image, name: str = "a.jpg", **options: Any) -> Path:
    path = tmp_path / name
    image.save(path, **options)
    return path


def first(folder: Path) -> Image.Image:
    return Image.open(sorted(folder.glob("*.jpg"))[0])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "out"
    made.mkdir()
    return made


@pytest.mark.parametrize(
    ("width", "widths"),
    [
        (300, [300]),
        (480, [480]),
        (700, [480, 700]),
        (1200, [480, 720, 1080, 1200]),
        (3300, [480, 720, 1080, 1600, 2400, 3200]),
    ],
)
def test_a_picture_is_made_in_its_widths_and_never_enlarged(
    tmp_path: Path, folder: Path, width: int, widths: list[int]
) -> None:
    done = prepare(original(saved(tmp_path, Image.new("RGB", (width, 200)))), folder)
    assert done.image
    assert [candidate.width_px for candidate in done.image.candidates] == widths
    for candidate in done.image.candidates:
        with Image.open(folder.parent / "out" / Path(candidate.path).name) as made:
            assert made.width == candidate.width_px


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_stands_upright_whatever_its_orientation(
    tmp_path: Path, folder: Path, orientation: int
) -> None:
    stored = Image.new("RGB", (60, 40), (0, 0, 255))
    exif = Image.Exif()
    exif[0x0112] = orientation
    done = prepare(original(saved(tmp_path, stored, exif=exif)), folder)
    assert done.image
    turned = (40, 60) if orientation >= 5 else (60, 40)
    assert (done.image.width_px, done.image.height_px) == turned


def test_no_metadata_is_left(tmp_path: Path, folder: Path) -> None:
    exif = Image.Exif()
    exif[0x010F] = "SECRETMAKER"
    exif.get_ifd(0x8825)[2] = (47.0, 7.0, 30.0)
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    path = saved(
        tmp_path,
        Image.new("RGB", (700, 500)),
        exif=exif,
        comment=b"SECRETCOMMENT",
        icc_profile=profile,
        dpi=(300, 300),
    )
    prepare(original(path), folder)
    for made in folder.glob("*.jpg"):
        with Image.open(made) as image:
            assert set(image.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }
            assert not image.getexif()
        assert b"SECRET" not in made.read_bytes()
        assert b"Exif" not in made.read_bytes()


@pytest.mark.skipif(not shutil.which("exiftool"), reason="ExifTool is not installed")
def test_an_independent_reader_finds_no_metadata_either(tmp_path: Path, folder: Path) -> None:
    exif = Image.Exif()
    exif[0x010F] = "SECRETMAKER"
    prepare(original(saved(tmp_path, Image.new("RGB", (700, 500)), exif=exif)), folder)
    read = subprocess.run(
        ["exiftool", "-j", "-G", *map(str, folder.iterdir())], capture_output=True, check=True
    )
    for tags in json.loads(read.stdout):
        assert {tag.split(":")[0] for tag in tags if ":" in tag} <= {"File", "JFIF", "Composite", "ExifTool"}


def test_a_profile_is_converted_and_not_just_dropped(tmp_path: Path, folder: Path) -> None:
    """In a profile whose red and green primaries are exchanged, red pixels mean green."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exchanged = srgb.replace(b"rXYZ", b"????", 1).replace(b"gXYZ", b"rXYZ", 1).replace(b"????", b"gXYZ", 1)
    path = saved(tmp_path, Image.new("RGB", (64, 64), (255, 0, 0)), quality=100, icc_profile=exchanged)
    prepare(original(path), folder)
    with first(folder) as made:
        red, green, blue = made.getpixel((32, 32))  # type: ignore[misc]
    assert green > 200
    assert max(red, blue) < 60


def test_a_broken_profile_is_left_out_of_account(tmp_path: Path, folder: Path) -> None:
    path = saved(tmp_path, Image.new("RGB", (64, 64), (255, 0, 0)), icc_profile=b"no profile at all")
    assert prepare(original(path), folder).image


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_every_mode_becomes_a_picture(tmp_path: Path, folder: Path, mode: str) -> None:
    path = saved(tmp_path, Image.new(mode, (64, 48)), "a.png")
    assert prepare(original(path, kind="PNG"), folder).image


def test_sixteen_bits_keep_their_brightness(tmp_path: Path, folder: Path) -> None:
    path = saved(tmp_path, Image.new("I;16", (64, 48), 32_768), "a.png")
    prepare(original(path, kind="PNG"), folder)
    with first(folder) as made:
        assert abs(made.convert("L").getpixel((5, 5)) - 128) <= 2  # type: ignore[operator]


def test_names_follow_the_content_and_betray_nothing(tmp_path: Path, folder: Path) -> None:
    path = saved(tmp_path, Image.new("RGB", (60, 40)), "SECRETNAME.jpg")
    wanted = original(path)
    prepare(wanted, folder)
    names = [made.name for made in folder.iterdir()]
    again = prepare(replace(wanted, keeper_id="other"), folder)
    assert again.image
    assert names == [Path(again.image.candidates[0].path).name]
    assert "SECRET" not in names[0]
    assert not any(wanted.hash[at : at + 8] in names[0] for at in range(57))


def test_a_hash_that_is_no_hash_names_no_file_elsewhere(tmp_path: Path, folder: Path) -> None:
    path = saved(tmp_path, Image.new("RGB", (60, 40)))
    done = prepare(Original("k", str(path), "../../etc/abcdef0123456789", "JPEG"), folder)
    assert (done.image, done.is_changed) == (None, True)
    assert list(folder.iterdir()) == []


def test_a_file_that_is_not_what_was_recorded_is_not_drawn(tmp_path: Path, folder: Path) -> None:
    path = saved(tmp_path, Image.new("RGB", (60, 40)))
    wanted = original(path)
    Image.new("RGB", (60, 40), (9, 9, 9)).save(path)
    assert prepare(wanted, folder) == Prepared("k", None, CHANGED, is_changed=True)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("kind", ["pipe", "device"])
def test_what_is_not_a_file_is_neither_read_nor_waited_for(tmp_path: Path, folder: Path, kind: str) -> None:
    path = tmp_path / "a.jpg"
    if kind == "pipe":
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/zero")
    done = prepare(Original("k", str(path), "0" * 64, "JPEG"), folder)
    assert (done.image, done.is_changed) == (None, True)
    assert f"it is a {kind}, not a file" in done.why


@pytest.mark.parametrize("content", [b"", b"no picture", b"\xff\xd8\xff\xe0 cut"])
def test_an_unreadable_original_is_a_reason_and_no_error(
    tmp_path: Path, folder: Path, content: bytes
) -> None:
    path = tmp_path / "bad.jpg"
    path.write_bytes(content)
    done = prepare(original(path), folder)
    assert done.image is None
    assert "cannot be read" in done.why


def test_a_picture_cut_short_is_a_reason_and_no_error(tmp_path: Path, folder: Path) -> None:
    buffer = BytesIO()
    Image.effect_noise((600, 400), 90).save(buffer, "JPEG")
    path = tmp_path / "cut.jpg"
    path.write_bytes(buffer.getvalue()[: len(buffer.getvalue()) // 2])
    assert prepare(original(path), folder).image is None


def test_a_missing_original_is_a_reason(tmp_path: Path, folder: Path) -> None:
    done = prepare(original(tmp_path / "gone.jpg"), folder)
    assert (done.image, done.why) == (None, "the original is gone")
    assert prepare(original(tmp_path / "gone.x3f", kind="X3F"), folder).image is None


def test_several_processes_give_the_same_files_as_one_and_report_progress(
    tmp_path: Path, folder: Path
) -> None:
    wanted = [
        original(saved(tmp_path, Image.new("RGB", (500 + n, 300), (n, n, n)), f"{n}.jpg"), str(n))
        for n in range(6)
    ]
    seen: list[tuple[int, int]] = []
    done = prepare_all(wanted, folder, lambda n, of: seen.append((n, of)))
    assert seen == [(n, 6) for n in range(1, 7)]
    alone = tmp_path / "alone"
    alone.mkdir()
    assert {one.keeper_id: prepare(one, alone) for one in wanted} == done
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {
        p.name: p.read_bytes() for p in alone.iterdir()
    }


CAMERAS = Path(__file__).parents[2] / "intake" / "files" / "cameras"


@pytest.mark.slow
def test_raw_and_heic_originals_reach_a_page(folder: Path) -> None:
    pytest.importorskip("rawpy", reason="the extra `raw` is not installed")
    pytest.importorskip("pillow_heif", reason="the extra `raw` is not installed")
    raw = prepare(original(CAMERAS / "Panasonic.rw2", "raw", "RW2"), folder)
    heic = prepare(original(CAMERAS / "zPug_3.heic", "heic", "HEIC"), folder)
    assert raw.image is not None
    assert raw.image.width_px == 1832
    assert heic.image is not None


def test_a_picture_that_unfolds_is_a_reason_and_the_others_are_made(tmp_path: Path, folder: Path) -> None:
    (tmp_path / "1.jpg").write_bytes(many_scans((2000, 1500), 3000))
    for number in (0, 2):
        saved(tmp_path, Image.new("RGB", (500, 300)), f"{number}.jpg")
    done = prepare_all([original(tmp_path / f"{number}.jpg", str(number)) for number in range(3)], folder)
    assert [done[str(number)].image is not None for number in range(3)] == [True, False, True]
    assert "more than 100 scans" in done["1"].why
