"""Pictures of other colours than sRGB, as cameras, scanners and printers leave them."""

import subprocess
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from struct import pack
from typing import Any

import pytest
from PIL import Image

from logbook.intake.colours import profile_of, wide_profile
from logbook.intake.renditions import Asked, Rendition, made_of

DULL = (72, 127, 30)  # what a camera writes for the green #008000 in the wide space of DCF


def marked(path: Path, space: int | None, index: str | None, **options: Any) -> Path:
    """A JPEG whose Exif names a colour space."""
    exif = Image.Exif()
    within = exif.get_ifd(0x8769)
    if space is not None:
        within[0xA001] = space
    if index is not None:
        within[0xA005] = {1: index}
    Image.new("RGB", (64, 64), DULL).save(path, quality=100, subsampling=0, exif=exif, **options)
    return path


def made(path: Path, kind: str = "JPEG") -> tuple[int, ...]:
    """The colour in the middle of what a page shows."""
    content = path.read_bytes()
    done = made_of(Asked(path, sha256(content).hexdigest(), len(content), kind, None, (480,), 100))
    assert isinstance(done, Rendition), done
    with Image.open(BytesIO(done.files[0][1])) as shown:
        assert shown.mode == "RGB"
        colour = shown.getpixel((32, 32))
    assert isinstance(colour, tuple)
    return colour


def is_near(colour: tuple[int, ...], wanted: tuple[int, ...], levels: int = 3) -> bool:
    return max(abs(a - b) for a, b in zip(colour, wanted, strict=True)) <= levels


def test_a_camera_that_only_says_r03_is_read_in_the_wide_space(tmp_path: Path) -> None:
    assert is_near(made(marked(tmp_path / "a.jpg", 0xFFFF, "R03")), (0, 128, 0))


@pytest.mark.parametrize(
    ("space", "index"), [(1, "R03"), (0xFFFF, "R98"), (0xFFFF, None), (None, None), (None, "R03")]
)
def test_a_camera_that_says_anything_else_is_read_as_srgb(
    tmp_path: Path, space: int | None, index: str | None
) -> None:
    assert is_near(made(marked(tmp_path / "a.jpg", space, index)), DULL)


def test_another_program_finds_the_mark_where_we_do(tmp_path: Path) -> None:
    path = marked(tmp_path / "a.jpg", 0xFFFF, "R03")
    said = subprocess.run(
        ["exiftool", "-s3", "-ColorSpace", "-InteropIndex", str(path)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.splitlines()[0] == "Uncalibrated"
    assert said.stdout.splitlines()[1].startswith("R03")


def test_a_profile_in_the_file_goes_before_the_mark(tmp_path: Path) -> None:
    from PIL import ImageCms

    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert is_near(made(marked(tmp_path / "a.jpg", 0xFFFF, "R03", icc_profile=srgb)), DULL)


@pytest.mark.parametrize(
    "spoilt", [wide_profile()[:200], b"\xff" * 400, wide_profile().replace(b"XYZ ", b"????")]
)
def test_a_broken_profile_is_left_out_of_account(tmp_path: Path, spoilt: bytes) -> None:
    assert is_near(made(marked(tmp_path / "a.jpg", None, None, icc_profile=spoilt)), DULL)


def test_a_profile_of_another_kind_of_picture_is_left_out_of_account(tmp_path: Path) -> None:
    Image.new("CMYK", (64, 64), (0, 0, 0, 0)).save(tmp_path / "a.jpg", icc_profile=wide_profile())
    assert is_near(made(tmp_path / "a.jpg"), (255, 255, 255))


@pytest.mark.filterwarnings("ignore")  # of what is damaged
def test_damaged_tags_name_no_space_or_the_right_one(tmp_path: Path) -> None:
    content = marked(tmp_path / "a.jpg", 0xFFFF, "R03").read_bytes()
    begins = content.index(b"Exif\x00\x00")
    ends = begins - 2 + int.from_bytes(content[begins - 2 : begins], "big")
    spoilt = [content[:at] + b"\xff" + content[at + 1 :] for at in range(begins + 6, ends)]
    found = [profile_of(Image.open(BytesIO(one))) for one in spoilt]
    assert set(found) == {None, wide_profile()}


def gray_profile(gamma: float) -> bytes:
    """A grey profile with a curve (ICC.1:2001-04): the wide one with its colours taken out."""
    curve = pack(">4s4xIH2x", b"curv", 1, round(gamma * 256))
    white = pack(">4s4xiii", b"XYZ ", 63190, 65536, 54061)
    at = 128 + 4 + 24
    table = pack(">I4sII4sII", 2, b"wtpt", at, len(white), b"kTRC", at + len(white), len(curve))
    header = bytearray(wide_profile()[:128])
    header[:4] = pack(">I", at + len(white) + len(curve))
    header[16:20] = b"GRAY"
    return bytes(header) + table + white + curve


@pytest.mark.parametrize("mode", ["L", "LA", "RGB"])
def test_a_grey_picture_is_shown_by_its_own_curve(tmp_path: Path, mode: str) -> None:
    """128 of 255 on a gamma of 1.0 reflects half of the light, which sRGB writes as 188 (IEC 61966-2-1)."""
    Image.new("L", (64, 64), 128).convert(mode).save(tmp_path / "a.png", icc_profile=gray_profile(1.0))
    assert is_near(made(tmp_path / "a.png", "PNG"), (188, 188, 188))


def test_inks_without_a_profile_still_become_a_picture(tmp_path: Path) -> None:
    Image.new("CMYK", (64, 64), (255, 0, 0, 0)).save(tmp_path / "a.jpg", quality=100)
    red, green, blue = made(tmp_path / "a.jpg")
    assert red < 10
    assert min(green, blue) > 245
