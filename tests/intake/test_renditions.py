"""An original in several widths, as a helper process makes it."""

import sys
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from logbook.intake.renditions import Asked, Rendition, made_of
from logbook.intake.workers import Ended

CAMERAS = Path(__file__).parent / "files" / "cameras"


def asked(path: Path, kind: str, widths_px: tuple[int, ...], quality: int) -> Asked:
    content = path.read_bytes()
    return Asked(path, sha256(content).hexdigest(), len(content), kind, None, widths_px, quality)


@pytest.mark.parametrize(
    ("module", "name", "kind"), [("rawpy", "Panasonic.rw2", "RW2"), ("pillow_heif", "zPug_3.heic", "HEIC")]
)
def test_without_the_extra_the_reason_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, module: str, name: str, kind: str
) -> None:
    monkeypatch.setitem(sys.modules, module, None)
    refused = made_of(asked(CAMERAS / name, kind, (480,), 82))
    assert isinstance(refused, Ended)
    assert "pip install 'shoot-logbook[raw]'" in refused.why


@pytest.mark.slow
@pytest.mark.parametrize("mode", ["P", "RGBA", "LA", "I;16"])
def test_a_picture_made_band_by_band_has_no_seams(tmp_path: Path, mode: str) -> None:
    """A slope from black to white, high enough for several bands and a last one that is not full."""
    slope = Image.linear_gradient("L").resize((4001, 5003))
    shown = slope
    slope = slope.point(lambda v: v * 257, "I").convert("I;16") if mode == "I;16" else slope.convert(mode)
    slope.save(tmp_path / "a.png")
    made = made_of(asked(tmp_path / "a.png", "PNG", (480, 720), 95))
    assert isinstance(made, Rendition)
    (_, content) = made.files[-1]
    with Image.open(BytesIO(content)) as narrow:
        wanted = shown.resize(narrow.size, Image.Resampling.LANCZOS)
        off = ImageChops.difference(narrow.convert("L"), wanted)
    assert max(off.tobytes()) <= 4
