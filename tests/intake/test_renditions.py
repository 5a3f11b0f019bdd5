"""An original in several widths, as a helper process makes it."""

import sys
from pathlib import Path

import pytest

from logbook.intake.renditions import Asked, made_of
from logbook.intake.workers import Ended

CAMERAS = Path(__file__).parent / "files" / "cameras"


@pytest.mark.parametrize(
    ("module", "name", "kind"), [("rawpy", "Panasonic.rw2", "RW2"), ("pillow_heif", "zPug_3.heic", "HEIC")]
)
def test_without_the_extra_the_reason_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, module: str, name: str, kind: str
) -> None:
    monkeypatch.setitem(sys.modules, module, None)
    refused = made_of(Asked(CAMERAS / name, kind, None, (480,), 82))
    assert isinstance(refused, Ended)
    assert "pip install 'shoot-logbook[raw]'" in refused.why
