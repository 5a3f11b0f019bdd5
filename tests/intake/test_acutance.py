"""Originals measured from their files: each kind of file, and what cannot be measured."""

import hashlib
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from logbook.craft.edges import Edges
from logbook.intake.acutance import MeasuredEdges, WantedPicture, measured
from logbook.intake.workers import in_helpers
from tests.craft.test_edges import discs

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
