"""Originals measured from their files: their sharpness and brightness, and what cannot be measured."""

import hashlib
from io import BytesIO
from pathlib import Path
from statistics import fmean, stdev

import numpy as np
import pytest
from PIL import Image

from logbook.craft.edges import Edges
from logbook.domain.errors import UnreadableFileError
from logbook.intake.acutance import DARKEST_STOPS, MeasuredEdges, WantedPicture, measured, shown_stops
from logbook.intake.workers import in_helpers
from tests.craft.test_edges import discs
from tests.intake.reading import read_picture

DRAWN = Image.fromarray(discs(1.0))


def wanted(path: Path, file_format: str = "JPEG", long_px: int | None = 800) -> WantedPicture:
    content = path.read_bytes()
    return WantedPicture(path, hashlib.sha256(content).hexdigest(), len(content), file_format, long_px)


def saved(folder: Path, picture: Image.Image, file_format: str, **more: object) -> WantedPicture:
    buffer = BytesIO()
    picture.save(buffer, file_format, **more)
    path = folder / f"drawn.{file_format.lower()}"
    path.write_bytes(buffer.getvalue())
    return wanted(path, file_format)


def edge_px(found: object) -> float:
    assert isinstance(found, MeasuredEdges)
    assert found.edges is not None, found.why
    width = Edges.of_text(found.edges).edge_px
    assert width is not None
    return width


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_the_same_picture_is_as_sharp_in_any_file(tmp_path: Path, file_format: str) -> None:
    more = {"quality": 95} if file_format in ("JPEG", "WEBP") else {}
    found = measured(saved(tmp_path, DRAWN.convert("RGB"), file_format, **more))
    assert edge_px(found) == pytest.approx(3.6, abs=0.25)  # a step blurred by 1 px: 2.5 times the root of 2


def test_sixteen_bits_of_grey_are_measured_as_eight(tmp_path: Path) -> None:
    deep = Image.fromarray(discs(1.0).astype(np.uint16) * 257)
    assert edge_px(measured(saved(tmp_path, deep, "PNG"))) == pytest.approx(3.6, abs=0.25)


def test_a_helper_measures_what_this_process_would(tmp_path: Path) -> None:
    one = saved(tmp_path, DRAWN, "PNG")
    assert list(in_helpers(measured, [one])) == [measured(one)]


def test_an_original_changed_since_it_was_taken_in_is_not_measured(tmp_path: Path) -> None:
    one = saved(tmp_path, DRAWN, "PNG")
    content = one.path.read_bytes()
    one.path.write_bytes(content[:-1] + b"?")
    found = measured(one)
    assert isinstance(found, MeasuredEdges)
    assert found.edges is None
    assert found.again
    assert found.why == "its content has changed since it was imported"


def test_an_original_that_is_gone_may_be_measured_later(tmp_path: Path) -> None:
    one = saved(tmp_path, DRAWN, "PNG")
    one.path.unlink()
    assert measured(one) == MeasuredEdges(None, "the original is gone", again=True)


def test_what_is_no_picture_or_shows_no_edge_is_told_once(tmp_path: Path) -> None:
    path = tmp_path / "notes.jpg"
    path.write_bytes(b"notes")
    for one in (wanted(path), saved(tmp_path, Image.new("L", (800, 600), 90), "PNG")):
        found = measured(one)
        assert isinstance(found, MeasuredEdges)
        assert (found.edges, found.again) == (None, False)
        assert found.why


SAMPLES = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")


def encoded(light: np.ndarray) -> Image.Image:
    """A picture of so much light, as a share of white; IEC 61966-2-1's curve, written here a second time."""
    toned = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return Image.fromarray(np.round(255 * toned.clip(0, 1)).astype(np.uint8))


@pytest.mark.parametrize("stops", [-4.0, -2.0, -1.0, 0.0, 1.0, 2.0])
def test_a_grey_picture_is_as_bright_as_it_was_drawn(stops: float) -> None:
    grey = encoded(np.full((300, 500), 0.18 * 2.0**stops))
    assert shown_stops(grey) == pytest.approx(stops, abs=0.1)
    assert shown_stops(grey.convert("RGB")) == pytest.approx(stops, abs=0.1)


def test_a_scene_exposed_by_so_many_stops_less_is_told_by_so_many(tmp_path: Path) -> None:
    scene = np.random.default_rng(3).lognormal(-2.4, 0.6, (400, 600)).clip(0, 0.9)
    full = shown_stops(encoded(scene))
    assert full is not None
    for stops in (1.0, 2.0, 3.0):
        data = BytesIO()
        encoded(scene / 2.0**stops).save(data, "JPEG", quality=85)
        assert shown_stops(Image.open(data)) == pytest.approx(full - stops, abs=0.15)


def test_a_black_picture_has_an_end() -> None:
    assert shown_stops(Image.new("L", (20, 20))) == DARKEST_STOPS


def test_what_bodies_metered_themselves_comes_out_within_half_a_stop_of_the_same_grey() -> None:
    """Embedded previews of some thirty cameras, no flash: deviation 0.5 stops, measured here; at most 0.6."""
    if not SAMPLES.is_dir():
        pytest.skip("Debian's golang-github-rwcarlsen-goexif-dev is not installed")
    found = []
    for path in sorted(SAMPLES.iterdir()):
        content = path.read_bytes()
        begin = content.find(b"\xff\xd8\xff", 2)  # the preview in Exif's second directory
        try:
            facts = read_picture(path)
            shown = shown_stops(Image.open(BytesIO(content[begin:]))) if begin > 0 else None
        except (UnreadableFileError, OSError):
            continue
        if shown is not None and not facts.flash_fired:
            found.append(shown)
    assert len(found) >= 20
    assert stdev(found) <= 0.6
    assert fmean(found) == pytest.approx(0.26, abs=0.25)
