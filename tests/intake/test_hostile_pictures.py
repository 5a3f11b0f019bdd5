"""Damaged and hostile files: read or refused in one sentence, in little time and memory."""

import time
import tracemalloc
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import UnreadableFileError
from tests.examples import examples
from tests.intake.made import FILES, HEIC, chunk, jpeg, png_with
from tests.intake.reading import read_picture

CAMERAS = [path for path in (HEIC.parent / "cameras").iterdir() if path.suffix != ".xmp"]
SEEDS = {name: build() for name, (_, build) in FILES.items()} | {"made.heic": HEIC.read_bytes()}
SEEDS |= {path.name: path.read_bytes() for path in CAMERAS}


@settings(max_examples=examples(2), suppress_health_check=[HealthCheck.function_scoped_fixture])
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
    began = time.process_time()
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
    assert time.process_time() - began < 5


@pytest.mark.slow
@pytest.mark.parametrize("path", CAMERAS, ids=lambda path: path.name)
def test_a_camera_file_cut_off_anywhere_is_read_or_refused(tmp_path: Path, path: Path) -> None:
    whole = path.read_bytes()
    for length in range(0, len(whole), max(1, len(whole) // 60)):
        cut = tmp_path / path.name
        cut.write_bytes(whole[:length])
        try:
            read_picture(cut)
        except UnreadableFileError as refused:
            assert "\n" not in str(refused)  # noqa: PT017


def _tiff_of(entry: bytes, count: bytes = b"\1\0") -> bytes:
    return b"II*\0\x08\0\0\0" + count + entry + bytes(8)


FOUR_BILLION = b"\xff\xff\xff\xff"
HOSTILE: dict[str, Callable[[], bytes]] = {
    "four-billion-values.tif": lambda: _tiff_of(b"\x0f\x01\x02\0" + FOUR_BILLION + b"\x08\0\0\0"),
    "four-billion-fractions.tif": lambda: _tiff_of(b"\x9a\x82\x05\0" + FOUR_BILLION + b"\x08\0\0\0"),
    "xmp-of-four-billion.tif": lambda: _tiff_of(b"\xbc\x02\x01\0" + FOUR_BILLION + b"\x08\0\0\0"),
    "sixty-thousand-entries.tif": lambda: _tiff_of(b"\x69\x87\x04\0\1\0\0\0\x08\0\0\0" * 65535, b"\xff\xff"),
    "exif-is-itself.tif": lambda: _tiff_of(b"\x69\x87\x04\0\1\0\0\0\x08\0\0\0"),
    "packed-text.png": lambda: png_with(
        chunk(b"iTXt", b"XML:com.adobe.xmp\0\1\0\0\0" + zlib.compress(b" " * 150_000_000, 9))
    ),
    "packed-exif.png": lambda: png_with(
        chunk(b"zTXt", b"Raw profile type exif\0\0" + zlib.compress(b"00" * 75_000_000, 9))
    ),
    "many-packed-texts.png": lambda: png_with(
        chunk(b"zTXt", b"Raw profile type iptc\0\0" + zlib.compress(b"zz" * 2_000_000, 9)) * 300
    ),
    "endless-boxes.heic": lambda: b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0\0\0\x08free" * 100_000,
    "endless-boxes.cr3": lambda: b"\0\0\0\x18ftypcrx \0\0\0\1crx isom" + b"\0\0\0\x08free" * 100_000,
    "endless-segments.jpg": lambda: b"\xff\xd8" + b"\xff\xe1\0\2" * 500_000,
    "endless-extended-xmp.jpg": lambda: (
        b"\xff\xd8"
        + (b"\xff\xe1\xff\xffhttp://ns.adobe.com/xmp/extension/\0" + b"A" * 65_500) * 700
        + jpeg()[2:]
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_takes_little_time_and_memory(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(HOSTILE[name]())
    began = time.process_time()
    _read_or_refused(path)
    assert time.process_time() - began < 5
    tracemalloc.start()  # apart, as it takes several times as long as what it counts
    try:
        _read_or_refused(path)
        assert tracemalloc.get_traced_memory()[1] < 64 * 2**20
    finally:
        tracemalloc.stop()


def _read_or_refused(path: Path) -> None:
    try:
        read_picture(path)
    except UnreadableFileError as refused:
        assert "\n" not in str(refused)  # noqa: PT017
