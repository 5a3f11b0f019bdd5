"""Reading picture files: which ones there are, what the camera wrote into them, and which bytes they are.

One surprising decision: a value the camera wrote but that cannot be (f/0, a latitude of 95) is unknown, with
a note, and never stops the picture from being taken in. Files are opened for reading only, and pixels are
never decoded.
"""

import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from logbook import __version__
from logbook.domain.camera import CameraFacts
from logbook.domain.errors import UnreadableFileError
from logbook.intake.agreement import camera_facts
from logbook.intake.exif.containers import read_packets
from logbook.intake.exif.directories import tags_with_notes
from logbook.intake.exif.packets import DamagedError, Packets
from logbook.intake.exif.tags import Tags
from logbook.intake.exif.tiff import RAW_FORMATS
from logbook.intake.iptc import read_iptc
from logbook.intake.marks import Marks, exif_marks, marked
from logbook.intake.plain_files import hash_of, open_plain
from logbook.intake.report_list import LIST_NAME, MadeReport, report_around
from logbook.intake.xmp import read_xmp

READER = f"{__version__} 1"  # raise the number when files give more or other facts than before
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
SIDECAR_SUFFIX = ".xmp"


@dataclass(frozen=True, slots=True)
class FoundFiles:
    """What a folder holds: pictures, sorted; sidecars by folder and name; what was not taken, and why.

    Pictures are paths as text, because there may be a hundred thousand.
    """

    pictures: list[str]
    sidecars: dict[tuple[Path, str], tuple[Path, ...]]
    refused: list[tuple[Path, str]]
    made_here: Counter[Path]  # how many pictures of reports that this program made were passed by, by report

    def sidecars_of(self, picture: Path) -> tuple[Path, ...]:
        """The files beside a picture that hold its XMP, `IMG_0412.CR2.xmp` after `IMG_0412.xmp`."""
        return self.sidecars.get((picture.parent, picture.stem.casefold()), ())


def find_files(folder: Path, recursive: bool) -> FoundFiles:
    """Pictures and sidecars in `folder`; hidden ones are left out, each folder is visited once.

    The pictures of a report that this program made are passed by: they would come back as what was taken.
    Raises UnreadableFileError when `folder` itself cannot be listed.
    """
    found = FoundFiles([], {}, [], Counter())
    waiting: list[tuple[Path, MadeReport | None]] = [(folder, report_around(folder))]
    visited: set[tuple[int, int]] = set()  # links may lead back up; a folder is known by device and inode
    while waiting:
        here, made = waiting.pop()
        try:
            status = here.stat()
            if (status.st_dev, status.st_ino) in visited:
                continue
            visited.add((status.st_dev, status.st_ino))
            with os.scandir(here) as entries:
                below = [path for entry in entries if (path := _noted(here, entry, found, made))]
            waiting += [(path, _made(path, made)) for path in below if recursive]
        except OSError as error:
            reason = f"The folder {here} cannot be listed ({error.strerror}): check its name and permissions."
            if here == folder:
                raise UnreadableFileError(reason) from error
            found.refused.append((here, reason))
    found.pictures.sort()
    return found


def _made(folder: Path, above: MadeReport | None) -> MadeReport | None:
    """In which report a folder lies, when that of the folder above is known."""
    if folder.is_symlink() or (folder / LIST_NAME).exists():
        return report_around(folder)
    return above.below(folder.name) if above else None


def _noted(here: Path, entry: "os.DirEntry[str]", found: FoundFiles, made: MadeReport | None) -> Path | None:
    """Note a picture or a sidecar; return a folder."""
    if entry.name.startswith("."):
        return None
    suffix = os.path.splitext(entry.name)[1].lower()  # noqa: PTH122 - ten thousand Path objects cost a second
    try:
        if entry.is_dir():
            return here / entry.name
        if (suffix not in PICTURE_SUFFIXES and suffix != SIDECAR_SUFFIX) or not entry.is_file():
            return None
    except OSError:  # a link that goes round
        return None
    if suffix != SIDECAR_SUFFIX:
        if made is not None and made.has(entry.name):
            found.made_here[made.root] += 1
        else:
            found.pictures.append(entry.path)
        return None
    path = here / entry.name
    named = Path(path.stem)  # IMG_0412, or IMG_0412.CR2
    stem = named.stem if named.suffix.lower() in PICTURE_SUFFIXES else named.name
    key = (here, stem.casefold())
    found.sidecars[key] = tuple(sorted((*found.sidecars.get(key, ()), path), key=lambda one: len(one.name)))
    return None


def content_hash(path: Path) -> str:
    """SHA-256 of the file's bytes in hexadecimal, streamed; raises UnreadableFileError."""
    try:
        with open_plain(path) as file:
            return hash_of(file)
    except OSError as error:
        raise _unreadable(path, error) from error


def read_open_picture(file: BinaryIO, path: Path, beside: Sequence[Marks] = ()) -> CameraFacts:
    """What the camera wrote into an open picture, and editors there and beside it; reads headers only.

    `path` is its name. Raises UnreadableFileError when it is not a picture, or is damaged past reading.
    """
    try:
        file.seek(0)
        packets = read_packets(file, path.suffix)
        notes = list(packets.notes)
        tags = Tags()
        try:
            tags = tags_with_notes(packets, file)
        except DamagedError as error:
            notes.append(f"camera settings unknown: {error}")
    except DamagedError as error:
        raise UnreadableFileError(f"{path} cannot be read: {error}.") from error
    except OSError as error:
        raise _unreadable(path, error) from error

    marks = _marks(packets, tags)
    others = [Tags(dict(one.written)) for one in (marks, *beside)]
    facts = camera_facts(packets.format, packets.width_px, packets.height_px, tags, *others)
    facts = replace(facts, notes=(*notes, *facts.notes))
    for one in (marks, *beside):
        facts = marked(facts, one)
    return facts


def _marks(packets: Packets, tags: Tags) -> Marks:
    """What an editor wrote: XMP goes before IPTC and Exif, because editors write it last."""
    marks = Marks() if packets.xmp is None else read_xmp(packets.xmp)
    if packets.extended_xmp is not None:
        marks = marks.over(read_xmp(packets.extended_xmp))
    if packets.iptc is not None:
        marks = marks.over(read_iptc(packets.iptc))
    return marks.over(exif_marks(tags)) if tags else marks


def _unreadable(path: Path, error: OSError) -> UnreadableFileError:
    return UnreadableFileError(f"{path} cannot be read ({error.strerror}): check its name and permissions.")
