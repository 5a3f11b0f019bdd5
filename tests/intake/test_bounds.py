"""Small files that ask for much are refused in one sentence, or opened in the memory that they may take."""

import re
import sys
import zlib
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from logbook.intake.bounds import (
    LEAST_BYTES,
    MOST_BYTES,
    TooLargeError,
    allowed_bytes,
    check_scans,
)
from logbook.intake.renditions import Asked, Rendition, made_of
from logbook.intake.workers import OWN_BYTES, TOO_MUCH_MEMORY, Ended, in_helpers
from tests.intake.hostile import (
    empty_tiff,
    flat,
    flat_png,
    many_scans,
    one_component_at_a_time,
    overlapping_tags,
    png_chunk,
    profile_of,
)

IS_LINUX = sys.platform == "linux"
WIDTHS = (480, 720, 1600)


def made_and_peak(asked: Asked) -> tuple[Rendition | Ended, int]:
    """A helper's work, and the most memory that it has had, in bytes."""
    try:
        made = made_of(asked)
    except MemoryError:
        made = TOO_MUCH_MEMORY
    status = Path("/proc/self/status").read_text()  # what getrusage tells began before the helper's program
    return made, int(status.partition("VmHWM:")[2].split()[0]) * 1024


def opened(path: Path, content: bytes, kind: str) -> tuple[Rendition | Ended, int]:
    path.write_bytes(content)
    asked = Asked(path, sha256(content).hexdigest(), len(content), kind, None, WIDTHS, 82)
    (done,) = in_helpers(made_and_peak, [asked])
    assert not isinstance(done, Ended), done.why
    return done


@pytest.mark.parametrize("kind", ["progressive", "baseline"])
def test_a_jpeg_of_three_thousand_scans_is_refused_before_it_is_decoded(kind: str) -> None:
    content = {
        "progressive": lambda: many_scans((2000, 1500), 3000),
        "baseline": lambda: one_component_at_a_time((640, 480), 3000),
    }[kind]()
    with pytest.raises(TooLargeError, match="a JPEG with more than 100 scans"):
        check_scans(BytesIO(content))


@pytest.mark.parametrize(
    "hidden",
    [
        b"\xff\xfe\0\4\xff\xd9",  # the end of a picture, in a comment
        b"\xff\xff\xff\xff\xfe\0\2",  # bytes that fill
        b"\xff\xd0\xff\x01",  # markers without a length
        b"words that no decoder minds",
    ],
)
def test_nothing_between_the_scans_hides_them(hidden: bytes) -> None:
    with pytest.raises(TooLargeError):
        check_scans(BytesIO(many_scans((64, 48), 120, hidden=hidden)))


def test_ordinary_jpegs_have_few_scans_and_are_left_where_they_begin() -> None:
    for options in (
        {},
        {"progressive": True},
        {"progressive": True, "subsampling": 0},
        {"restart_marker_rows": 1},
    ):
        out = BytesIO()
        Image.effect_noise((640, 480), 90).convert("RGB").save(out, "JPEG", **options)
        check_scans(out)
        assert out.tell() == 0
    check_scans(BytesIO(many_scans((64, 48), 80)))
    check_scans(BytesIO(b"\xff\xd8\xff"))


def test_a_plain_jpeg_is_not_read_to_count_its_scans(tmp_path: Path) -> None:
    out = BytesIO()
    Image.effect_noise((1200, 900), 90).save(out, "JPEG")
    head = out.getvalue().index(b"\xff\xda")
    check_scans(_OnlyTheHead(out.getvalue(), head + 20))


class _OnlyTheHead(BytesIO):
    def __init__(self, content: bytes, most: int) -> None:
        super().__init__(content)
        self._most = most

    def read(self, size: int | None = -1, /) -> bytes:
        content = super().read(size)
        assert self.tell() <= self._most
        return content


REFUSED: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "scans.jpg": ("JPEG", lambda: many_scans((2000, 1500), 3000), "more than 100 scans"),
    "rgb.png": ("PNG", lambda: flat_png(10_400, 10_400), "expands from [0-9]+ kB to 108 million pixels"),
    "pixels.png": (
        "PNG",
        lambda: flat_png(25_000, 20_000, depth=1, colour=0),
        "more than 178 million pixels",
    ),
    "flat.webp": ("WEBP", lambda: flat("WEBP", (5500, 5000)), "expands from"),
    "flat.tif": ("TIFF", lambda: empty_tiff(13_000, 13_000), "expands from"),
    "tags.tif": ("TIFF", lambda: overlapping_tags(20_000, "TIFF"), "memory|cannot be read"),
    "strip.png": ("PNG", lambda: flat_png(1, 100_000, colour=0), "too long and narrow"),
    "text.png": (
        "PNG",
        lambda: flat_png(
            64, 48, beside=png_chunk(b"iTXt", b"XML:com.adobe.xmp\0\1\0\0\0" + _packed(100_000_000))
        ),
        "cannot be read",
    ),
    "gif.jpg": ("JPEG", lambda: flat("GIF", (64, 48)), "cannot be read as a picture"),
}


def _packed(size: int) -> bytes:
    return zlib.compress(bytes(size), 9)


@pytest.mark.slow
@pytest.mark.parametrize("name", REFUSED)
@pytest.mark.skipif(not IS_LINUX, reason="reads the peak of memory as Linux tells it")
def test_what_unfolds_is_refused_in_a_sentence_and_little_memory(tmp_path: Path, name: str) -> None:
    kind, build, why = REFUSED[name]
    done, peak = opened(tmp_path / name, build(), kind)
    assert isinstance(done, Ended)
    assert re.search(why, done.why), done.why
    assert peak <= LEAST_BYTES + OWN_BYTES


OPENED: dict[str, tuple[str, Callable[[], bytes]]] = {
    "bits.png": ("PNG", lambda: flat_png(9_000, 9_000, depth=1, colour=0)),
    "palette.png": ("PNG", lambda: flat_png(9_000, 9_000, depth=1, colour=3)),
    "sixteen.png": ("PNG", lambda: flat_png(6000, 6000, depth=16, colour=0)),
    "tags.jpg": ("JPEG", lambda: overlapping_tags(5000, "JPEG")),
    "profile.png": ("PNG", lambda: flat_png(64, 48, beside=png_chunk(b"iCCP", b"p\0\0" + _packed(900_000)))),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", OPENED)
@pytest.mark.skipif(not IS_LINUX, reason="reads the peak of memory as Linux tells it")
def test_what_unfolds_to_a_picture_that_can_be_made_smaller_stays_within_its_memory(
    tmp_path: Path, name: str
) -> None:
    kind, build = OPENED[name]
    done, peak = opened(tmp_path / name, build(), kind)
    assert isinstance(done, Rendition), done
    assert peak <= LEAST_BYTES + OWN_BYTES


@pytest.mark.slow
@pytest.mark.skipif(not IS_LINUX, reason="reads the peak of memory as Linux tells it")
def test_a_profile_that_says_it_is_huge_is_left_out_of_account(tmp_path: Path) -> None:
    out = BytesIO()
    Image.new("RGB", (64, 48)).save(out, "JPEG", icc_profile=profile_of(500_000_000))
    done, peak = opened(tmp_path / "a.jpg", out.getvalue(), "JPEG")
    assert isinstance(done, Rendition)
    assert peak <= OWN_BYTES


@pytest.mark.slow
@pytest.mark.skipif(not IS_LINUX, reason="reads the peak of memory as Linux tells it")
def test_only_the_first_of_many_frames_is_decoded(tmp_path: Path) -> None:
    for kind, options in (("WEBP", {}), ("TIFF", {"compression": "tiff_lzw"}), ("PNG", {})):
        frames = [Image.new("RGB", (800, 600), (n, 2 * n % 256, 0)) for n in range(30)]
        out = BytesIO()
        frames[0].save(out, kind, save_all=True, append_images=frames[1:], **options)
        done, peak = opened(tmp_path / f"a.{kind.lower()}", out.getvalue(), kind)
        assert isinstance(done, Rendition), done
        assert peak <= OWN_BYTES


def test_memory_follows_the_size_of_the_file() -> None:
    assert allowed_bytes(0) == allowed_bytes(300_000) == LEAST_BYTES
    assert LEAST_BYTES < allowed_bytes(1_500_000) < MOST_BYTES
    assert allowed_bytes(10**9) == MOST_BYTES
