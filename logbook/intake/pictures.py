"""Reading picture files: which ones there are, what the camera wrote into them, and which bytes they are.

One surprising decision: a value the camera wrote but that cannot be (f/0, a latitude of 95) is unknown, with
a note, and never stops the picture from being taken in. Files are opened for reading only, and pixels are
never decoded.
"""

import hashlib
import os
from io import BufferedReader, BytesIO
from pathlib import Path

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import UnreadableFileError
from logbook.intake.exif.body import read_body
from logbook.intake.exif.containers import read_packets
from logbook.intake.exif.exposure import read_exposure
from logbook.intake.exif.lens import read_lens
from logbook.intake.exif.packets import DamagedError
from logbook.intake.exif.position import read_position
from logbook.intake.exif.rating import read_rating
from logbook.intake.exif.sensitivity import read_iso
from logbook.intake.exif.tags import Tags, read_tags
from logbook.intake.exif.tiff import RAW_FORMATS
from logbook.intake.exif.times import read_times

PICTURE_SUFFIXES = frozenset(
    {
        ".jpg",
        ".jpeg",
        ".jpe",
        ".tif",
        ".tiff",
        ".png",
        ".webp",
        ".heic",
        ".heif",
        ".hif",
        ".avif",
        *RAW_FORMATS,
    }
)
_MAKERS_WHOSE_NOTES_HELP = ("canon", "nikon")  # their maker notes hold ISO or lens where Exif lacks them


def is_picture(path: Path) -> bool:
    """Whether the name is that of a picture: a known suffix, not hidden, not a "._" companion file."""
    return path.suffix.lower() in PICTURE_SUFFIXES and not path.name.startswith(".")


def find_pictures(folder: Path, recursive: bool) -> list[Path]:
    """Picture files in `folder`, sorted; hidden files and folders are left out, each folder is visited once.

    Raises UnreadableFileError when a folder cannot be listed.
    """
    found: list[Path] = []
    waiting = [folder]
    visited: set[tuple[int, int]] = set()  # links may lead back up; a folder is known by device and inode
    while waiting:
        here = waiting.pop()
        try:
            status = here.stat()
            if (status.st_dev, status.st_ino) in visited:
                continue
            visited.add((status.st_dev, status.st_ino))
            with os.scandir(here) as entries:
                for entry in entries:
                    path = Path(entry.path)
                    if entry.name.startswith("."):
                        continue
                    if entry.is_dir():
                        if recursive:
                            waiting.append(path)
                    elif is_picture(path) and entry.is_file():
                        found.append(path)
        except OSError as error:
            raise UnreadableFileError(
                f"The folder {here} cannot be listed ({error.strerror}): check its name and permissions."
            ) from error
    return sorted(found)


def content_hash(path: Path) -> str:
    """SHA-256 of the file's bytes in hexadecimal, streamed; raises UnreadableFileError."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise _unreadable(path, error) from error


def read_picture(path: Path) -> CameraFacts:
    """What the camera wrote into one picture; reads headers only.

    Raises UnreadableFileError when the file cannot be opened, is not a picture, or is damaged past reading.
    """
    try:
        with path.open("rb") as file:
            packets = read_packets(file, path.suffix)
            notes = list(packets.notes)
            is_tiff = packets.exif is None and packets.format in ("TIFF", *RAW_FORMATS.values())
            stream = file if is_tiff else BytesIO(packets.exif or b"")
            tags = Tags()
            if is_tiff or packets.exif:
                try:
                    tags = _all_tags(stream)
                except DamagedError as error:
                    notes.append(f"camera settings unknown: {error}")
    except DamagedError as error:
        raise UnreadableFileError(f"{path} cannot be read: {error}.") from error
    except OSError as error:
        raise _unreadable(path, error) from error

    times, exposure, lens, position = (
        read_times(tags),
        read_exposure(tags),
        read_lens(tags),
        read_position(tags),
    )
    iso, iso_notes = read_iso(tags)
    rating, rating_notes = read_rating(tags, packets.xmp)
    orientation = tags.integer("Image Orientation")
    return CameraFacts(
        format=packets.format,
        width_px=packets.width_px,
        height_px=packets.height_px,
        orientation=orientation if orientation in range(1, 9) else None,
        taken_text=times.taken_text,
        taken_local=times.taken_local,
        utc_offset_text=times.utc_offset_text,
        utc_offset_min=times.utc_offset_min,
        gps_utc=times.gps_utc,
        exposure_s=exposure.exposure_s,
        f_number=exposure.f_number,
        iso=iso,
        bias_stops=exposure.bias_stops,
        focal_mm=lens.focal_mm,
        focal_35mm=lens.focal_35mm,
        exposure_mode=exposure.exposure_mode,
        auto_bracket=exposure.auto_bracket,
        metering=exposure.metering,
        flash_fired=exposure.flash_fired,
        body=read_body(tags),
        lens=lens.name,
        latitude_deg=position.latitude_deg,
        longitude_deg=position.longitude_deg,
        altitude_m=position.altitude_m,
        direction_deg=position.direction_deg,
        direction_is_magnetic=position.direction_is_magnetic,
        rating=rating,
        notes=(
            *notes,
            *times.notes,
            *exposure.notes,
            *iso_notes,
            *lens.notes,
            *position.notes,
            *rating_notes,
        ),
    )


def _all_tags(stream: BytesIO | BufferedReader) -> Tags:
    """The tags; with maker notes only where these hold something that Exif lacks."""
    tags = read_tags(stream)
    make = (tags.text("Make") or "").lower()
    if make.startswith(_MAKERS_WHOSE_NOTES_HELP) and (
        read_iso(tags)[0] is None or read_lens(tags).name is None
    ):
        try:
            return read_tags(stream, maker_notes=True)
        except DamagedError:
            return tags
    return tags


def _unreadable(path: Path, error: OSError) -> UnreadableFileError:
    return UnreadableFileError(f"{path} cannot be read ({error.strerror}): check its name and permissions.")
