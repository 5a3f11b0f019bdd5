"""Tags as the product reads them, from Exif blocks that piexif writes."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

import piexif
import pytest

from logbook.intake.exif.directories import read_directories
from logbook.intake.exif.tags import Tags


@pytest.fixture
def tags_of() -> Callable[..., Tags]:
    """A function from piexif's directories (main, exif, gps) to Tags."""

    def build(
        exif: dict[int, Any] | None = None,
        gps: dict[int, Any] | None = None,
        main: dict[int, Any] | None = None,
    ) -> Tags:
        block: bytes = piexif.dump({"0th": main or {}, "Exif": exif or {}, "GPS": gps or {}})
        return Tags(read_directories(BytesIO(block[6:])))

    return build
