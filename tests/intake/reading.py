"""Pictures and sidecars by their paths; the program opens a file once and asks it several things."""

from collections.abc import Sequence
from pathlib import Path

from logbook.domain.camera import CameraFacts
from logbook.intake.marks import Marks
from logbook.intake.pictures import read_open_picture
from logbook.intake.plain_files import open_plain
from logbook.intake.xmp import read_open_sidecar


def read_picture(path: Path, beside: Sequence[Marks] = ()) -> CameraFacts:
    """Return what the camera wrote into one picture, and editors there and into files beside it."""
    with open_plain(path) as file:
        return read_open_picture(file, path, beside)


def read_sidecar(path: Path) -> Marks:
    """Return the marks in a file beside a picture."""
    with open_plain(path) as file:
        return read_open_sidecar(file)
