"""Opening originals of every kind as pictures; samples as in files/README.md."""

import struct
import sys
import tracemalloc
import zlib
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from logbook.intake.bounds import TooLargeError
from logbook.intake.previews import MissingExtraError, OpenedPicture
from logbook.intake.previews import open_picture as open_file

FILES = Path(__file__).parent / "files"
CAMERAS = FILES / "cameras"


def open_picture(path: Path, kind: str, orientation: int | None = None) -> OpenedPicture:
    return open_file(BytesIO(path.read_bytes()), kind, orientation)


def need(module: str) -> None:
    pytest.importorskip(module, reason=f"the extra `raw` ({module}) is not installed")


def dng(path: Path, *, preview: tuple[int, int] | None = None, size: tuple[int, int] = (64, 48)) -> Path:
    """A raw file made here: a plain Bayer picture, with a JPEG preview where a size is given (DNG 1.4)."""
    jpeg = b""
    if preview:
        out = BytesIO()
        Image.new("RGB", preview, (10, 200, 30)).save(out, "JPEG")
        jpeg = out.getvalue()
    width, height = size
    pixels = struct.pack(f"<{width * height}H", *([9000] * (width * height)))
    matrix = (1, 1, 0, 1, 0, 1, 0, 1, 1, 1, 0, 1, 0, 1, 0, 1, 1, 1)
    raw_entries = {
        254: (4, (0,)),
        256: (4, (width,)),
        257: (4, (height,)),
        258: (3, (16,)),
        259: (3, (1,)),
        262: (3, (32803,)),
        273: (4, "pixels"),
        277: (3, (1,)),
        278: (4, (height,)),
        279: (4, (len(pixels),)),
        33421: (3, (2, 2)),
        33422: (1, (0, 1, 1, 2)),
        50717: (4, (16383,)),
    }
    main = {
        254: (4, (1,)),
        256: (4, (preview or (8, 8))[:1]),
        257: (4, (preview or (8, 8))[1:]),
        258: (3, (8, 8, 8)),
        259: (3, (7,)),
        262: (3, (6,)),
        271: (2, b"Halvern\0"),
        272: (2, b"Thistle\0"),
        274: (3, (6,)),
        277: (3, (3,)),
        273: (4, "jpeg"),
        279: (4, (len(jpeg),)),
        330: (4, "raw"),
        50706: (1, (1, 4, 0, 0)),
        50708: (2, b"Halvern Thistle\0"),
        50721: (10, matrix),
        50728: (5, (1, 1, 1, 1, 1, 1)),
        50778: (3, (21,)),
    }
    if not preview:
        main = {
            tag: one for tag, one in main.items() if tag in (271, 272, 274, 50706, 50708, 50721, 50728, 50778)
        } | raw_entries

    def laid(entries: Mapping[int, tuple[int, object]], at: int, where: dict[str, int]) -> bytes:
        formats = {1: "B", 2: "s", 3: "H", 4: "L", 5: "L", 10: "l"}
        table, data = struct.pack("<H", len(entries)), b""
        begin = at + 2 + 12 * len(entries) + 4
        for tag, (kind, value) in sorted(entries.items()):
            if isinstance(value, bytes):
                body, count = value, len(value)
            else:
                values = (where[value],) if isinstance(value, str) else value
                body = struct.pack(f"<{len(values)}{formats[kind]}", *values)  # type: ignore[arg-type,misc]
                count = len(values) // (2 if kind in (5, 10) else 1)  # type: ignore[arg-type]
            if len(body) > 4:
                inline = struct.pack("<L", begin + len(data))
                data += body + b"\0" * (len(body) % 2)
            else:
                inline = body.ljust(4, b"\0")
            table += struct.pack("<HHL", tag, kind, count) + inline
        return table + b"\0\0\0\0" + data

    where = {"jpeg": 0, "raw": 0, "pixels": 0}
    for _ in range(2):  # the second time with the places that the first one found
        first = laid(main, 8, where)
        second = laid(raw_entries, 8 + len(first), where) if preview else b""
        where = {"raw": 8 + len(first), "jpeg": 8 + len(first) + len(second)}
        where["pixels"] = where["jpeg"] + len(jpeg) + len(jpeg) % 2
    path.write_bytes(b"II*\0\x08\0\0\0" + first + second + jpeg + b"\0" * (len(jpeg) % 2) + pixels)
    return path


def test_a_large_preview_is_taken_as_it_is_and_turned_as_the_raw_file_says(tmp_path: Path) -> None:
    need("rawpy")
    found = open_picture(dng(tmp_path / "a.dng", preview=(1920, 1280)), "DNG", 6)
    assert (found.picture.size, found.orientation) == ((1920, 1280), 6)
    red, green, blue = found.picture.convert("RGB").getpixel((900, 600))  # type: ignore[misc]
    assert green > 150 > max(red, blue)


def test_a_raw_file_without_a_large_preview_is_decoded_upright(tmp_path: Path) -> None:
    need("rawpy")
    for preview in (None, (160, 120)):
        found = open_picture(dng(tmp_path / "a.dng", preview=preview), "DNG", 6)
        assert (found.picture.size, found.orientation) == ((48, 64), None)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "least_px"), [("FujiFilm.raf", 160), ("Panasonic.rw2", 1600), ("DNG.dng", 1600)]
)
def test_real_raw_files_are_opened(name: str, least_px: int) -> None:
    need("rawpy")
    found = open_picture(CAMERAS / name, name.rpartition(".")[2].upper())
    assert max(found.picture.size) >= least_px
    found.picture.convert("RGB").load()


@pytest.mark.parametrize("path", [FILES / "made.heic", CAMERAS / "zPug_3.heic"])
def test_heic_is_opened(path: Path) -> None:
    need("pillow_heif")
    found = open_picture(path, "HEIC")
    assert found.picture.convert("RGB").getextrema() is not None


def test_avif_is_opened(tmp_path: Path) -> None:
    out = BytesIO()
    try:
        Image.new("RGB", (48, 32), (90, 120, 150)).save(out, "AVIF")
    except (KeyError, OSError):
        pytest.skip("this Pillow cannot write AVIF")
    (tmp_path / "a.avif").write_bytes(out.getvalue())
    assert open_picture(tmp_path / "a.avif", "AVIF").picture.size == (48, 32)


@pytest.mark.parametrize(
    ("module", "path", "kind"),
    [("rawpy", CAMERAS / "FujiFilm.raf", "RAF"), ("pillow_heif", FILES / "made.heic", "HEIC")],
)
def test_without_the_extra_one_sentence_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, module: str, path: Path, kind: str
) -> None:
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(MissingExtraError) as refused:
        open_picture(path, kind)
    assert str(refused.value).startswith(
        f"{kind} pictures cannot be opened without an extra: pip install 'shoot-logbook[raw]'"
    )


def huge_png(width: int, height: int) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(1000)))
        + chunk(b"IEND", b"")
    )


def test_a_picture_of_500_megapixels_is_refused_in_little_memory(tmp_path: Path) -> None:
    path = tmp_path / "huge.png"
    path.write_bytes(huge_png(25_000, 20_000))
    tracemalloc.start()
    with pytest.raises(TooLargeError, match="more than 178 million pixels"):
        open_picture(path, "PNG")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20 * 2**20


@pytest.mark.parametrize(("says", "turn"), [(None, 6), (0, 6), (1, 1), (3, 3)])
def test_a_picture_that_does_not_say_how_it_is_turned_is_turned_as_the_book_says(
    tmp_path: Path, says: int | None, turn: int
) -> None:
    exif = Image.Exif()
    if says is not None:
        exif[0x0112] = says
    path = tmp_path / "IMG_2031.JPG"
    Image.new("RGB", (60, 40)).save(path, exif=exif)
    assert open_picture(path, "JPEG", 6).orientation == turn
