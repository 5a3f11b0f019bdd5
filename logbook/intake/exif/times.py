"""When the picture was taken, by the camera's clock and by the satellites'.

One surprising decision: a fraction of a second or an offset is only believed for the very time it was written
for, and the date of the file's last change is never the time of taking. Source: CIPA DC-008 (Exif 2.32), tag
tables: date and time, offset time, GPSDateStamp, GPSTimeStamp.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

from logbook.domain.dates import FIRST_DAY
from logbook.intake.exif.tags import Tags, believed

_CAMERAS_YEAR = 1990  # before it no camera wrote a date: that of a scan, or an unset clock's
_MOST_OFFSET_MIN = 14 * 60  # +14:00 is the largest offset in use, tz database
_SOURCES = (  # time, its fraction, its offset; best first, the last one only lends its offset
    ("DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal"),
    ("DateTimeDigitized", "SubSecTimeDigitized", "OffsetTimeDigitized"),
    ("DateTime", "SubSecTime", "OffsetTime"),
)
_IN_EXIF = tuple(time for time, _, _ in _SOURCES)
_IN_XMP = ("XMP", "XMP's date of digitising", "XMP's date of last change")
_TAKEN, _DIGITISED, _CHANGED = range(3)  # places in it
_TIME = re.compile(r"(\d{4})[:/.-](\d{1,2})[:/.-](\d{1,2})[ T](\d{1,2}):(\d{1,2}):(\d{1,2})", re.ASCII)
_DATE = re.compile(r"(\d{4})[:/.-](\d{1,2})[:/.-](\d{1,2})", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d\d):?(\d\d)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Taken:
    """Times of one picture; the wall time is naive, the satellite time is aware in UTC."""

    taken_text: str | None = None
    taken_local: datetime | None = None
    utc_offset_text: str | None = None
    utc_offset_min: int | None = None
    gps_utc: datetime | None = None
    notes: tuple[str, ...] = field(default=())


def read_times(*sources: Tags) -> Taken:
    """The best time that the tags give, with its offset; times that cannot be are noted and passed over.

    The camera's own tags come first, then those of XMP. A time of taking in any of them goes before one at
    which the picture was only digitised; another one that differs is noted.
    """
    notes: list[str] = []
    read = [_Source(tags, _IN_XMP if place else _IN_EXIF) for place, tags in enumerate(sources)]
    chosen = _chosen(read, notes)
    text, time, offset_text, offset_min = None, None, None, None
    if chosen is None:
        text = next((text for source in read for text in source.texts[:_CHANGED] if text), None)
        changed = next((source.texts[_CHANGED] for source in read if source.texts[_CHANGED]), None)
        if text is None and changed:
            notes.append(
                f"the date {changed!r} is when the file was last changed, not when the picture was taken"
            )
    else:
        source, which, time = chosen
        text = source.texts[which]
        if which == _DIGITISED:
            notes.append(f"time taken from {source.names[which]}, which later editing may have changed")
        doubts = [one.contradiction(which, time, one is read[0]) for one in read if one is not source]
        notes += filter(None, doubts)
        time += _fraction(source.tags.text(_SOURCES[which][1]))
        offset_text = source.offset(which)
        offset_min = _offset(offset_text, notes)
    satellites = next((found for tags in sources if (found := _gps_time(tags, notes))), None)
    return Taken(text, time, offset_text, offset_min, satellites, tuple(notes))


def _chosen(read: "Sequence[_Source]", notes: list[str]) -> "tuple[_Source, int, datetime] | None":
    for which in (_TAKEN, _DIGITISED):
        for source in read:
            time = source.time(which, notes)
            if time is not None:
                return source, which, time
    return None


class _Source:
    """The times in the tags of one source, and how notes name them."""

    def __init__(self, tags: Tags, names: Sequence[str]) -> None:
        self.tags, self.names = tags, names
        self.texts = [_written(tags.text(time)) for time, _, _ in _SOURCES]

    def time(self, which: int, notes: list[str]) -> datetime | None:
        """A believable wall time to the second; else None, and why is noted."""
        text = self.texts[which]
        return _wall_time(text, self.names[which], notes) if text else None

    def offset(self, which: int) -> str | None:
        """The offset that was written for this time, or for another one that is the same."""
        written = [
            self.tags.text(offset)
            for (_, _, offset), text in zip(_SOURCES, self.texts, strict=True)
            if text == self.texts[which]
        ]
        return next((offset for offset in written if offset and offset.strip(" :")), None)

    def contradiction(self, which: int, time: datetime, is_lesser: bool) -> str | None:
        """Why this source doubts a time that another gave; `is_lesser`: this one has no time of taking."""
        for place in range(which, _CHANGED + 1) if is_lesser else (which,):
            text = self.texts[place]
            said = self.time(place, [])
            day = _DATE.fullmatch(text) if text else None
            if said is not None and abs(said - time) >= timedelta(seconds=1):
                return f"time differs: {self.names[place]} says {text!r}, which is ignored"
            if day and tuple(map(int, day.groups())) != (time.year, time.month, time.day):
                return f"time differs: {self.names[place]} says {text!r}, which is ignored"
            if said or day:
                return None
        return None


def _written(text: str | None) -> str | None:
    """The text, or None when only its separators were written."""
    return text if text and text.strip(" :/-.") else None


def _wall_time(text: str, name: str, notes: list[str]) -> datetime | None:
    match = _TIME.match(text)
    try:
        time = datetime(*map(int, match.groups())) if match else None  # type: ignore[arg-type]  # noqa: DTZ001
    except ValueError:
        time = None
    if time is None or _is_unset(time):
        notes.append(f"time unknown: {name} says {text!r}")
        return None
    return time


def _is_unset(time: datetime) -> bool:
    """Whether a clock that nobody set says so: it begins with a year, and scans of old pictures seldom do."""
    is_old = FIRST_DAY <= time.date() < date(_CAMERAS_YEAR, 1, 1)
    return is_old and (time.month, time.day) == (1, 1)


def _fraction(digits: str | None) -> timedelta:
    """Digits after the decimal point of a second, as an interval; to the microsecond, rounded down."""
    if digits is None or not (digits.isascii() and digits.isdigit()):
        return timedelta()
    return timedelta(microseconds=int(digits[:6].ljust(6, "0")))


def minutes_east(text: str) -> int | None:
    """Minutes east of UTC, of an offset as files write it; None for what is none."""
    if text == "Z":
        return 0
    match = _OFFSET.fullmatch(text)
    if match:
        hours, minutes = int(match[2]), int(match[3])
        east = hours * 60 + minutes
        if minutes < 60 and east <= _MOST_OFFSET_MIN:
            return -east if match[1] == "-" else east
    return None


def _offset(text: str | None, notes: list[str]) -> int | None:
    east = minutes_east(text) if text is not None else None
    if text is not None and east is None:
        notes.append(f"offset from UTC unknown: the file says {text!r}")
    return east


def _gps_time(tags: Tags, notes: list[str]) -> datetime | None:
    stamp = tags.values("GPS GPSTimeStamp")
    if stamp is None:
        return None
    date = tags.text("GPS GPSDate")
    match = _DATE.match(date) if date else None
    if match is None:
        notes.append(
            "satellite time unknown: it has no date"
            if not date
            else f"satellite time unknown: its date is {date!r}"
        )
        return None
    parts = [
        believed(tags.rational("GPS GPSTimeStamp", place), f"satellite {unit}", notes, least=0, most=most)
        for place, (unit, most) in enumerate((("hour", 23), ("minute", 59), ("second", 60)))
    ]
    hours, minutes, seconds = parts
    if hours is None or minutes is None or seconds is None:
        if not isinstance(stamp, list) or len(stamp) < 3:
            notes.append("satellite time unknown: it is not given as three numbers")
        return None
    try:
        day = datetime(*map(int, match.groups()), tzinfo=UTC)  # type: ignore[misc,arg-type]
        time = day + timedelta(microseconds=int((hours * 3600 + minutes * 60 + seconds) * 1_000_000))
    except (ValueError, OverflowError):
        time = None
    if time is None or time.year < _CAMERAS_YEAR:
        notes.append(f"satellite time unknown: its date is {date!r}")
        return None
    return time
