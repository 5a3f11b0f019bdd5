"""Frames: one exposure and the files that hold it: picture, raw, sidecars.

One surprising decision: whenever a file joins a frame or a sidecar has changed, what is known of the frame is
put together again from all its files, so that the order in which they were taken in makes no difference.
"""

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import UnreadableFileError
from logbook.domain.keeper import Companion, Keeper, KnownFile
from logbook.domain.words import Provenance
from logbook.intake.exif.tiff import RAW_FORMATS

CAMERA_FIELDS = (
    "exposure_s",
    "f_number",
    "iso",
    "bias_stops",
    "focal_mm",
    "focal_35mm",
    "exposure_mode",
    "auto_bracket",
    "metering",
    "flash_fired",
    "brightness_ev",
    "metered_ev100",
    "subject_distance_m",
    "subject_distance_range",
    "body",
    "lens",
    "latitude_deg",
    "longitude_deg",
    "altitude_m",
    "direction_deg",
    "direction_is_magnetic",
    "gps_utc",
)
MARK_FIELDS = ("rating", "label", "keywords", "caption", "place", "credit", "copyright")
_RAW = frozenset(RAW_FORMATS.values())
_MADE_VISIBLE = re.compile(rb"\\x([89a-f][0-9a-f])")
_UNKNOWN: tuple[object, ...] = (None, ())


@dataclass(frozen=True, slots=True)
class WantedMarks:
    """Which marks a picture must carry to be taken in; without any, every picture is."""

    rating: int | None = None  # that many stars or more
    label: str | None = None
    keywords: tuple[str, ...] = ()  # each of them

    def accepts(self, facts: CameraFacts) -> bool:
        """Whether a picture carries all that is wanted; capital letters make no difference."""
        has = {word.casefold() for word in facts.keywords}
        return (
            (self.rating is None or (facts.rating is not None and facts.rating >= self.rating))
            and (self.label is None or (facts.label or "").casefold() == self.label.casefold())
            and all(word.casefold() in has for word in self.keywords)
        )


@dataclass(frozen=True, slots=True)
class ReadFile:
    """One picture file as it was read; `facts` hold the marks of its sidecars too."""

    path: str  # absolute, as the book writes it
    hash: str
    size_bytes: int
    facts: CameraFacts
    sidecars: tuple[Companion, ...] = ()
    known: tuple[KnownFile, ...] = ()  # the picture and its sidecars, as they were when they were read

    @property
    def is_raw(self) -> bool:
        """Whether the file is a raw one."""
        return self.facts.format in _RAW

    @property
    def stem(self) -> str:
        """The file's name without its suffix, in small letters."""
        return Path(self.path).stem.casefold()

    def is_frame_of(self, keeper: Keeper) -> bool:
        """Whether a keeper is of the same frame: same name but for the suffix, same body, same moment."""
        facts = self.facts
        if facts.taken_text is None or (facts.taken_text, facts.body) != (keeper.taken_text, keeper.body):
            return False
        return self.stem == Path(keeper.file).stem.casefold()


def is_raw(keeper: Keeper) -> bool:
    """Whether the file by which a keeper is known is a raw one."""
    return keeper.format in _RAW


def files_of(keeper: Keeper) -> tuple[str, ...]:
    """Return where the book says that the files of a keeper's frame lie, the one that is shown first."""
    return (keeper.path, *(one.path for one in keeper.companions))


def shown_path(path: Path) -> str:
    """Return a path as text, with bytes that are not UTF-8 made visible."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")


def real_path(path: str) -> Path:
    """Return the path that `shown_path` made visible."""
    found = Path(path)
    if "\\x" in path and not found.exists():
        return Path(
            os.fsdecode(_MADE_VISIBLE.sub(lambda byte: bytes.fromhex(byte[1].decode()), path.encode()))
        )
    return found


def read_file(path: Path, sidecars: tuple[Path, ...] = ()) -> ReadFile:
    """Read one picture and its sidecars; raises UnreadableFileError. A bad sidecar is only a doubt.

    The picture is opened once: its hash and its facts are of the same file.
    """
    from logbook.intake.pictures import READER, read_open_picture
    from logbook.intake.plain_files import hash_of, open_plain, state_of
    from logbook.intake.xmp import read_open_sidecar

    marks, beside, known, notes = [], [], [], []
    for sidecar in sidecars:
        try:
            with open_plain(sidecar) as file:
                marks.append(read_open_sidecar(file))
                one = Companion(hash_of(file), absolute(sidecar))
                known.append(KnownFile(one.path, one.hash, state_of(os.fstat(file.fileno())), READER))
            beside.append(one)
        except UnreadableFileError as error:
            notes.append(str(error))
        except OSError as error:
            notes.append(f"{sidecar} cannot be read ({error.strerror}): check its name and permissions.")
    try:
        with open_plain(path) as file:
            before = os.fstat(file.fileno())
            hashed = hash_of(file)
            facts = read_open_picture(file, path, marks)
            if state_of(os.fstat(file.fileno())) != state_of(before):
                raise UnreadableFileError("the file was changed while it was being read; import it again")
    except OSError as error:
        raise UnreadableFileError(f"the file cannot be read ({error.strerror})") from error
    facts = replace(facts, notes=(*facts.notes, *notes))
    name = absolute(path)
    known.insert(0, KnownFile(name, hashed, state_of(before), READER))
    return ReadFile(name, hashed, before.st_size, facts, tuple(beside), tuple(known))


def absolute(path: Path) -> str:
    """Return the path without links, as the book writes it."""
    folder = os.path.realpath(path.parent) if not path.is_symlink() else None
    return shown_path(path.resolve() if folder is None else Path(folder, path.name))


def provenance_of(facts: CameraFacts) -> dict[str, Provenance]:
    """Return the fields that the file gives."""
    names = (*CAMERA_FIELDS, *MARK_FIELDS, "orientation", "width_px", "height_px")
    return {name: Provenance.CAMERA for name in names if getattr(facts, name) not in _UNKNOWN}


def with_files(keeper: Keeper, companions: tuple[Companion, ...]) -> Keeper:
    """Return the keeper with more files, or other contents of those it has; in order of their names."""
    by_path = {one.path: one for one in (*keeper.companions, *companions) if one.path != keeper.path}
    return replace(keeper, also=tuple(str(by_path[path]) for path in sorted(by_path)))


def joined(keeper: Keeper, read: ReadFile) -> Keeper:
    """Return the keeper with another file of its frame; a developed picture is shown instead of a raw one."""
    if read.is_raw:
        return with_files(keeper, (Companion(read.hash, read.path), *read.sidecars))
    raw = Companion(keeper.hash, keeper.path)
    return with_files(replaced(keeper, read), (raw, *read.sidecars))


def replaced(keeper: Keeper, read: ReadFile) -> Keeper:
    """Return the keeper with this file as the one that is shown."""
    facts = read.facts
    return replace(
        keeper,
        file=Path(read.path).name,
        path=read.path,
        hash=read.hash,
        size_bytes=read.size_bytes,
        format=facts.format,
        width_px=facts.width_px,
        height_px=facts.height_px,
        orientation=facts.orientation,
        provenance=dict(keeper.provenance)
        | {
            name: Provenance.CAMERA
            for name in ("width_px", "height_px", "orientation")
            if getattr(facts, name) is not None
        },
    )


def moved(keeper: Keeper, read: ReadFile, is_there: Callable[[str, str], bool]) -> Keeper:
    """Return the keeper with a file of known content where it is now; itself where the file did not move.

    `is_there` tells whether a file, by its path, still holds the content with a hash. A sidecar that is gone,
    and lies beside the new place by its name or its content, has moved along.
    """
    mine = next((one for one in keeper.companions if one.hash == read.hash), None)
    path = keeper.path if mine is None else mine.path
    if path == read.path or is_there(path, read.hash):
        return keeper
    folder = Path(path).parent
    names = {Path(one.path).name for one in read.sidecars}
    hashes = {one.hash for one in read.sidecars}
    gone = [
        one
        for one in keeper.companions
        if one.is_sidecar
        and Path(one.path).parent == folder
        and (Path(one.path).name in names or one.hash in hashes)
        and not real_path(one.path).exists()
    ]
    known = {one.hash for one in gone}
    along = tuple(one for one in read.sidecars if one.hash in known)
    left = tuple(str(one) for one in keeper.companions if one not in gone and one != mine)
    if mine is not None:
        return with_files(replace(keeper, also=left), (Companion(read.hash, read.path), *along))
    return with_files(replace(keeper, path=read.path, file=Path(read.path).name, also=left), along)


def refreshed(
    keeper: Keeper,
    reads: Mapping[str, ReadFile],
    now: datetime,
    names: tuple[str, ...] = (*CAMERA_FIELDS, *MARK_FIELDS),
) -> Keeper:
    """Return the keeper with what all its files say now, except where a person or the program said more.

    Files that are not among `reads` are read where they hold what the book says of them, because where they
    lie may be no more than what somebody else wrote; one that cannot be reached leaves what it gave before.
    """
    pictures = [
        Companion(keeper.hash, keeper.path),
        *(one for one in keeper.companions if not one.is_sidecar),
    ]
    found = [reads.get(one.path) or _reread(one, keeper.companions) for one in pictures]
    facts = [read.facts for read in found if read is not None]
    changes: dict[str, Any] = {}
    provenance = dict(keeper.provenance)
    for name in names:
        old = getattr(keeper, name)
        if old not in _UNKNOWN and keeper.provenance.get(name) is not Provenance.CAMERA:
            continue  # a person stated it, or it was worked out
        new = next((value for one in facts if (value := getattr(one, name)) not in _UNKNOWN), None)
        if new is None and (name not in MARK_FIELDS or None in found):
            continue
        changes[name] = () if new is None and name == "keywords" else new
        provenance[name] = Provenance.CAMERA
        if new is None:
            del provenance[name]
    shown = found[0].facts.orientation if found[0] is not None else None
    if keeper.orientation is None and shown is not None:  # of the file that is shown, and of no other
        changes["orientation"], provenance["orientation"] = shown, Provenance.CAMERA
    doubts = tuple(dict.fromkeys(note for one in facts for note in one.notes)) if facts else keeper.doubts
    if None in found:
        doubts = keeper.doubts
    after = replace(keeper, **changes, doubts=doubts, provenance=provenance)
    return after if after == keeper else replace(after, updated=now)


def _reread(picture: Companion, beside: tuple[Companion, ...]) -> ReadFile | None:
    """Read a picture again where it is what it was, with the sidecars that lie beside it."""
    path = real_path(picture.path)
    sidecars = (real_path(one.path) for one in beside if one.is_sidecar)
    try:
        read = read_file(path, tuple(one for one in sidecars if _is_beside(one, path)))
    except UnreadableFileError:
        return None
    return read if read.hash == picture.hash else None


def _is_beside(sidecar: Path, picture: Path) -> bool:
    """Whether a sidecar is there, in a picture's folder and of its name: IMG_0412.xmp or IMG_0412.CR2.xmp."""
    stems = (sidecar.stem.casefold(), Path(sidecar.stem).stem.casefold())
    return sidecar.parent == picture.parent and picture.stem.casefold() in stems and sidecar.is_file()
