"""Reading the track of a receiver: GPX 1.1 and 1.0 files, whoever wrote them.

One surprising decision: the reading library never sees the file itself. A first pass refuses what is hostile
(document types and their entities, depth, size) and copies out only what a track is made of, so that nothing
else in the file, such as extensions and namespaces, can slow or mislead it. It sees a thousand points at a
time, for its tree of a few days of points would take half a gigabyte.

Source of the rules: TopoGrafix, GPX 1.1 Schema (gpx.xsd), 2004: wptType, trkType, trksegType.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import chain, pairwise
from math import isfinite
from operator import attrgetter
from pathlib import Path
from typing import Any
from xml.parsers import expat

from logbook.domain.errors import UnreadableFileError
from logbook.domain.track import Fix

LARGEST_BYTES = 32 * 2**20  # bytes; four days of one point a second, read in some seconds
DEEPEST = 64  # elements within elements; a track needs five
_CHUNK_BYTES = 2**18
_POINTS_AT_ONCE = 1000  # that the library reads; a piece of it takes about two megabytes (measured)
_LONGEST_NAME = 200  # characters
_LONGEST_NUMBER = 64  # characters
_EARLIEST = datetime(
    1980, 1, 6, tzinfo=UTC
)  # first day of GPS time (IS-GPS-200): before it no receiver had a fix
_LOWEST_M, _HIGHEST_M = -1000.0, 20_000.0  # m; below the lowest shore, above airliners
_COPIED = {  # where an element must stand to be copied out
    ("gpx",),
    ("gpx", "trk"),
    ("gpx", "trk", "name"),
    ("gpx", "trk", "trkseg"),
    ("gpx", "trk", "trkseg", "trkpt"),
    ("gpx", "trk", "trkseg", "trkpt", "ele"),
    ("gpx", "trk", "trkseg", "trkpt", "time"),
}
_TEXTS = {"name", "ele", "time"}
_TIME = re.compile(r"[-−+.:TZ0-9 ]{1,64}")  # no other text of the file reaches the library


@dataclass(frozen=True, slots=True)
class Track:
    """Segments in order of time, each unbroken and in order of time; `doubts` says what was put right."""

    segments: tuple[tuple[Fix, ...], ...]
    name: str | None = None
    doubts: tuple[str, ...] = ()

    @property
    def points(self) -> tuple[Fix, ...]:
        """All points; between the last of one segment and the first of the next nothing is known."""
        return tuple(chain.from_iterable(self.segments))


def read_track(path: Path) -> Track:
    """The recorded track of a GPX file, all its tracks together; routes and waypoints have no times.

    Raises UnreadableFileError when the file cannot be opened, is hostile, is no GPX, or holds no point with
    a place and a time.
    """
    try:
        with path.open("rb") as file:
            copy = _read_through(file)
    except _TrackRefusedError as refusal:
        raise UnreadableFileError(f"The track {path} cannot be read: {refusal}.") from None
    except OSError as error:
        raise UnreadableFileError(
            f"The track {path} cannot be read ({error.strerror}): check its name and permissions."
        ) from error
    doubts, segments = copy.doubts + copy.later_doubts, copy.segments
    if not segments:
        lost = "; ".join(_sentences(doubts))
        raise UnreadableFileError(
            f"The track {path} has no points with a place and a time{f' ({lost})' if lost else ''}; "
            "export it again as a recorded track."
        )
    segments = sorted(segments, key=lambda points: points[0].at)
    overlaps = sum(later[0].at < earlier[-1].at for earlier, later in pairwise(segments))
    if overlaps:
        doubts["stretches that overlap the one before, perhaps from two receivers"] = overlaps
    return Track(tuple(segments), copy.name, _sentences(doubts))


class _TrackRefusedError(Exception):
    """Why the file is not read, as the end of a sentence."""


class _Reading:
    """A track written out again without all that it does not need, and its points, read piece by piece."""

    def __init__(self) -> None:
        self.doubts: Counter[str] = Counter()  # about the writing
        self.later_doubts: Counter[str] = Counter()  # about what was written
        self.name: str | None = None  # of the first track that has one
        self.segments: list[tuple[Fix, ...]] = []
        self._out: list[str] = []
        self._waiting = 0  # points written out and not read yet
        self._points: list[Fix] = []  # of the segment at hand
        self._path: tuple[str, ...] = ()
        self._open: list[str | None] = []  # for each open element the name it is copied under
        self._prefix = ""  # of the root element; elements with another one are extensions
        self._words: list[str] = []

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Copy an element's beginning where it is part of a track."""
        prefix, _, name = tag.rpartition(":")
        if not self._open:
            if name != "gpx":
                raise _TrackRefusedError(f"it is not a GPX file: its root is <{tag[:40]}>")
            self._prefix = prefix
        if len(self._open) >= DEEPEST:
            raise _TrackRefusedError(f"its elements are nested more than {DEEPEST} deep")
        self._path += (name if prefix == self._prefix else "",)
        copied = self._path in _COPIED
        if copied and name == "trkpt":
            latitude, longitude = attributes.get("lat", ""), attributes.get("lon", "")
            if _is_number(latitude) and _is_number(longitude):
                # numbers hold nothing that XML would read
                self._out.append(f'<trkpt lat="{latitude}" lon="{longitude}">')
            else:
                self.doubts["points without coordinates, left out"] += 1
                copied, self._path = False, (*self._path[:-1], "")  # what it holds is left out too
        elif copied and name in _TEXTS:
            self._words = []
        self._open.append(name if copied else None)

    def data(self, text: str) -> None:
        """Gather the text of an element that is copied."""
        if self._open and self._open[-1] in _TEXTS:
            self._words.append(text)

    def end(self, _tag: str) -> None:
        """Copy an element's end, with its text."""
        self._path = self._path[:-1]
        name = self._open.pop()
        if name is None:
            return
        if name == "trkpt":
            self._out.append("</trkpt>")
            self._waiting += 1
            if self._waiting >= _POINTS_AT_ONCE:
                self._read_waiting()
        elif name == "trkseg":
            self._read_waiting()
            if points := _in_order(self._points, self.later_doubts):
                self.segments.append(points)
            self._points = []
        if name not in _TEXTS:
            return
        words = " ".join("".join(self._words).split())
        if name == "name":
            self.name = self.name or words[:_LONGEST_NAME] or None
        elif name == "ele" and not _is_number(words):
            self.doubts["elevations that are not numbers, left out"] += bool(words)
        elif name == "ele" or _TIME.fullmatch(words):
            self._out.append(f"<{name}>{words}</{name}>")

    def _read_waiting(self) -> None:
        self._points.extend(_believed(_points_in("".join(self._out)), self.later_doubts))
        self._out.clear()
        self._waiting = 0


def _is_number(text: str) -> bool:
    try:
        float(text[:_LONGEST_NUMBER])
    except ValueError:
        return False
    return len(text) <= _LONGEST_NUMBER


def _read_through(file: Any) -> _Reading:
    copy = _Reading()
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_doctype
    parser.StartElementHandler, parser.EndElementHandler = copy.start, copy.end
    parser.CharacterDataHandler = copy.data
    size = 0
    try:
        while chunk := file.read(_CHUNK_BYTES):
            size += len(chunk)
            if size > LARGEST_BYTES:
                raise _TrackRefusedError(f"it is larger than {LARGEST_BYTES // 2**20} MB; split it by days")
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise _TrackRefusedError(f"it is not a complete XML file ({error})") from None
    except (LookupError, ValueError) as error:
        raise _TrackRefusedError(f"its encoding is unknown ({error})") from None
    return copy


def _refuse_doctype(*_declaration: object) -> None:
    raise _TrackRefusedError("it declares a document type, which a track never needs and hostile files use")


def _points_in(text: str) -> Sequence[Any]:
    """The points of a piece of a segment, read by the library."""
    import gpxpy
    from gpxpy.gpx import GPXException

    whole = f'<gpx version="1.1" creator="copy"><trk><trkseg>{text}</trkseg></trk></gpx>'
    try:
        points: Sequence[Any] = gpxpy.parse(whole).tracks[0].segments[0].points
    except (GPXException, ValueError) as error:
        raise _TrackRefusedError(f"it breaks the rules of GPX ({error})") from None
    return points


def _believed(points: Sequence[Any], doubts: Counter[str]) -> Iterator[Fix]:
    for point in points:
        latitude_deg, longitude_deg, at = point.latitude, point.longitude, point.time
        if not (-90.0 <= latitude_deg <= 90.0 and -180.0 <= longitude_deg <= 180.0):
            doubts["points with impossible coordinates, left out"] += 1
            continue
        if latitude_deg == 0.0 and longitude_deg == 0.0:
            doubts["points at 0, 0 (no fix yet), left out"] += 1
            continue
        if at is None:
            doubts["points without a time, left out"] += 1
            continue
        if at.tzinfo is None:
            doubts["times without a zone, read as UTC as GPX requires"] += 1
            at = at.replace(tzinfo=UTC)
        try:
            at = at.astimezone(UTC)
        except (OverflowError, ValueError):
            at = datetime.min.replace(tzinfo=UTC)
        if at < _EARLIEST:
            doubts["points with an impossible time, left out"] += 1
            continue
        elevation_m = point.elevation
        if elevation_m is not None and not (isfinite(elevation_m) and _LOWEST_M <= elevation_m <= _HIGHEST_M):
            doubts["impossible elevations, left out"] += 1
            elevation_m = None
        yield Fix(at, latitude_deg, longitude_deg, elevation_m)


def _in_order(points: list[Fix], doubts: Counter[str]) -> tuple[Fix, ...]:
    """The points by time; of several at one instant the first."""
    late = sum(later.at < earlier.at for earlier, later in pairwise(points))
    if late:
        doubts["jumps back in time, put in order"] += late
        points = sorted(points, key=attrgetter("at"))
    kept = [
        p for p, before in zip(points, [None, *points], strict=False) if before is None or p.at > before.at
    ]
    if len(kept) < len(points):
        doubts["points at the same instant as the one before, left out"] += len(points) - len(kept)
    return tuple(kept)


def _sentences(doubts: Counter[str]) -> tuple[str, ...]:
    return tuple(f"{words}: {count}" for words, count in doubts.items() if count)
